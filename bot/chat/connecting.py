"""The way to a Bot API server: the library's bot, with this project's time limits."""

from __future__ import annotations

import warnings

import telegram
from telegram.request import HTTPXRequest
from telegram.warnings import PTBDeprecationWarning

TELEGRAM = "https://api.telegram.org"

# Seconds. A mark or a message is answered within one or two; a picture is given 20 to travel.
_CONNECT_S, _READ_S, _MEDIA_S = 5.0, 10.0, 20.0
# Rooms are served side by side; more connections than this would only meet the limit of 30 messages a second.
_CONNECTIONS = 16


def make_bot(token: str, api_url: str = "") -> telegram.Bot:
    """The bot for that token at that server ("" for Telegram's own); use it as an async context.

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
        request=request(_CONNECTIONS),
        get_updates_request=request(1),
    )


def request(connections: int) -> HTTPXRequest:
    """A request layer with our time limits."""
    return HTTPXRequest(
        connection_pool_size=connections,
        connect_timeout=_CONNECT_S,
        read_timeout=_READ_S,
        write_timeout=_READ_S,
        pool_timeout=_READ_S,
        media_write_timeout=_MEDIA_S,
    )
