"""Invitations: 128 bits, kept as a hash, used once, for seven days, withdrawn; one way in for one person."""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from time import sleep

from bot.storage import Database, codes
from bot.storage.invites import LASTS, Came, Guest
from bot.storage.tables import metadata
from core.messages import Say
from core.roster import Vet
from core.turns import Invite
from tests.stand_ins.postgres import Postgres
from tests.storage.conftest import AT, KENNEL

SECRET = b"a secret for tests"
ANA = Guest(platform="telegram", account="13", chat="13", name="Ana L.")
ZED = Guest(platform="telegram", account="14", chat="14", name="Zed")


def nothing(came: Came) -> tuple[Say, ...]:
    return ()


def invite(database: Database, kennel_id: int, person: str = "Ana", role: str = "buyer") -> str:
    """The code of a new invitation."""
    with database.writing(kennel_id) as store:
        return codes.code_of(SECRET, store.invite(Invite(person=person, role=role), AT, SECRET))


def state(database: Database, code: str, later: timedelta = timedelta(0)) -> str | None:
    found = database.invites.find(code, AT + later)
    return found.state if found else None


def test_a_code_has_128_bits_and_each_of_them_counts() -> None:
    made = [codes.code_of(os.urandom(32), codes.new_nonce()) for _ in range(2000)]
    assert {len(c) for c in made} == {codes.LENGTH} and {ch for c in made for ch in c} == set(codes.ALPHABET)
    numbers = [sum(codes.ALPHABET.index(ch) << 5 * i for i, ch in enumerate(reversed(c))) for c in made]
    assert max(numbers) < 2**codes.BITS
    for bit in range(codes.BITS):  # each is 1 in half of them, within six standard deviations
        assert abs(sum(n >> bit & 1 for n in numbers) - 1000) < 6 * 22.4


def test_a_code_is_the_same_for_the_same_nonce_and_another_for_another_secret() -> None:
    assert codes.code_of(b"a", "n") == codes.code_of(b"a", "n") != codes.code_of(b"b", "n")
    assert codes.secret_of("token", "invitations") != codes.secret_of("token", "webhook")


def test_it_works_once(database: Database, kennel_id: int) -> None:
    code = invite(database, kennel_id)
    came = database.invites.use(code, ANA, AT, nothing)
    assert came is not None and (came.kennel, came.person.name, came.person.role) == (kennel_id, "Ana", "buyer")
    assert database.person_of("telegram", "13", kennel_id) == "Ana"
    room = database.room_of("telegram", "13")
    assert room is not None and room.room == "Ana"
    assert database.invites.use(code, ZED, AT, nothing) is None and state(database, code) == "used"
    assert database.room_of("telegram", "14") is None


def test_of_many_at_once_one_comes_in(database: Database, kennel_id: int) -> None:
    code = invite(database, kennel_id)
    guests = [Guest(platform="telegram", account=str(n), chat=str(n), name="Ana") for n in range(20)]
    with ThreadPoolExecutor(8) as pool:
        came = list(pool.map(lambda g: database.invites.use(code, g, AT, nothing), guests))
    assert sum(c is not None for c in came) == 1 and len(database.accounts_of("telegram", kennel_id)) == 1


def test_it_lasts_seven_days(database: Database, kennel_id: int) -> None:
    code = invite(database, kennel_id)
    assert state(database, code, LASTS - timedelta(seconds=1)) == "open" and state(database, code, LASTS) == "expired"
    assert database.invites.use(code, ANA, AT + LASTS, nothing) is None
    assert database.invites.use(code, ANA, AT + LASTS - timedelta(seconds=1), nothing) is not None


def test_it_is_withdrawn_by_word_by_a_newer_one_and_by_a_removal(database: Database, kennel_id: int) -> None:
    first = invite(database, kennel_id)
    with database.writing(kennel_id) as store:
        assert store.uninvite("Ana") == 1 and store.uninvite("Ana") == 0
    second = invite(database, kennel_id)
    third = invite(database, kennel_id)
    with database.writing(kennel_id) as store:
        kennel = store.load_kennel()
        store.save_kennel(kennel, _without(kennel, "Ana"))
    for code in (first, second, third):
        assert state(database, code) == "withdrawn" and database.invites.use(code, ANA, AT, nothing) is None


def test_whoever_is_off_the_roster_has_no_way_in(database: Database, kennel_id: int) -> None:
    """Nor does another of the same name, who comes later, find the account of the first."""
    database.invites.use(invite(database, kennel_id), ANA, AT, nothing)
    with database.writing(kennel_id) as store:
        kennel = store.load_kennel()
        store.save_kennel(kennel, _without(kennel, "Ana"))
    assert database.person_of("telegram", "13", kennel_id) == "" and database.room_of("telegram", "13") is None


def test_a_new_link_moves_the_person_to_the_new_account(database: Database, kennel_id: int) -> None:
    database.invites.use(invite(database, kennel_id), ANA, AT, nothing)
    database.invites.use(invite(database, kennel_id), ZED, AT, nothing)
    assert database.accounts_of("telegram", kennel_id) == {"14": "Ana"}
    assert [(r.chat, r.room) for r in database.rooms_of(kennel_id)] == [("14", "Ana")]


def test_a_helper_without_a_name_gets_the_accounts_one(database: Database, kennel_id: int) -> None:
    """Never the name of a room, of a dog or of somebody else."""
    names = []
    for n, name in enumerate(("Zed", "zed", "Nugget", "breeder", "family", "Mum")):
        code = invite(database, kennel_id, person="", role="family")
        guest = Guest(platform="telegram", account=str(n), chat=str(n), name=name)
        came = database.invites.use(code, guest, AT, nothing)
        assert came is not None
        names.append(came.person.name)
    assert names == ["Zed", "zed 2", "Nugget 2", "breeder 2", "family 2", "Mum 2"]
    with database.reading(kennel_id) as store:
        assert {p.name for p in store.load_kennel().people if p.role == "family"} == set(names)


def test_nothing_in_the_file_lets_anybody_in(database: Database, kennel_id: int) -> None:
    """Neither the code nor the secret is in any row, in the outbox neither."""
    code = invite(database, kennel_id)
    with database.transaction(writes=False) as connection:
        rows = [row for table in metadata.sorted_tables for row in connection.execute(table.select())]
    dump = "\n".join(str(value) for row in rows for value in row)
    assert code not in dump and codes.digest(code) in dump


def test_wrong_codes_are_counted_by_account_and_forgotten_after_a_day(database: Database) -> None:
    hour = timedelta(hours=1)
    for n in range(3):
        assert database.invites.wrong("telegram", "14", AT, hour) == n + 1
    assert database.invites.tries("telegram", "13", AT, hour) == 0
    assert database.invites.tries("telegram", "14", AT + hour, hour) == 0
    database.invites.wrong("telegram", "13", AT + timedelta(days=2), hour)
    assert database.invites.tries("telegram", "14", AT, timedelta(days=9)) == 0


def _without(kennel, name):  # type: ignore[no-untyped-def]
    from dataclasses import replace

    return replace(kennel, people=tuple(p for p in kennel.people if p.name != name))


def test_whoever_comes_in_undoes_nothing_that_is_saved_at_the_same_moment(postgres: Postgres) -> None:
    url = postgres.new()
    with Database(url) as one, Database(url) as other:
        kennel_id = one.create_kennel(KENNEL)
        code = invite(one, kennel_id, person="", role="family")
        with ThreadPoolExecutor(1) as pool:
            with one.writing(kennel_id) as store:
                came = pool.submit(lambda: other.invites.use(code, ZED, AT, nothing))
                sleep(0.3)  # it has read what it reads, or waits
                kennel = store.load_kennel()
                store.save_kennel(kennel, replace(kennel, vet=Vet(name="Dr Moe", day="123")))
            assert came.result() is not None
        with other.reading(kennel_id) as store:
            now = store.load_kennel()
        assert now.vet.day == "123" and now.person("Zed") is not None and now.revision == 2
    postgres.drop(url)
