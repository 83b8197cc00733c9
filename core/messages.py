"""What comes in and what goes out, whatever chat carries it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

PHOTO = "photo:"  # how `Say.picture` names a photo that somebody sent, by the chat's handle of it
# Priorities: a lower number leaves first.
URGENT, ANSWER, REMINDER, DIGEST, TIP = 0, 1, 2, 3, 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """One message as a person wrote it.

    Attributes:
        key: the chat's own identity of the message, unique in its room; an edit keeps it.
        room: `family`, `breeder`, or a buyer's or sitter's name for their private line.
        sender: the person's name on the roster ("" for somebody unknown).
        sent_at: when it was sent (aware). text: plain text ("" for a picture alone).
        edit: 0 as first written, then 1, 2, … for each edit.
        reply_to: key of the message it answers. pressed: the label of a pressed button, "" otherwise.
        picture: the chat's handle of a photo; "" for none. quoted: true for a forwarded message.
        table: the text of a table that was sent as a file (CSV), not kept; "" for none.
    """

    key: str
    room: str
    sender: str
    sent_at: datetime
    text: str
    edit: int = 0
    reply_to: str | None = None
    pressed: str = ""
    picture: str = ""
    quoted: bool = False
    table: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """An acknowledgement: one mark on a message."""

    room: str
    message: str
    mark: str = "✍"


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """Something to be said in a room.

    Attributes:
        key: what, for whom, for which day: a second one with the same key is never sent.
        about: a word for the kind of thing it is (`answer`, `doubt`, `urgent`, `reminder`, `alert`, `tip`).
        buttons: the likely answers as labels. reply_to: the message answered, where one was.
        not_before, not_after: when it may leave; None for at once and for ever.
        picture: a chart to draw (see `bot.replies.charts`), or a photo by its handle after `PHOTO`; the text is its
            caption.
        document: a file to make and send in the same way; see `bot.replies.documents`.
        invite: the invitation whose link and code the text has room for, as `{link}` and `{code}`; "" for none.
    """

    key: str
    room: str
    text: str
    about: str = "answer"
    priority: int = ANSWER
    buttons: tuple[str, ...] = ()
    reply_to: str | None = None
    not_before: datetime | None = None
    not_after: datetime | None = None
    picture: str = ""
    document: str = ""
    invite: str = ""
