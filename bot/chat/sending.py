"""What is said, out through Telegram: text, pictures, files, buttons and marks; its refusals sorted into `errors`."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Coroutine, Sequence
from functools import partial
from typing import Any

import httpx
import telegram
from telegram.constants import ChatMemberStatus, ReactionEmoji

from bot.chat.codes import with_code
from bot.chat.errors import BadToken, Moved, Passing, Refused, SendError, Shut
from bot.chat.keys import Key, parse
from bot.chat.splitting import CAPTION_UNITS, split, units
from bot.chat.updates import LONGEST_TABLE
from core.messages import PHOTO, Mark, Say
from shared.spreadsheet import decoded
from shared.texts import text as words

log = logging.getLogger(__name__)

ALLOWED_MARKS = frozenset(r.value for r in ReactionEmoji)

# Refusals that close the chat, in the words of Telegram's server. An unknown 403 closes nothing: only this one message
# is given up. Source: the error texts in the source of the Bot API server (tdlib/telegram-bot-api, Client.cpp),
# and those seen by users of the API; from memory.
_SHUT_403 = (
    "blocked by the user",
    "was kicked",
    "user is deactivated",
    "is not a member",
    "can't initiate conversation",
)
_SHUT_400 = ("chat not found", "group chat was deactivated", "chat_write_forbidden", "not enough rights to send text")
# The message to be marked is gone: there is nothing to acknowledge.
_GONE_400 = ("message to react not found", "message_id_invalid", "message not found")

Draw = Callable[[str, str], bytes]  # chat and `Say.picture` -> PNG
Code = Callable[[str], str]  # `Say.invite` -> the code of that invitation
Make = Callable[[str, str], tuple[str, bytes]]  # chat and `Say.document` -> the file's name and the file
Post = Callable[..., Coroutine[Any, Any, telegram.Message]]  # a picture or file on its way, with caption and buttons

_LONG_LABEL = 12  # characters; two or three shorter labels fit side by side on a phone


class TelegramSender:
    """Sends through one bot; see `bot.chat.Sender`."""

    def __init__(
        self,
        bot: telegram.Bot,
        *,
        draw: Draw | None = None,
        make: Make | None = None,
        code: Code | None = None,
        username: str = "",
    ) -> None:
        """
        Args:
            draw: makes the PNG of a `Say.picture` for a chat; it is called in a thread, because a chart takes 150 ms.
            make: makes the file of a `Say.document` in the same way.
            code: gives the code of a `Say.invite`. username: the bot's own, for the link.
        """
        self._bot = bot
        self._draw = draw
        self._make = make
        self._code, self._username = code, username
        # Parts of a long text that already left, so that a retry in this process goes on where it stopped.
        self._left: dict[str, int] = {}

    async def send(self, chat: str, out: Say | Mark, reply_to: str | None) -> str:
        """The key of what was sent ("" for a mark that is a reaction); raises as `bot.chat.Sender` says."""
        if isinstance(out, Mark):
            return await self._mark(int(chat), out)
        if out.invite and self._code is not None:
            out = with_code(out, self._code(out.invite), self._username)
        return await self._say(int(chat), out, reply_to)

    async def answer_press(self, press: str) -> None:
        """Stops the waiting sign on a pressed button, as far as Telegram lets us: a press goes stale in seconds."""
        try:
            await self._bot.answer_callback_query(press)
        except telegram.error.TelegramError as exc:
            log.info("a press could not be answered: %s", type(exc).__name__)

    async def take_buttons_away(self, key: str) -> None:
        """Removes the buttons under a message, as far as Telegram lets us."""
        at = parse(key)
        if at is None:
            return
        try:
            await self._bot.edit_message_reply_markup(at.chat, at.message)
        except telegram.error.TelegramError as exc:
            log.info("buttons could not be removed: %s", type(exc).__name__)

    async def fetch(self, file: str) -> str:
        """The text of a file that somebody sent: UTF-8, else as older spreadsheets write it (Windows-1252).

        Raises:
            Passing, Refused: it could not be fetched.
        """
        try:
            found = await self._bot.get_file(file)
            if (found.file_size or 0) > LONGEST_TABLE:  # what came with the message may have said another size
                raise Refused("too long for a table")
            raw = bytes(await found.download_as_bytearray())
        except telegram.error.TelegramError as exc:
            raise sorted_error(exc) from exc
        if len(raw) > LONGEST_TABLE:
            raise Refused("too long for a table")
        return decoded(raw)

    async def leave(self, chat: str) -> None:
        """Leaves a group, as far as Telegram lets us."""
        try:
            await self._bot.leave_chat(int(chat))
        except telegram.error.TelegramError as exc:
            log.info("a chat could not be left: %s", type(exc).__name__)

    async def is_admin(self, chat: str, account: int) -> bool:
        """True where the account is an administrator of the group; false also where Telegram does not say."""
        try:
            member = await self._bot.get_chat_member(int(chat), account)
        except telegram.error.TelegramError as exc:
            log.info("a membership could not be looked up: %s", type(exc).__name__)
            return False
        return member.status in (ChatMemberStatus.ADMINISTRATOR, ChatMemberStatus.OWNER)

    async def _mark(self, chat: int, out: Mark) -> str:
        at = parse(out.message)
        if at is None or at.chat != chat:
            # The group was upgraded since: its old messages have other numbers now, none is known to us.
            return await self._mark_by_words(chat, out, None)
        if out.mark not in ALLOWED_MARKS:
            return await self._mark_by_words(chat, out, at)
        try:
            await self._bot.set_message_reaction(chat, at.message, telegram.ReactionTypeEmoji(out.mark))
        except telegram.error.BadRequest as exc:
            if _says(exc, _GONE_400):
                log.info("a message to be marked is gone")
                return ""
            return await self._mark_by_words(chat, out, at)
        except telegram.error.TelegramError as exc:
            raise sorted_error(exc) from exc
        return ""

    async def _mark_by_words(self, chat: int, out: Mark, at: Key | None) -> str:
        """The mark as a short reply, where reactions are not allowed."""
        return await self._text(chat, out.mark, _reply(at, chat), None)

    async def _say(self, chat: int, out: Say, reply_to: str | None) -> str:
        reply = _reply(parse(reply_to), chat)
        buttons = _keyboard(out.buttons)
        if out.picture and not self._left.get(out.key):
            kept = out.picture.startswith(PHOTO)  # a photo that somebody sent: Telegram has it under its own name
            shown = out.picture.removeprefix(PHOTO) if kept else await self._drawn(chat, out.picture)
            if shown:
                return await self._picture(chat, out, shown, reply, buttons)
        said = out.text
        if out.document and not self._left.get(out.key):
            if made := await self._made(chat, out.document):
                return await self._document(chat, out, made, reply, buttons)
            said = f"{said}\n{words('papers.not_made')}"
        parts = ("", *split(said)) if self._left.get(out.key) and (out.picture or out.document) else split(said)
        return await self._texts(chat, out.key, parts, reply, buttons)

    async def _texts(
        self, chat: int, key: str, parts: Sequence[str], reply: _Reply, buttons: telegram.InlineKeyboardMarkup | None
    ) -> str:
        """Sends the parts in order, the buttons under the last; the key of the last."""
        sent = ""
        for i in range(self._left.get(key, 0), len(parts)):
            last = i == len(parts) - 1
            here = reply if i == 0 else _Reply(reply.thread, None)
            sent = await self._text(chat, parts[i], here, buttons if last else None)
            if not last:
                self._left[key] = i + 1
        self._left.pop(key, None)
        return sent

    async def _text(self, chat: int, text: str, reply: _Reply, buttons: telegram.InlineKeyboardMarkup | None) -> str:
        try:
            # Never a parse_mode: what people wrote is shown as they wrote it.
            message = await self._bot.send_message(
                chat,
                text,
                message_thread_id=reply.thread,
                reply_parameters=reply.parameters,
                reply_markup=buttons,
                link_preview_options=telegram.LinkPreviewOptions(is_disabled=True),
            )
        except telegram.error.TelegramError as exc:
            raise sorted_error(exc) from exc
        return str(Key(chat=message.chat.id, message=message.message_id, thread=reply.thread))

    async def _drawn(self, chat: int, what: str) -> bytes:
        """The picture, b"" where there is none to be had: the words go without it then."""
        if self._draw is None:
            return b""
        try:
            return await asyncio.to_thread(self._draw, str(chat), what)
        except Exception as exc:
            log.error("a picture could not be drawn: %s", type(exc).__name__)
            return b""

    async def _picture(
        self, chat: int, out: Say, picture: bytes | str, reply: _Reply, buttons: telegram.InlineKeyboardMarkup | None
    ) -> str:
        """The picture with the text as its caption: a PNG, or the name under which Telegram has it."""
        file = telegram.InputFile(picture, filename="chart.png") if isinstance(picture, bytes) else picture
        kept = isinstance(picture, str)
        return await self._captioned(partial(self._bot.send_photo, chat, file), chat, out, reply, buttons, kept)

    async def _made(self, chat: int, what: str) -> tuple[str, bytes] | None:
        """The file with its name, None where there is none to be had: the words say so then."""
        if self._make is None:
            return None
        try:
            return await asyncio.to_thread(self._make, str(chat), what)
        except Exception as exc:
            log.error("a file could not be made: %s", type(exc).__name__)
            return None

    async def _document(
        self, chat: int, out: Say, made: tuple[str, bytes], reply: _Reply, buttons: telegram.InlineKeyboardMarkup | None
    ) -> str:
        """The file with the text as its caption."""
        name, content = made
        file = telegram.InputFile(content, filename=name)
        return await self._captioned(partial(self._bot.send_document, chat, file), chat, out, reply, buttons)

    async def _captioned(
        self, post: Post, chat: int, out: Say, reply: _Reply, buttons: telegram.InlineKeyboardMarkup | None,
        kept: bool = False,
    ) -> str:
        """A picture or file with the text as its caption; a text too long for a caption follows by itself.

        Args:
            kept: it is a photo that Telegram keeps; where it can't be shown any more, the words go alone.
        """
        fits = units(out.text) <= CAPTION_UNITS
        try:
            message = await post(
                caption=out.text if fits else None,
                message_thread_id=reply.thread,
                reply_parameters=reply.parameters,
                reply_markup=buttons if fits else None,
            )
        except telegram.error.BadRequest as exc:
            if not kept:
                raise sorted_error(exc) from exc
            log.warning("a kept photo can't be shown any more: %s", exc.message)
            return await self._texts(chat, out.key, split(out.text), reply, buttons)
        except telegram.error.TelegramError as exc:
            raise sorted_error(exc) from exc
        if fits:
            return str(Key(chat=message.chat.id, message=message.message_id, thread=reply.thread))
        self._left[out.key] = 1  # the picture or file counts as the first part
        return await self._texts(chat, out.key, ("", *split(out.text)), _Reply(reply.thread, None), buttons)


class _Reply:
    """Where a message goes within its chat: the topic, and the message answered."""

    __slots__ = ("parameters", "thread")

    def __init__(self, thread: int | None, message: int | None) -> None:
        self.thread = thread
        self.parameters = (
            telegram.ReplyParameters(message, allow_sending_without_reply=True) if message is not None else None
        )


def _reply(at: Key | None, chat: int) -> _Reply:
    """The reply to that message; none where it is not in this chat (any more)."""
    if at is None or at.chat != chat:
        return _Reply(None, None)
    return _Reply(at.thread, at.message)


def _keyboard(labels: Sequence[str]) -> telegram.InlineKeyboardMarkup | None:
    """The labels as buttons; the data is the place in the list: Telegram takes 64 bytes, labels may be longer."""
    if not labels:
        return None
    buttons = [telegram.InlineKeyboardButton(label, callback_data=str(i)) for i, label in enumerate(labels)]
    a_row = 3 if all(len(label) <= _LONG_LABEL for label in labels) else 1
    return telegram.InlineKeyboardMarkup([buttons[i : i + a_row] for i in range(0, len(buttons), a_row)])


def sorted_error(exc: telegram.error.TelegramError) -> SendError | BadToken:
    """Telegram's refusal as one of `bot.chat.errors`, by what the caller does next."""
    text = exc.message
    match exc:
        case telegram.error.ChatMigrated():
            return Moved(str(exc.new_chat_id))
        case telegram.error.RetryAfter():
            return Passing("flood control", retry_after=_seconds(exc))
        case telegram.error.Forbidden():
            return Shut(text) if _says(exc, _SHUT_403) else Refused(text)
        case telegram.error.BadRequest():
            return Shut(text) if _says(exc, _SHUT_400) else Refused(text)
        case telegram.error.InvalidToken():
            return BadToken()
        case telegram.error.NetworkError():  # TimedOut too
            return Passing(type(exc).__name__, unclear=_may_have_arrived(exc))
    # "Invalid server response": the answer could not be read, the request may have been done.
    return Passing("unreadable answer", unclear=True)


def _says(exc: telegram.error.TelegramError, phrases: Sequence[str]) -> bool:
    low = exc.message.casefold()
    return any(p in low for p in phrases)


def _seconds(exc: telegram.error.RetryAfter) -> float:
    # The library is changing the attribute from a number to a timedelta.
    after = exc.retry_after
    return float(after) if isinstance(after, int | float) else after.total_seconds()


def _may_have_arrived(exc: telegram.error.NetworkError) -> bool:
    """False where the request surely did not reach the server, or the server said that it failed."""
    cause = exc.__cause__
    if isinstance(cause, httpx.ConnectError | httpx.ConnectTimeout | httpx.PoolTimeout | httpx.UnsupportedProtocol):
        return False
    return isinstance(cause, httpx.HTTPError)
