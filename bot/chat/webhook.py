"""Telegram calls us: each update is kept before it is answered with 200; what could not be kept is asked for again.

The server behind the address is aiohttp's; a proxy in front of it does the encryption. Whoever calls must bear the
secret that was given to `setWebhook`; it is compared in constant time, and made from the bot's token, so that several
processes behind one address know the same.
"""

from __future__ import annotations

import asyncio
import hmac
import json
import logging
import random
from dataclasses import dataclass
from urllib.parse import urlsplit

import telegram
from aiohttp import web

from bot.chat.errors import BadToken
from bot.chat.keeping import Keeper, TakeIn
from bot.chat.patience import Patience
from bot.chat.sending import sorted_error
from bot.chat.updates import ALLOWED_UPDATES
from bot.settings import Trouble

log = logging.getLogger(__name__)

# The header in which Telegram repeats the secret (core.telegram.org/bots/api#setwebhook, from memory).
SECRET_HEADER = "X-Telegram-Bot-Api-Secret-Token"
# An update is a message of 4,096 characters with what it answers, their entities and buttons: some tens of kilobytes.
MOST_BYTES = 1 << 20
SLOWEST_S = 10.0  # for a body to arrive whole
CALLS_AT_ONCE = 40  # connections that Telegram may hold; its own usual number


class WebhookTrouble(Trouble):
    """The address cannot be used; the text says what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """Where Telegram calls (`url`, with its `path`), and where we listen."""

    url: str
    path: str
    host: str
    port: int


def address_of(url: str, listen: str) -> Address:
    """The addresses as they were given on the command line.

    Raises:
        WebhookTrouble: one of them is none; what it must look like is said.
    """
    parts = urlsplit(url)
    local = parts.hostname in ("127.0.0.1", "localhost", "::1")
    if (parts.scheme != "https" and not (parts.scheme == "http" and local)) or not parts.hostname:
        raise WebhookTrouble(f"--webhook is {url!r}; Telegram calls https addresses only, like https://example.org/in.")
    host, colon, port = listen.rpartition(":")
    if not colon or not port.isascii() or not port.isdigit() or int(port) > 65535:
        raise WebhookTrouble(f"--listen is {listen!r}; write HOST:PORT, like 127.0.0.1:8080.")
    return Address(url=url, path=parts.path or "/", host=host.strip("[]") or "127.0.0.1", port=int(port))


class Webhook:
    """The server; `run` it until `stop` is set.

    Args:
        take_in: keeps one raw update for good before it returns; keeping one twice changes nothing.
        secret: what the caller must bear, 1-256 of A-Z a-z 0-9 _ -.
    """

    def __init__(
        self, bot: telegram.Bot, take_in: TakeIn, address: Address, secret: str, *, patience: Patience | None = None
    ) -> None:
        self._bot, self._keeper, self._address = bot, Keeper(take_in), address
        self._secret = secret.encode()
        self._patience = patience or Patience()
        self.port = 0  # on which it listens, once it does
        # For a watchdog: calls that were answered, and how many are under way.
        self.ended, self._under_way = 0, 0

    @property
    def busy(self) -> bool:
        """True while a call is under way."""
        return self._under_way > 0

    async def run(self, stop: asyncio.Event) -> None:
        """Listens, tells Telegram where, and serves until `stop` is set; a call under way is answered.

        The webhook is left standing: another process may serve it, and what comes meanwhile is kept by Telegram and
        brought again. Polling, when it is started, takes it away (`connect`).

        Raises:
            WebhookTrouble: the port is taken, or Telegram does not accept the address. BadToken: an unknown token.
        """
        app = web.Application(client_max_size=MOST_BYTES)
        app.router.add_post(self._address.path, self._called)
        runner = web.AppRunner(app, access_log=None, shutdown_timeout=self._patience.stop_s)
        await runner.setup()
        try:
            try:
                await web.TCPSite(runner, self._address.host, self._address.port).start()
            except OSError as error:
                where = f"{self._address.host}:{self._address.port}"
                raise WebhookTrouble(f"{where} cannot be listened on ({error.strerror}); choose another.") from None
            self.port = runner.addresses[0][1]
            if await self._told(stop):
                await stop.wait()
        finally:
            await runner.cleanup()

    async def _told(self, stop: asyncio.Event) -> bool:
        """True once Telegram knows the address; it is asked until it answers, or `stop` is set."""
        failures = 0
        while not stop.is_set():
            try:
                await self._bot.set_webhook(
                    self._address.url, secret_token=self._secret.decode(), allowed_updates=ALLOWED_UPDATES,
                    max_connections=CALLS_AT_ONCE,
                )
                return True
            except telegram.error.BadRequest as exc:
                raise WebhookTrouble(f"Telegram does not take the address: {exc.message}.") from None
            except telegram.error.TelegramError as exc:
                problem = sorted_error(exc)
                if isinstance(problem, BadToken):
                    raise problem from None  # the library's own text may quote the token
                failures += 1
                (log.warning if failures == 1 else log.debug)("Telegram cannot be told: %s", type(exc).__name__)
                stopping = asyncio.ensure_future(stop.wait())
                await asyncio.wait([stopping], timeout=self._patience.after(failures, random.random()))
                stopping.cancel()
        return False

    async def _called(self, request: web.Request) -> web.Response:
        self._under_way += 1
        try:
            return await self._answer(request)
        finally:
            self._under_way, self.ended = self._under_way - 1, self.ended + 1

    async def _answer(self, request: web.Request) -> web.Response:
        given = request.headers.get(SECRET_HEADER, "").encode("utf-8", "surrogateescape")
        if not hmac.compare_digest(given, self._secret):
            return web.Response(status=403)
        try:
            async with asyncio.timeout(SLOWEST_S):
                raw = json.loads(await request.read())  # more than MOST_BYTES is 413
        except TimeoutError:
            return web.Response(status=408)
        except (ValueError, RecursionError):  # no JSON, no UTF-8, or brackets in brackets without end
            return web.Response(status=400)
        number = raw.get("update_id") if isinstance(raw, dict) else None
        if not isinstance(number, int) or isinstance(number, bool):
            return web.Response(status=400)
        return web.Response(status=200 if await self._keeper.keep(raw) else 503)
