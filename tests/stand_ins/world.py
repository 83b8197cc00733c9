"""The chats of the Bot API double and what people do in them, in the JSON that the Bot API documents."""

from __future__ import annotations

import copy
import itertools
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

Json = dict[str, Any]

PRIVATE, GROUP, SUPERGROUP = "private", "group", "supergroup"


@dataclass
class User:
    """A Telegram account."""

    id: int
    first: str
    username: str = ""
    last: str = ""
    is_bot: bool = False

    def json(self) -> Json:
        """As the Bot API's `User`."""
        out: Json = {"id": self.id, "is_bot": self.is_bot, "first_name": self.first}
        return out | ({"username": self.username} if self.username else {}) | (
            {"last_name": self.last} if self.last else {}
        )


@dataclass
class Chat:
    """A chat; `state` is `in`, or why the bot can't write there (the server's own words)."""

    id: int
    kind: str
    title: str = ""
    shut: str = ""
    moved_to: int | None = None
    reactions: bool = True
    bot_is_admin: bool = False
    messages: dict[int, Json] = field(default_factory=dict)
    next_message: int = 1

    def json(self) -> Json:
        """As the Bot API's `Chat`."""
        return {"id": self.id, "type": self.kind} | ({"title": self.title} if self.title else {})


@dataclass
class Sent:
    """What the bot sent: a text, a picture or a file."""

    chat: int
    message: int
    text: str
    reply_to: int | None = None
    thread: int | None = None
    buttons: tuple[str, ...] = ()
    photo: bytes = b""
    at: float = 0.0
    file: bytes = b""
    file_name: str = ""


@dataclass
class Reacted:
    """A mark that the bot put on a message."""

    chat: int
    message: int
    mark: str
    at: float = 0.0


class World:
    """Chats, people, and the updates that wait for the bot."""

    def __init__(self, *, privacy: bool = False, unix: Callable[[], int] = lambda: 1_780_000_000) -> None:
        self.bot = User(id=4242, first="Fettle", username="fettle_test_bot", is_bot=True)
        self.privacy = privacy
        self.unix = unix
        self.chats: dict[int, Chat] = {}
        self.updates: list[Json] = []
        self.next_update = 700_000_001
        self.allowed: tuple[str, ...] = ("message", "edited_message", "callback_query", "my_chat_member")
        self.sent: list[Sent] = []
        self.files: dict[str, bytes] = {}  # what people sent, by Telegram's id of the file
        self.photos: dict[str, bytes] = {}  # kept by the platform, by its name of them
        self.marks: list[Reacted] = []
        self.left: list[int] = []
        self.answered: list[str] = []
        self.changed: Callable[[], None] = lambda: None
        self._press = itertools.count(9001)

    # -- people ----------------------------------------------------------------------------------------------------

    def private(self, user: User, *, started: bool = True) -> Chat:
        """That person's private chat with the bot."""
        shut = "" if started else "Forbidden: bot can't initiate conversation with a user"
        return self.chats.setdefault(user.id, Chat(id=user.id, kind=PRIVATE, shut=shut))

    def group(self, title: str, *, chat: int = -100, by: User | None = None, supergroup: bool = False) -> Chat:
        """A group with the bot in it; told to the bot where `by` added it."""
        made = self.chats.setdefault(chat, Chat(id=chat, kind=SUPERGROUP if supergroup else GROUP, title=title))
        if by is not None:
            self._membership(made, by, "left", "member")
        return made

    def write(self, chat: Chat, user: User, text: str, **more: Any) -> int:
        """Somebody writes; gives the message's number. `more` are further fields of the Bot API's `Message`."""
        message = self._message(chat, user, {"text": text} | more)
        if not self._hears(chat, message):
            return int(message["message_id"])
        self._update("message", message)
        return int(message["message_id"])

    def photo(self, chat: Chat, user: User, caption: str = "") -> int:
        """Somebody sends a photo, in the three sizes in which Telegram offers it."""
        sizes = [
            {"file_id": f"photo-{w}", "file_unique_id": f"u{w}", "width": w, "height": w, "file_size": w * 10}
            for w in (90, 320, 1280)
        ]
        message = self._message(chat, user, {"photo": sizes} | ({"caption": caption} if caption else {}))
        self._update("message", message)
        return int(message["message_id"])

    def document(self, chat: Chat, user: User, name: str, content: bytes, caption: str = "") -> int:
        """Somebody sends a file."""
        known = f"file-{len(self.files) + 1}"
        self.files[known] = content
        file = {"file_id": known, "file_unique_id": f"u{known}", "file_name": name, "file_size": len(content)}
        message = self._message(chat, user, {"document": file} | ({"caption": caption} if caption else {}))
        self._update("message", message)
        return int(message["message_id"])

    def edit(self, chat: Chat, number: int, text: str, *, after: int = 5) -> None:
        """The writer changes a message, so many seconds after it was sent."""
        message = chat.messages[number]
        message |= {"text": text, "edit_date": message["date"] + after}
        self._update("edited_message", dict(message))

    def press(self, chat: Chat, number: int, label: str, user: User) -> str:
        """Somebody presses a button under a message of the bot; gives the id of the press."""
        message = chat.messages[number]
        rows = message.get("reply_markup", {}).get("inline_keyboard", [])
        data = next(b["callback_data"] for row in rows for b in row if b["text"] == label)
        press = str(next(self._press))
        self._update(
            "callback_query",
            {"id": press, "from": user.json(), "message": dict(message), "chat_instance": "1", "data": data},
        )
        return press

    def remove_bot(self, chat: Chat, by: User) -> None:
        """The bot is thrown out of a group, or blocked in a private chat."""
        words = "bot was blocked by the user" if chat.kind == PRIVATE else f"bot was kicked from the {chat.kind} chat"
        chat.shut = f"Forbidden: {words}"
        self._membership(chat, by, "member", "kicked")

    def join(self, chat: Chat, user: User, *, by: User | None = None) -> None:
        """A person joins the group, alone by its link or brought by another: Telegram writes a service line."""
        self._update("message", self._message(chat, by or user, {"new_chat_members": [user.json()]}))

    def upgrade(self, chat: Chat, new: int, by: User) -> Chat:
        """The group becomes a supergroup with another id; its messages are counted anew."""
        made = Chat(id=new, kind=SUPERGROUP, title=chat.title)
        self.chats[new] = made
        chat.moved_to = new
        self._update("message", self._message(chat, by, {"migrate_to_chat_id": new}))
        self._update("message", self._message(made, by, {"migrate_from_chat_id": chat.id}))
        return made

    def repeat(self, update: Json, *, number: int | None = None) -> None:
        """The same update again, under the same or another number."""
        self._queue({**update, "update_id": update["update_id"] if number is None else number})

    # -- what the server does --------------------------------------------------------------------------------------

    def confirm(self, offset: int) -> None:
        """Forgets the updates before that number, as getUpdates does."""
        self.updates = [u for u in self.updates if u["update_id"] >= offset]

    def post(self, chat: Chat, fields: Json) -> Json:
        """A message of the bot's own."""
        return self._message(chat, self.bot, fields)

    def _message(self, chat: Chat, user: User, fields: Json) -> Json:
        message = {
            "message_id": chat.next_message,
            "date": self.unix(),
            "chat": chat.json() | ({"first_name": user.first} if chat.kind == PRIVATE else {}),
            "from": user.json(),
        } | fields
        chat.messages[chat.next_message] = message
        chat.next_message += 1
        return message

    def _hears(self, chat: Chat, message: Json) -> bool:
        """Privacy mode: in a group a bot hears commands, replies to itself and its own name, unless it is admin."""
        if chat.kind == PRIVATE or not self.privacy or chat.bot_is_admin:
            return True
        text = message.get("text", "")
        to = message.get("reply_to_message", {}).get("from", {}).get("id")
        return text.startswith("/") or f"@{self.bot.username}" in text or to == self.bot.id

    def _membership(self, chat: Chat, by: User, old: str, new: str) -> None:
        def member(status: str) -> Json:
            return {"user": self.bot.json(), "status": status} | ({"until_date": 0} if status == "kicked" else {})

        change = {"chat": chat.json(), "from": by.json(), "date": self.unix()}
        self._update("my_chat_member", change | {"old_chat_member": member(old), "new_chat_member": member(new)})

    def _update(self, kind: str, content: Json) -> None:
        if kind in self.allowed:
            self._queue({"update_id": self.next_update, kind: content})
            self.next_update += 1

    def _queue(self, update: Json) -> None:
        self.updates.append(copy.deepcopy(update))  # what is on its way does not change any more
        self.changed()
