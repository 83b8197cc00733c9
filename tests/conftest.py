"""What all tests share: the option that writes down what was said, and the databases that they run on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.stand_ins.postgres import Postgres, programs

BOTH = ("sqlite", "postgresql")


def pytest_addoption(parser: pytest.Parser) -> None:
    """`--accept` rewrites the dialogues."""
    parser.addoption("--accept", action="store_true", help="write what is said today into tests/dialogues")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """A test that uses a database, by whatever fixture, runs on each; one marked `sqlite_only` on SQLite."""
    if "new_url" in metafunc.fixturenames:
        kinds = BOTH[:1] if metafunc.definition.get_closest_marker("sqlite_only") else BOTH
        metafunc.parametrize("new_url", kinds, indirect=True)


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    """A real PostgreSQL, started when a test first asks for it."""
    home = programs()
    if home is None:
        pytest.skip("the embedded PostgreSQL is not installed; `deploy/setup.sh dev` installs it where there is one")
    server = Postgres(home)
    try:
        yield server.start()
    finally:
        server.remove()


@pytest.fixture
def new_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Callable[[], str]]:
    """Gives the URL of a new, empty database at each call: a SQLite file that is not there yet, or one on a server."""
    made: list[str] = []
    if request.param == "sqlite":
        def new() -> str:
            made.append(f"sqlite:///{tmp_path / ('fettle.db' if not made else f'fettle-{len(made)}.db')}")
            return made[-1]

        yield new
        return
    server: Postgres = request.getfixturevalue("postgres")

    def new() -> str:
        made.append(server.new())
        return made[-1]

    yield new
    for url in made:
        server.drop(url)


@pytest.fixture
def url(new_url: Callable[[], str]) -> str:
    """One such database."""
    return new_url()
