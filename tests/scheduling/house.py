"""A small kennel in a database of its own, a set clock, and a chat that keeps what it was sent."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time

from bot.chat.errors import SendError
from bot.storage import Database
from core.entries import Entry
from core.messages import Mark, Message, Say
from core.roster import BREEDER, FAMILY, Dog, Duty, Kennel, Person, Ration
from core.turns import Post

PLATFORM = "test"
KENNEL = Kennel(
    name="Larkrise",
    zone="Europe/London",
    people=(
        Person(name="Maya", role="breeder"),
        Person(name="Tom", role="partner"),
        Person(name="Wren"),
        Person(name="Ana", role="buyer", dogs=("Teasel",)),
    ),
    dogs=(
        Dog(name="Nugget", born=date(2025, 11, 15), sex="m", ration=(Ration(meal="breakfast", cups=0.75),)),
        Dog(name="Moss", born=date(2014, 2, 20), sex="f"),
        Dog(name="Teasel", born=date(2025, 11, 15), sex="f", home="Ana"),
    ),
    duties=(
        Duty(what="breakfast", at=time(7), who="Tom"),
        Duty(what="dinner", at=time(17, 30), who="Wren"),
        Duty(what="weigh", at=time(10), who="Wren", days=(6,), dogs=("Nugget",)),
    ),
)


def at(day: int, hour: int, minute: int = 0, second: int = 0, month: int = 3) -> datetime:
    """A moment of 2026 at the kennel."""
    return datetime(2026, month, day, hour, minute, second, tzinfo=KENNEL.tz)


def in_memory() -> str:
    """The URL of a new database."""
    return "sqlite://"


new_url: Callable[[], str] = in_memory  # a folder's conftest puts PostgreSQL's in its place


def opened(kennel: Kennel = KENNEL, url: str = "") -> tuple[Database, int]:
    """A new database (that of the URL where one is given) with that kennel, its rooms bound to chats of their names."""
    database = Database(url or new_url()).open()
    number = database.create_kennel(kennel)
    for room in (FAMILY, BREEDER, *(p.name for p in kennel.people if p.role == "buyer")):
        database.bind_room(PLATFORM, f"chat {room}", number, room)
    return database, number


def post(database: Database, number: int, *entries: Entry, when: datetime, by: str = "Tom") -> None:
    """Writes entries as one message of the family room."""
    message = Message(key=f"m{when.isoformat()}", room=FAMILY, sender=by, sent_at=when, text="")
    with database.writing(number) as store:
        store.post([Post(entry=e) for e in entries], (), message)


@dataclass
class Chat:
    """A `Sender` that keeps what arrives, and fails as often as it is told to."""

    got: list[tuple[str, str]] = field(default_factory=list)
    fails: list[SendError] = field(default_factory=list)
    times: list[float] = field(default_factory=list)
    clock: object = None

    async def send(self, chat: str, out: Say | Mark, reply_to: str | None) -> str:
        """The number of what arrived, as its key."""
        if self.fails:
            raise self.fails.pop(0)
        self.got.append((chat, out.text if isinstance(out, Say) else out.mark))
        return str(len(self.got))


def without(kennel: Kennel, *names: str) -> Kennel:
    """The kennel without those dogs."""
    return replace(kennel, dogs=tuple(d for d in kennel.dogs if d.name not in names))
