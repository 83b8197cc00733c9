"""What can go wrong between a chat and Fettle, sorted by what the caller does next.

ChatError
├── SendError
│   ├── Passing   wait, then send again
│   ├── Refused   set this one aside, go on with the next
│   ├── Shut      stop sending to this chat
│   └── Moved     write down the chat's new name, then send there
└── Stopped       listening cannot go on: the text says what to do
    ├── BadToken
    └── AnotherBot
"""

from __future__ import annotations

from bot.settings import Trouble


class ChatError(Exception):
    """Something went wrong between a chat and Fettle."""


class SendError(ChatError):
    """Something could not be sent."""


class Passing(SendError):
    """Not sent now; it may go later.

    Attributes:
        retry_after: seconds for which the chat said to wait; None where it named none.
        unclear: true where the answer was lost, so that it may have been sent after all.
    """

    def __init__(self, text: str = "", *, retry_after: float | None = None, unclear: bool = False) -> None:
        super().__init__(text)
        self.retry_after = retry_after
        self.unclear = unclear


class Refused(SendError):
    """This message can never be sent; others in the chat may."""


class Shut(SendError):
    """Nothing can be sent to this chat any more: blocked, removed, or the chat is gone."""


class Moved(SendError):
    """The chat has another name from now on; nothing was sent."""

    def __init__(self, new_chat: str) -> None:
        super().__init__(f"the chat is now {new_chat}")
        self.new_chat = new_chat


class Stopped(ChatError, Trouble):
    """Listening cannot go on; the text is one plain sentence that says what to do."""


class BadToken(Stopped):
    """The platform does not know the bot's token."""

    def __init__(self) -> None:
        super().__init__("Telegram does not know this token; copy it again from BotFather into FETTLE_TOKEN.")


class AnotherBot(Stopped):
    """Another process is listening with the same token."""
