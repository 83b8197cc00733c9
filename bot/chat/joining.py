"""A code of an invitation, said in a private chat: the guest is let in, or told politely that it does not work.

Five wrong codes within an hour shut the door for that account until the hour has passed; whose invitation it was,
or who may be meant, is told. Codes have 128 bits: this is for the log and the peace of mind, not against guessing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from core.access import own_room
from core.messages import DIGEST, Say
from core.roster import BREEDER, Kennel, Person
from shared.texts import listed, text

MOST_WRONG = 5
WITHIN = timedelta(hours=1)


class FoundInvite(Protocol):
    """An invitation as it stands (`bot.storage.invites.Found`)."""

    @property
    def id(self) -> int: ...
    @property
    def kennel(self) -> int | None: ...
    @property
    def person(self) -> str: ...
    @property
    def state(self) -> str: ...


class CameIn(Protocol):
    """Who came in, and where (`bot.storage.invites.Came`)."""

    @property
    def kennel(self) -> int: ...
    @property
    def person(self) -> Person: ...
    @property
    def invite(self) -> int: ...


class Book(Protocol):
    """What is looked up and written down of invitations."""

    def tries(self, account: str, at: datetime, within: timedelta) -> int: ...
    def wrong(self, account: str, at: datetime, within: timedelta) -> int: ...
    def find_invite(self, code: str, at: datetime) -> FoundInvite | None: ...
    def use_invite(
        self, code: str, account: str, chat: str, name: str, at: datetime, says: Callable[[CameIn], Sequence[Say]]
    ) -> CameIn | None: ...
    def kennel(self, number: int) -> Kennel: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Knock:
    """What came of a code: who came in, or the line for the chat and what a breeder is told."""

    came: CameIn | None = None
    line: str = ""
    kennel: int | None = None
    say: tuple[Say, ...] = ()


def knock(
    book: Book, code: str, *, account: str, chat: str, name: str, shown: str, at: datetime, only: int | None
) -> Knock:
    """Tries the code.

    Args:
        name: what the account calls itself; a helper without a name in the invitation gets it. shown: the account as
            a breeder may recognise it. only: the kennel whose breeder hears of guessed codes; None for nobody.
    """
    if book.tries(account, at, WITHIN) >= MOST_WRONG:
        return Knock(line=text("invites.shut"))
    came = book.use_invite(code, account, chat, name, at, lambda c: _said(book, c, account, shown))
    if came is not None:
        return Knock(came=came)
    found = book.find_invite(code, at)
    tried = book.wrong(account, at, WITHIN)
    say: list[Say] = []
    kennel = only
    if found is not None and found.kennel is not None:
        kennel = found.kennel
        who = text("invites.link_of", who=found.person) if found.person else text("invites.link_of_helper")
        say.append(_told(f"code {found.id} {account}", text("invites.used_again", who=shown, link=who)))
    if tried >= MOST_WRONG and kennel is not None:
        say.append(_told(f"guessing {account} {at:%Y-%m-%d %H}", text("invites.guessing", who=shown, n=tried)))
    return Knock(line=text("invites.no_such"), kennel=kennel if say else None, say=tuple(say))


def elsewhere(book: Book, found: FoundInvite, account: str, shown: str) -> Knock:
    """An open invitation in a chat that belongs to another kennel: a chat has one room, so the breeder who invited is
    told, and the invitation stays open."""
    if found.kennel is None:
        return Knock(line=text("invites.other_kennel_own"))
    breeder = book.kennel(found.kennel).breeder
    told = _told(f"elsewhere {found.id} {account}", text("invites.other_kennel_told", who=shown))
    line = text("invites.other_kennel", breeder=breeder.name if breeder else text("telegram.somebody"))
    return Knock(line=line, kennel=found.kennel, say=(told,))


def welcome(person: Person, kennel: Kennel) -> str:
    """What somebody who comes in is told, by what they may do."""
    breeder = kennel.breeder.name if kennel.breeder else ""
    role = person.role if person.role in ("buyer", "sitter", "mentor") else "family"
    return text(f"invites.welcome.{role}", who=person.name, breeder=breeder, dogs=listed(list(person.dogs)))


def _said(book: Book, came: CameIn, account: str, shown: str) -> Sequence[Say]:
    """What the guest and the breeder are told; the breeder of a kennel that she just claimed is asked by the set-up."""
    if came.person.role == "breeder":
        return ()
    kennel = book.kennel(came.kennel)
    hello = Say(
        key=f"welcome {came.invite}", room=own_room(kennel, came.person), text=welcome(came.person, kennel),
        about="hello",
    )
    told = text("invites.came", who=came.person.name, account=shown)
    return (hello, _told(f"came {came.invite} {account}", told))


def _told(key: str, words: str) -> Say:
    return Say(key=key, room=BREEDER, text=words, about="room", priority=DIGEST)
