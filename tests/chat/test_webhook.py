"""Called by Telegram, over real HTTP: secret, size, bad bodies, stored before 200, from one mode to the other."""

from __future__ import annotations

import contextlib
import json
import socket
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import pytest
from aiohttp import ClientSession

from bot.chat import webhook
from bot.chat.errors import BadToken
from bot.chat.webhook import MOST_BYTES, SECRET_HEADER, WebhookTrouble, address_of
from bot.storage import codes, errors
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.faults import Status
from tests.stand_ins.fixtures import NUGGET
from tests.stand_ins.hearing import hear
from tests.stand_ins.serving import TOM, Serving, kennel

SECRET = codes.secret_of(TOKEN, "webhook").hex()


def free() -> str:
    """HOST:PORT of a port that nobody uses now."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return f"127.0.0.1:{one.getsockname()[1]}"


@pytest.fixture
async def called(api: BotApi, tmp_path: Path) -> AsyncIterator[Serving]:
    """The bot, called by its webhook."""
    here = free()
    address = address_of(f"http://{here}/in/fettle", here)
    async with Serving(api, tmp_path / "fettle.db", hear, called=address) as serving:
        yield serving


async def call(
    serving: Serving, body: Any, *, secret: str | None = SECRET, method: str = "POST", path: str = ""
) -> int:
    """The status of one call of the webhook."""
    assert serving.called is not None
    url = serving.called.url + path
    headers = {SECRET_HEADER: secret} if secret is not None else {}
    data = body if isinstance(body, bytes) else json.dumps(body).encode()
    async with ClientSession() as session, session.request(method, url, data=data, headers=headers) as answer:
        return answer.status


async def test_what_telegram_brings_is_heard_and_answered(called: Serving, api: BotApi) -> None:
    number = called.settle(kennel(NUGGET))
    api.world.write(called.family, TOM, "Nugget 9.4 kg")
    asked = api.world.write(called.family, TOM, "how is Nugget?")
    await api.until(lambda: api.world.marks and api.world.sent)
    assert called.weights(number) == [("Tom", "Nugget", 9.4, True)]
    assert [(s.text, s.reply_to) for s in api.world.sent] == [("Nugget: 9.4 kg.", asked)]
    assert api.polls == 0 and set(api.called) == {200}
    given = next(given for method, given in api.calls if method == "setWebhook")
    assert given["secret_token"] == SECRET and "message" in given["allowed_updates"]


@pytest.mark.parametrize("secret", [None, "", "wrong", SECRET[:-1], SECRET + "0", "\u00e9"])
async def test_without_the_secret_nothing_is_kept(called: Serving, secret: str | None) -> None:
    assert await call(called, {"update_id": 1}, secret=secret) == 403
    assert called.database.inbox.newest() is None


@pytest.mark.parametrize(
    "body",
    [b"", b"no json", b"[]", b"7", b"{}", b'{"update_id": "1"}', b'{"update_id": true}', b"\xff\xfe", b"[" * 100_000],
)
async def test_a_bad_body_is_refused(called: Serving, body: bytes) -> None:
    assert await call(called, body) == 400
    assert called.database.inbox.newest() is None


async def test_the_size_is_bounded(called: Serving) -> None:
    update = {"update_id": 1, "x": "y" * MOST_BYTES}
    assert await call(called, update) == 413
    assert await call(called, {**update, "x": "y" * (MOST_BYTES // 2)}) == 200


async def test_other_methods_and_paths_are_nothing(called: Serving) -> None:
    assert await call(called, {"update_id": 1}, method="GET") == 405
    assert await call(called, {"update_id": 1}, path="/more") == 404


async def test_it_is_on_the_disk_before_200(
    called: Serving, api: BotApi, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """While the disk is full, Telegram is told 503 and brings it again; nothing is lost and nothing comes twice."""
    number = called.settle(kennel(NUGGET))
    take = called.database.inbox.take

    def full(updates: Any) -> int:
        raise errors.Full("no room")

    monkeypatch.setattr(called.database.inbox, "take", full)
    api.world.write(called.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.called.count(503) >= 3)
    monkeypatch.setattr(called.database.inbox, "take", take)
    await api.until(lambda: api.world.marks)
    assert called.weights(number) == [("Tom", "Nugget", 9.4, True)]
    assert TOKEN not in caplog.text and SECRET not in caplog.text


async def test_a_body_that_comes_too_slowly_is_let_go(called: Serving, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(webhook, "SLOWEST_S", 0.1)
    assert called.called is not None
    with socket.create_connection((called.called.host, called.called.port)) as one:
        head = (f"POST {called.called.path} HTTP/1.1", "Host: x", f"{SECRET_HEADER}: {SECRET}", "Content-Length: 99")
        one.sendall("\r\n".join((*head, "", "")).encode())
        one.settimeout(0)
        answer = b""

        def read() -> bool:
            nonlocal answer
            with contextlib.suppress(BlockingIOError):
                answer += one.recv(999)
            return b"408" in answer

        await called.api.until(read)


async def test_from_one_mode_to_the_other_and_back_nothing_is_lost(called: Serving, api: BotApi) -> None:
    """A stop leaves the webhook standing, polling takes it away, a start sets it again; what came between is heard."""
    number = called.settle(kennel(NUGGET))
    address = called.called
    for n, mode in enumerate((None, address, None, address)):
        await called.stop()
        api.world.write(called.family, TOM, f"Nugget 9.{n} kg")
        called.called = mode
        await called.start()
        await api.until(lambda n=n: len(called.book(number)) == n + 1)  # type: ignore[misc]
        assert bool(api.webhook) == (mode is not None)


async def test_telegram_is_told_again_until_it_answers(api: BotApi, tmp_path: Path) -> None:
    api.fail("setWebhook", Status(502), Status(429, "Too Many Requests", {"retry_after": 1}))
    here = free()
    async with Serving(api, tmp_path / "a.db", hear, called=address_of(f"http://{here}/", here)):
        await api.until(lambda: api.webhook)


async def test_what_cannot_be_used_is_one_sentence(api: BotApi, tmp_path: Path) -> None:
    here = free()
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", int(here.rpartition(":")[2])))
        taken.listen()
        serving = Serving(api, tmp_path / "a.db", hear, called=address_of("https://example.org/", here))
        serving.database.open()
        await serving.start()
        with pytest.raises(WebhookTrouble, match="choose another"):
            await serving.stop()
    api.fail("setWebhook", Status(400, "Bad Request: bad webhook: port"))
    serving.called = address_of("https://example.org/", here)
    await serving.start()
    with pytest.raises(WebhookTrouble, match="does not take the address"):
        await serving.stop()
    api.fail("setWebhook", Status(401, "Unauthorized"))
    await serving.start()
    with pytest.raises(BadToken):
        await serving.stop()
    serving.database.close()


@pytest.mark.parametrize(
    ("url", "listen"),
    [("http://example.org/", "127.0.0.1:8080"), ("example.org", "127.0.0.1:8080"), ("https://", "127.0.0.1:8080"),
     ("https://example.org/", "8080"), ("https://example.org/", "127.0.0.1:"), ("https://example.org/", "a:99999"),
     ("https://example.org/", "a:\u0663")],
)  # fmt: skip
def test_addresses_that_are_none(url: str, listen: str) -> None:
    with pytest.raises(WebhookTrouble):
        address_of(url, listen)
