"""What the door looks up and writes down, in the database (see `bot.chat.door.Book`)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from bot.chat.door import PLATFORM
from bot.chat.joining import CameIn
from bot.storage import Database
from bot.storage.invites import Found, Guest
from core.messages import Say
from core.roster import Kennel


class TelegramBook:
    """The book of one platform.

    Args:
        platform: its word in the tables; Telegram's where none is given.
    """

    def __init__(self, database: Database, platform: str = PLATFORM) -> None:
        self._database, self._platform = database, platform
        self.room_of = database.room_of
        self.bind_room = database.bind_room
        self.unbind_room = database.unbind_room
        self.move_room = database.move_room
        self.shut_room = database.shut_room
        self.person_of = database.person_of
        self.accounts_of = database.accounts_of
        self.homes_of = database.homes_of
        self.bind_account = database.bind_account
        self.kennels = database.kennels
        self.is_first_today = database.is_first_today

    def chat_of(self, kennel: int, room: str) -> str | None:
        """The platform's chat that is that room, None where none is."""
        rooms = self._database.rooms_of(kennel)
        return next((r.chat for r in rooms if r.platform == self._platform and r.room == room), None)

    def kennel(self, number: int) -> Kennel:
        """The kennel as it stands."""
        with self._database.reading(number) as store:
            return store.load_kennel()

    def said_as(self, kennel: int, room: str, sent_key: str) -> Say | None:
        """What Fettle said in the room under that key, None for anything else."""
        with self._database.reading(kennel) as store:
            return store.said_as(room, sent_key)

    def is_said(self, kennel: int, key: str) -> bool:
        """True where something with that key was ever put into the outbox."""
        with self._database.reading(kennel) as store:
            return store.is_said(key)

    def tries(self, account: str, at: datetime, within: timedelta) -> int:
        """How many wrong codes the account tried within that time."""
        return self._database.invites.tries(self._platform, account, at, within)

    def wrong(self, account: str, at: datetime, within: timedelta) -> int:
        """The same, with one more."""
        return self._database.invites.wrong(self._platform, account, at, within)

    def find_invite(self, code: str, at: datetime) -> Found | None:
        """The invitation with that code, whatever became of it."""
        return self._database.invites.find(code, at)

    def use_invite(
        self, code: str, account: str, chat: str, name: str, at: datetime, says: Callable[[CameIn], Sequence[Say]]
    ) -> CameIn | None:
        """Lets the account in by that code, with what is said of it; None where it is not open."""
        guest = Guest(platform=self._platform, account=account, chat=chat, name=name)
        return self._database.invites.use(code, guest, at, says)
