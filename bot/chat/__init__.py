"""Telegram and the terminal: the only rooms that know how a message travels.

In come a platform's raw updates (`updates`, fetched by `polling`), out go `Say` and `Mark` (`sending`).
`door` decides whose room a chat is; it asks through a protocol, because storage is another part.
`Sender` is what the delivery of the outbox asks of any chat; its failures are in `errors`.
Nothing here imports the Telegram library but `updates`, `sending` and `polling`.
"""

from __future__ import annotations

from typing import Protocol

from core.messages import Mark, Say


class Sender(Protocol):
    """A chat that can carry what is said."""

    async def send(self, chat: str, out: Say | Mark, reply_to: str | None) -> str:
        """The chat's own key of what was sent ("" for a mark, which has none).

        Args:
            chat: the platform's name of the chat, as it stands in `Message.key` and the rooms' table.
            out: what is said or marked. reply_to: key of the message answered, None for none.

        Raises:
            Passing: not sent now, may go later (see `Passing.unclear` for the answer that was lost).
            Refused: this message can never go; others in the chat may.
            Shut: nothing can go to this chat any more.
            Moved: the chat has another name from now on; not sent.
        """
        ...
