"""The way to a Bot API server: the library's bot, with this project's time limits."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import random
import ssl
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from email.utils import parsedate_to_datetime
from functools import cache

import httpx
import telegram
from telegram.request import HTTPXRequest
from telegram.warnings import PTBDeprecationWarning

from bot.chat.errors import BadToken
from bot.chat.patience import Patience
from bot.chat.sending import sorted_error
from bot.chat.updates import Me

log = logging.getLogger(__name__)

TELEGRAM = "https://api.telegram.org"

# Seconds. A mark or a message is answered within one or two; a picture is given 20 to travel.
_CONNECT_S, _READ_S, _MEDIA_S = 5.0, 10.0, 20.0
# Rooms are served side by side; more connections than this would only meet the limit of 30 messages a second.
_CONNECTIONS = 16


OnDate = Callable[[datetime], None]


def make_bot(token: str, api_url: str = "", on_date: OnDate | None = None) -> telegram.Bot:
    """The bot for that token at that server ("" for Telegram's own); use it as an async context.

    Args:
        on_date: told of the server's own time with each of its answers to what is sent (the HTTP header `Date`).

    Raises:
        telegram.error.InvalidToken: the token is empty.
    """
    # The library warns at each flood refusal that an attribute will change; `sending` takes both forms.
    warnings.filterwarnings("ignore", ".*retry_after", PTBDeprecationWarning)
    server = (api_url or TELEGRAM).rstrip("/")
    return telegram.Bot(
        token,
        base_url=f"{server}/bot",
        base_file_url=f"{server}/file/bot",
        request=request(_CONNECTIONS, on_date),
        get_updates_request=request(1),
    )


def request(connections: int, on_date: OnDate | None = None) -> HTTPXRequest:
    """A request layer with our time limits."""

    async def dated(response: httpx.Response) -> None:
        with contextlib.suppress(ValueError, TypeError):
            at = parsedate_to_datetime(response.headers.get("date", ""))
            if on_date is not None and at.tzinfo is not None:
                on_date(at)

    return HTTPXRequest(
        connection_pool_size=connections,
        connect_timeout=_CONNECT_S,
        read_timeout=_READ_S,
        write_timeout=_READ_S,
        pool_timeout=_READ_S,
        media_write_timeout=_MEDIA_S,
        httpx_kwargs={"verify": _trust(), "event_hooks": {"response": [dated]}},
    )


@cache
def _trust() -> ssl.SSLContext:
    """The certificates to be trusted, read once: 0.1 s and some memory for each connection pool otherwise."""
    return httpx.create_ssl_context()


@dataclass(frozen=True, slots=True, kw_only=True)
class Hello:
    """What the server said of the bot; `hears_all` is false in privacy mode: no plain talk of groups reaches it."""

    me: Me
    hears_all: bool


async def connect(
    bot: telegram.Bot, stop: asyncio.Event, patience: Patience | None = None, *, polling: bool = True
) -> Hello | None:
    """The bot, ready; for `polling`, with no webhook in its way. None where `stop` was set before the server answered.

    Raises:
        BadToken: the server does not know the token.
    """
    patience = patience or Patience()
    failures = 0
    while not stop.is_set():
        try:
            await bot.initialize()
            if polling:
                await bot.delete_webhook()
            user = await bot.get_me()
        except telegram.error.TelegramError as exc:
            problem = sorted_error(exc)
            if isinstance(problem, BadToken):
                raise problem from None  # the library's own text quotes the token
            failures += 1
            if failures == 1:
                log.warning("Telegram cannot be reached (%s); trying again", type(exc).__name__)
            await asyncio.wait(
                [stopping := asyncio.ensure_future(stop.wait())], timeout=patience.after(failures, random.random())
            )
            stopping.cancel()
            continue
        return Hello(me=Me(id=user.id, username=user.username or ""), hears_all=bool(user.can_read_all_group_messages))
    return None


async def asked_again(bot: telegram.Bot) -> None:
    """A small call whose answer bears the server's time; nothing where the server cannot be reached."""
    with contextlib.suppress(telegram.error.TelegramError):
        await bot.get_me()
