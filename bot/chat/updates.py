"""Telegram's update, as JSON, to what happened: pure translation, nothing is looked up and nothing is kept.

Who the writer is on the roster and whose room the chat is are not known here: the messages that come out have
`room` and `sender` empty; `bot.chat.door` fills them.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import telegram
from telegram.constants import ChatMemberStatus, ChatType

from bot.chat.keys import Key
from core.messages import Message

# Kinds of update that are asked for. Reactions of people are not records, so they are not asked for.
ALLOWED_UPDATES = ("message", "edited_message", "callback_query", "my_chat_member", "chat_member")

# Files that may hold a table of weights. Bigger ones are brought in with `fettle import`.
TABLES = (".csv", ".tsv")
LONGEST_TABLE = 200_000  # bytes; ten years of a dog's weighings are a twentieth of it

# An edit's number is tenths of a second after the message was sent, so that there is room between two edits of one
# second (Telegram's dates are whole seconds).
EDITS_A_SECOND = 10

# Telegram's own bounds (core.telegram.org/bots/api: 4,096 characters, names of 64, titles of 128), twice over:
# whatever a server sends, no more is read.
LONGEST, _LONGEST_NAME, _LONGEST_TITLE = 8_192, 128, 256

_IN_CHAT = (ChatMemberStatus.MEMBER, ChatMemberStatus.ADMINISTRATOR, ChatMemberStatus.OWNER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Me:
    """The bot itself, as `getMe` told it."""

    id: int
    username: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Someone:
    """A Telegram account: `id` never changes, names may."""

    id: str
    first: str = ""
    last: str = ""
    username: str = ""

    def names(self) -> tuple[str, ...]:
        """The names by which a roster may know this person, likeliest first."""
        whole = f"{self.first} {self.last}".strip()
        return tuple(dict.fromkeys(n for n in (self.first, whole, self.username) if n))


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A chat: its id, whether only one person is in it, and its title ("" for a private chat)."""

    chat: str
    private: bool
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrote:
    """Somebody wrote, edited, sent a picture or pressed a button.

    Attributes:
        start: what followed `/start` ("" for a bare one); None where the message is no start.
        press: Telegram's id of the press, to be answered; "" where nothing was pressed.
        table: Telegram's id of a table that was sent as a file, "" for none.
    """

    place: Place
    by: Someone
    message: Message
    start: str | None = None
    press: str = ""
    table: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """The bot was added to a chat, or a person who had blocked it let it in again."""

    place: Place
    by: Someone


@dataclass(frozen=True, slots=True, kw_only=True)
class Removed:
    """The bot was removed from a chat, or a person blocked it."""

    place: Place
    by: Someone


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """A person came into a group; `alone` is true for one whom no member brought: by the group's own link."""

    place: Place
    who: Someone
    alone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgraded:
    """A group has another id from now on."""

    old: str
    new: str


Came = Wrote | Added | Removed | Joined | Upgraded


def translate(raw: Mapping[str, Any], me: Me) -> Came | None:
    """What happened; None for what is none of Fettle's business (other bots, channels, stickers, service lines).

    Raises:
        ValueError: the update is not in the form that Telegram documents.
    """
    try:
        update = telegram.Update.de_json(dict(raw), None)
        if update.edited_message is not None:
            return _written(update.edited_message, me)
        if update.message is not None:
            return _served(update.message, me) or _written(update.message, me)
        if update.callback_query is not None:
            return _pressed(update.callback_query)
        if update.my_chat_member is not None:
            return _bot_moved(update.my_chat_member)
        if update.chat_member is not None:
            return _person_moved(update.chat_member)
    except (KeyError, TypeError, AttributeError, OverflowError, OSError) as exc:
        raise ValueError(f"update {raw.get('update_id')!r} is not in Telegram's form: {type(exc).__name__}") from exc
    return None


def _served(message: telegram.Message, me: Me) -> Came | None:
    """What a service line tells: an upgrade of the group, or people who joined."""
    chat = str(message.chat.id)
    if message.migrate_to_chat_id is not None:
        return Upgraded(old=chat, new=str(message.migrate_to_chat_id))
    if message.migrate_from_chat_id is not None:
        return Upgraded(old=str(message.migrate_from_chat_id), new=chat)
    for user in message.new_chat_members or ():
        if not user.is_bot and user.id != me.id:
            by = message.from_user
            return Joined(place=_place(message.chat), who=_someone(user), alone=by is None or by.id == user.id)
    return None


def _written(message: telegram.Message, me: Me) -> Wrote | None:
    if message.chat.type == ChatType.CHANNEL or message.sender_chat is not None or message.is_automatic_forward:
        return None  # a channel, or an administrator who writes as the group: nobody in person
    if message.from_user is None or message.from_user.is_bot:
        return None
    text = _clean(message.text or message.caption or "")[:LONGEST]
    picture = message.photo[-1].file_id if message.photo else ""
    text, start = _without_command(_without_mention(text, me), me)
    table = _table(message.document)
    if not text and not picture and not table:
        return None
    edit = 0
    if message.edit_date is not None:
        edit = max(1, round((message.edit_date - message.date).total_seconds() * EDITS_A_SECOND))
    thread = message.message_thread_id if message.is_topic_message else None
    return Wrote(
        place=_place(message.chat),
        by=_someone(message.from_user),
        start=start,
        table=table,
        message=Message(
            key=str(Key(chat=message.chat.id, message=message.message_id, thread=thread)),
            room="",
            sender="",
            sent_at=message.date,
            text=text,
            edit=edit,
            reply_to=_answered(message, thread),
            picture=picture,
            quoted=message.forward_origin is not None or message.via_bot is not None,
        ),
    )


def _table(file: telegram.Document | None) -> str:
    """The id of a file that can be a table of weights, by its name and size; "" for any other."""
    named = file is not None and (file.file_name or "").casefold().endswith(TABLES)
    return file.file_id if file is not None and named and 0 < (file.file_size or 0) <= LONGEST_TABLE else ""


def _answered(message: telegram.Message, thread: int | None) -> str | None:
    """Key of the message that this one answers; the first line of a topic, which Telegram names for all, is none."""
    other = message.reply_to_message
    if other is None or other.forum_topic_created is not None:
        return None
    return str(Key(chat=message.chat.id, message=other.message_id, thread=thread))


def _pressed(query: telegram.CallbackQuery) -> Wrote | None:
    under = query.message
    if under is None or query.from_user.is_bot:
        return None
    label, thread = "", None
    if isinstance(under, telegram.Message):
        thread = under.message_thread_id if under.is_topic_message else None
        rows = under.reply_markup.inline_keyboard if under.reply_markup else ()
        label = next((b.text for row in rows for b in row if b.callback_data == query.data), "")
    if not label:
        return None  # too old for Telegram to show, or the buttons are gone: nothing can be made of it
    return Wrote(
        place=_place(under.chat),
        by=_someone(query.from_user),
        press=query.id,
        message=Message(
            key=str(Key(chat=under.chat.id, message=under.message_id, thread=thread, press=query.id)),
            room="",
            sender="",
            # Telegram does not date a press: whoever takes it in puts the moment of arrival here.
            sent_at=under.date,
            text="",
            reply_to=str(Key(chat=under.chat.id, message=under.message_id, thread=thread)),
            pressed=_clean(label),
        ),
    )


def _bot_moved(change: telegram.ChatMemberUpdated) -> Added | Removed | None:
    if change.chat.type == ChatType.CHANNEL:
        return None
    was, now = _is_in(change.old_chat_member), _is_in(change.new_chat_member)
    if was == now:
        return None
    kind = Added if now else Removed
    return kind(place=_place(change.chat), by=_someone(change.from_user))


def _person_moved(change: telegram.ChatMemberUpdated) -> Joined | None:
    user = change.new_chat_member.user
    if user.is_bot or _is_in(change.old_chat_member) or not _is_in(change.new_chat_member):
        return None
    return Joined(place=_place(change.chat), who=_someone(user), alone=change.from_user.id == user.id)


def _is_in(member: telegram.ChatMember) -> bool:
    if isinstance(member, telegram.ChatMemberRestricted):
        return bool(member.is_member)
    return member.status in _IN_CHAT


def _place(chat: telegram.Chat) -> Place:
    title = _clean(chat.title or "")[:_LONGEST_TITLE]
    return Place(chat=str(chat.id), private=chat.type == ChatType.PRIVATE, title=title)


def _someone(user: telegram.User) -> Someone:
    return Someone(
        id=str(user.id),
        first=_clean(user.first_name or "")[:_LONGEST_NAME].strip(),
        last=_clean(user.last_name or "")[:_LONGEST_NAME].strip(),
        username=_clean(user.username or "")[:_LONGEST_NAME],
    )


def _clean(text: str) -> str:
    """The text without what a database can't hold: NUL, and halves of surrogate pairs."""
    return text.replace("\x00", "").encode("utf-8", "replace").decode("utf-8")


def _without_mention(text: str, me: Me) -> str:
    """The text without the bot's own @name at its front."""
    mention = f"@{me.username}"
    if me.username and text[: len(mention)].casefold() == mention.casefold():
        rest = text[len(mention) :]
        if not rest[:1].isalnum() and rest[:1] != "_":
            return rest.lstrip(" ,:")
    return text


def _without_command(text: str, me: Me) -> tuple[str, str | None]:
    """A command as plain words (`/help@name` is "help"), and what follows `/start` (None where it is no start).

    Only `/start` keeps its stroke: nobody says "start" and means it.
    """
    if not text.startswith("/"):
        return text, None
    command, _, rest = text.partition(" ")
    name, at, to = command.partition("@")
    if at and to.casefold() != me.username.casefold():
        return "", None  # a command for another bot in the group
    if name.casefold() == "/start":
        return f"/start {rest}".strip(), rest.strip()
    return f"{name[1:].replace('_', ' ')} {rest}".strip(), None


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """What the inbox must know of an update before it is understood.

    Attributes:
        number: the server's own number of it. message: None for what is no message (a joining, an upgrade).
        edit: Telegram's date of the edit in seconds; 0 as first written.
        digest: a mark of the content, which tells two edits within one second apart.
    """

    number: str
    chat: str
    message: str | None
    edit: int
    digest: str


def address(raw: Mapping[str, Any]) -> Address:
    """Where an update belongs, from any JSON object: what is missing is empty, nothing raises."""
    content: Any = {}
    message: str | None = None
    for kind in ("message", "edited_message"):
        if isinstance(raw.get(kind), dict):
            content = raw[kind]
            message = _number(content.get("message_id"))
    if isinstance(raw.get("callback_query"), dict):
        query = raw["callback_query"]
        content = query.get("message") if isinstance(query.get("message"), dict) else {}
        message = f"press {_number(query.get('id'))}"
    for kind in ("my_chat_member", "chat_member"):
        if isinstance(raw.get(kind), dict):
            content = raw[kind]
    chat = content.get("chat")
    edited = content.get("edit_date")
    said = json.dumps([content.get(k) for k in ("text", "caption", "photo")], default=str)
    return Address(
        number=_number(raw.get("update_id")) or "",
        chat=(_number(chat.get("id")) if isinstance(chat, dict) else None) or "",
        message=message,
        # An update of Telegram's own making (a link was looked up) comes as an edit without a date.
        edit=edited if isinstance(edited, int) and 0 <= edited < 2**53 and "callback_query" not in raw else 0,
        digest=hashlib.sha256(said.encode()).hexdigest()[:16],
    )


def _number(value: Any) -> str | None:
    return str(value)[:64] if isinstance(value, int | str) else None
