"""Who comes in, and into which room: the chat is looked up, the account is looked up, nothing is read.

A chat belongs to a kennel once the breeder opened it: her private line by the code that `fettle serve` prints, the
family room by adding the bot to a group, a private line of somebody invited by the code of the invitation.
An account is a person of the roster by its number; the first time by a code, by the breeder's word, or, for a helper
in the family group, by a name that only one person without an account bears. Whoever fits nobody is not heard, and
the breeder is asked once; so is she about whoever came into the group by its link, whatever they are called.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Protocol

from bot.chat import joining
from bot.chat.codes import code_in
from bot.chat.joining import knock
from bot.chat.script import MAX_NAME
from bot.chat.updates import Added, Came, Joined, Place, Removed, Someone, Upgraded, Wrote
from core.messages import DIGEST, Message, Say
from core.roster import BREEDER, FAMILY, Kennel, Person
from shared.texts import text

PLATFORM = "telegram"

# Who may be known by a first name in the family room. Not the breeder, who decides, and not those who have a line of
# their own: whoever takes their name would see what is theirs.
_BY_NAME = frozenset({"partner", "family", "child", "gran"})
_ASKED = "who"  # the beginning of the key under which the breeder was asked about an account
_START = "/start"  # what a message that came with a code is to a set-up


class RoomFound(Protocol):
    """A chat that belongs to a kennel (`bot.storage.Room`)."""

    @property
    def kennel(self) -> int: ...
    @property
    def room(self) -> str: ...
    @property
    def shut(self) -> str: ...


class Book(joining.Book, Protocol):
    """What the door looks up and writes down; each call is a commit of its own, and doing it twice changes nothing."""

    def room_of(self, platform: str, chat: str) -> RoomFound | None: ...
    def chat_of(self, kennel: int, room: str) -> str | None: ...
    def bind_room(self, platform: str, chat: str, kennel_id: int, room: str) -> None: ...
    def unbind_room(self, platform: str, chat: str) -> None: ...
    def move_room(self, platform: str, old_chat: str, new_chat: str) -> None: ...
    def shut_room(self, platform: str, chat: str, why: str) -> None: ...
    def person_of(self, platform: str, account: str, kennel_id: int) -> str: ...
    def accounts_of(self, platform: str, kennel_id: int) -> Mapping[str, str]: ...
    def homes_of(self, platform: str, account: str) -> tuple[tuple[int, str], ...]: ...
    def bind_account(self, platform: str, account: str, kennel_id: int, person: str) -> None: ...
    def kennels(self) -> Mapping[int, str]: ...
    def said_as(self, kennel: int, room: str, sent_key: str) -> Say | None: ...
    def is_said(self, kennel: int, key: str) -> bool: ...
    def is_first_today(self, platform: str, account: str, day: date) -> bool: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What is to be done with what came.

    Attributes:
        kennel, message: the message to be heard, in its room and with its sender's name; None for nothing to hear.
        say: what goes into that kennel's outbox. line: what is said into the chat at once, "" for nothing.
        leave: whether the chat is left after that. stranger: true where nothing of the content may be kept.
    """

    kennel: int | None = None
    message: Message | None = None
    say: tuple[Say, ...] = ()
    line: str = ""
    leave: bool = False
    stranger: bool = False


class Door:
    """Decides on one thing that came at a time."""

    def __init__(self, book: Book, *, deaf: bool = False) -> None:
        """
        Args:
            deaf: true where the bot hears no plain talk in groups (privacy mode); the breeder is told how to mend it.
        """
        self._book = book
        self._deaf = deaf

    def admit(self, came: Came, at: datetime) -> Verdict:
        """What is to be done; rooms and accounts are bound on the way. `at` is when it arrived."""
        match came:
            case Upgraded():
                self._book.move_room(PLATFORM, came.old, came.new)
                return Verdict()
            case Removed():
                return self._removed(came, at)
            case Added():
                return self._added(came)
            case Joined():
                return self._joined(came)
            case Wrote():
                return self._wrote(came, at)

    # -- chats ------------------------------------------------------------------------------------------------------

    def _removed(self, came: Removed, at: datetime) -> Verdict:
        room = self._book.room_of(PLATFORM, came.place.chat)
        if room is None:
            return Verdict()
        self._book.shut_room(PLATFORM, came.place.chat, "removed")
        if room.room != FAMILY:
            return Verdict()
        told = _to_breeder(
            f"removed {came.place.chat} {came.by.id} {at.isoformat()}", text("telegram.removed", who=_shown(came.by))
        )
        return Verdict(kennel=room.kennel, say=(told,))

    def _added(self, came: Added) -> Verdict:
        room = self._book.room_of(PLATFORM, came.place.chat)
        if room is not None:
            self._book.shut_room(PLATFORM, came.place.chat, "")
            return Verdict()
        if came.place.private:
            return Verdict()
        return self._opened(came.place, came.by) or _left()

    def _opened(self, place: Place, by: Someone) -> Verdict | None:
        """A group that the breeder opens is her family room from now on; None where it is not her."""
        line = self._book.room_of(PLATFORM, by.id)
        if line is None or line.room != BREEDER:
            return None
        earlier = self._book.chat_of(line.kennel, FAMILY)
        if earlier is not None and earlier != place.chat:
            self._book.unbind_room(PLATFORM, earlier)  # one family room: what is said there is said once
        self._book.bind_room(PLATFORM, place.chat, line.kennel, FAMILY)
        hello = Say(key=f"hello {place.chat}", room=FAMILY, text=text("telegram.hello"), about="hello")
        told = _to_breeder(f"opened {place.chat}", text("telegram.opened", group=place.title))
        return Verdict(kennel=line.kennel, say=(hello, told, deaf(place.chat)) if self._deaf else (hello, told))

    def _joined(self, came: Joined) -> Verdict:
        room = self._book.room_of(PLATFORM, came.place.chat)
        if room is None or room.room != FAMILY:
            return Verdict()
        known = (
            self._book.person_of(PLATFORM, came.who.id, room.kennel)
            if came.alone
            else self._name_of(came.who, room.kennel)
        )
        return Verdict() if known else self._ask(came.who, room.kennel)

    # -- people -----------------------------------------------------------------------------------------------------

    def _wrote(self, came: Wrote, at: datetime) -> Verdict:
        message = replace(came.message, sent_at=at) if came.press else came.message
        room = self._book.room_of(PLATFORM, came.place.chat)
        if room is None:
            return self._into_no_room(came, message, at)
        if room.shut:
            self._book.shut_room(PLATFORM, came.place.chat, "")  # they write: the door is open again
        if room.room == FAMILY:
            sender = self._name_of(came.by, room.kennel)
            if not sender:
                return self._ask(came.by, room.kennel)
        else:
            sender = self._book.person_of(PLATFORM, came.by.id, room.kennel)
            if not sender:
                return self._knocked(came, message, at) or self._stranger(came, at)
            found = self._open_invite(came, message, at)
            if found is not None and found.kennel != room.kennel:
                answer = joining.elsewhere(self._book, found, came.by.id, _shown(came.by))
                return Verdict(kennel=answer.kennel, say=answer.say, line=answer.line, stranger=True)
        return self._told_who(room, sender, message) or self._heard(came, room.kennel, message, room.room, sender)

    def _heard(self, came: Wrote, kennel: int, message: Message, room: str, sender: str) -> Verdict:
        """The message in its room; `/start` begins nothing in a kennel that has a name, there it asks for help."""
        if came.start is not None or code_in(message.text):
            begun = self._book.kennel(kennel).name
            message = replace(message, text=text("telegram.start_means") if begun else _START)  # without the code
        return Verdict(kennel=kennel, message=replace(message, room=room, sender=sender))

    def _into_no_room(self, came: Wrote, message: Message, at: datetime) -> Verdict:
        if not came.place.private:
            return self._opened(came.place, came.by) or _left()
        homes = self._book.homes_of(PLATFORM, came.by.id)
        found = self._open_invite(came, message, at)
        if found is not None and found.kennel not in {kennel for kennel, _ in homes}:
            homes = ()  # into the kennel of the invitation: what they are in another one's group they stay there
        for kennel, name in homes:
            person = self._book.kennel(kennel).person(name)
            if person is not None:
                own = BREEDER if person.role == "breeder" else person.name
                self._book.bind_room(PLATFORM, came.place.chat, kennel, own)
                return self._heard(came, kennel, message, own, person.name)
        return self._knocked(came, message, at) or self._stranger(came, at)

    def _open_invite(self, came: Wrote, message: Message, at: datetime) -> joining.FoundInvite | None:
        """The invitation whose code the message gives, where somebody may still use it."""
        code = _code(came, message)
        found = self._book.find_invite(code, at) if code else None
        return found if found is not None and found.state == "open" else None

    def _knocked(self, came: Wrote, message: Message, at: datetime) -> Verdict | None:
        """What comes of a code; None where the message gives none."""
        code = _code(came, message)
        if not code:
            return None
        kennels = tuple(self._book.kennels())
        answer = knock(
            self._book, code, account=came.by.id, chat=came.place.chat, shown=_shown(came.by), at=at,
            name=_own_name(came.by), only=kennels[0] if len(kennels) == 1 else None,
        )
        if answer.came is None:
            return Verdict(kennel=answer.kennel, say=answer.say, line=answer.line, stranger=True)
        if answer.came.person.role != "breeder":
            return Verdict(kennel=answer.came.kennel, stranger=True)
        return self._heard(replace(came, start=""), answer.came.kennel, message, BREEDER, answer.came.person.name)

    def _is_unclaimed(self) -> bool:
        """True where a code of `fettle serve` is waited for: nobody has a kennel here yet."""
        return not any(self._book.accounts_of(PLATFORM, kennel) for kennel in self._book.kennels())

    def _stranger(self, came: Wrote, at: datetime) -> Verdict:
        """One fixed line a day, whatever was written; the breeder is asked where it may be somebody of hers."""
        asked = self._ask_about_private(came.by)
        if not self._book.is_first_today(PLATFORM, came.by.id, at.date()):
            return replace(asked, stranger=True)
        line = text("telegram.unclaimed" if self._is_unclaimed() else "strangers.one_line")
        return replace(asked, line=line, stranger=True)

    def _ask_about_private(self, who: Someone) -> Verdict:
        """The breeder of the only kennel is asked about somebody who bears a name of her roster."""
        kennels = tuple(self._book.kennels())
        if len(kennels) == 1:
            roster = self._book.kennel(kennels[0])
            taken = set(self._book.accounts_of(PLATFORM, kennels[0]).values())
            if any(p.name not in taken for p in _bearing(roster, who)):
                return self._ask(who, kennels[0])
        return Verdict()

    def _name_of(self, who: Someone, kennel: int) -> str:
        """The person's name on the roster, "" for nobody; a helper known by a first name is bound to the account."""
        known = self._book.person_of(PLATFORM, who.id, kennel)
        if known:
            return known
        if self._book.is_said(kennel, f"{_ASKED} {who.id}"):
            return ""  # the breeder was asked, and it is for her to say
        roster = self._book.kennel(kennel)
        taken = set(self._book.accounts_of(PLATFORM, kennel).values())
        fitting = [p for p in _bearing(roster, who) if p.role in _BY_NAME and p.name not in taken]
        if not fitting:
            return ""
        self._book.bind_account(PLATFORM, who.id, kennel, fitting[0].name)
        return fitting[0].name

    def _ask(self, who: Someone, kennel: int) -> Verdict:
        """The breeder is asked once who that is; what they wrote is not kept."""
        roster = self._book.kennel(kennel)
        taken = set(self._book.accounts_of(PLATFORM, kennel).values())
        free = tuple(p.name for p in roster.people if p.name not in taken and p.role != "breeder")
        shown = _shown(who)
        if free:
            words, buttons = text("telegram.who", who=shown), (*free, text("telegram.nobody"))
        else:
            words, buttons = text("strangers.writes_here", who=shown), ()
        told = replace(_to_breeder(f"{_ASKED} {who.id}", words), buttons=buttons)
        return Verdict(kennel=kennel, say=(told,), stranger=True)

    def _told_who(self, room: RoomFound, sender: str, message: Message) -> Verdict | None:
        """The breeder's press under "who is that?"; None for everything else."""
        if room.room != BREEDER or not message.pressed or message.reply_to is None:
            return None
        asked = self._book.said_as(room.kennel, BREEDER, message.reply_to)
        if asked is None or not asked.key.startswith(f"{_ASKED} "):
            return None
        account = asked.key.removeprefix(f"{_ASKED} ")
        person = self._book.kennel(room.kennel).person(message.pressed)
        if person is None or person.role == "breeder":
            return Verdict(kennel=room.kennel)
        # An old question may be answered once more: what it was answered with, or the person's own link, stands.
        known = self._book.accounts_of(PLATFORM, room.kennel)
        other = known.get(account, person.name)
        if other != person.name:
            return Verdict(kennel=room.kennel, say=(_refused(account, person, "telegram.known_as", other),))
        if person.name in known.values() and account not in known:
            return Verdict(kennel=room.kennel, say=(_refused(account, person, "telegram.known_already", person.name),))
        self._book.bind_account(PLATFORM, account, room.kennel, person.name)
        done = _to_breeder(f"{_ASKED} {account} is {person.name}", text("telegram.known", who=person.name))
        return Verdict(kennel=room.kennel, say=(done,))


def _code(came: Wrote, message: Message) -> str:
    """The code that a message in private gives, "" where it gives none."""
    if not came.place.private or message.edit or message.quoted or message.pressed:
        return ""
    return code_in(came.start, sure=True) if came.start else code_in(message.text)


def _bearing(roster: Kennel, who: Someone) -> tuple[Person, ...]:
    """The people of the roster who bear one of the account's names, likeliest first."""
    found = (roster.person(name) for name in who.names())
    return tuple(dict.fromkeys(p for p in found if p is not None))


def _shown(who: Someone) -> str:
    """The account as the breeder may recognise it, on one line."""
    name = " ".join(f"{who.first} {who.last}".split())[:40] or text("telegram.somebody")
    return f"{name} (@{who.username})" if who.username else name


def _own_name(who: Someone) -> str:
    """What the account calls itself, fit for a roster."""
    name = " ".join((who.first or who.username).split())[:MAX_NAME].strip()
    return name if any(c.isalpha() for c in name) and name.isprintable() else text("telegram.somebody")


def deaf(since: str) -> Say:
    """What the breeder is told where the bot hears no plain talk; once for each `since`."""
    return _to_breeder(f"deaf {since}", text("telegram.deaf"))


def _to_breeder(key: str, words: str) -> Say:
    return Say(key=key, room=BREEDER, text=words, about="room", priority=DIGEST)


def _refused(account: str, person: Person, why: str, who: str) -> Say:
    return _to_breeder(f"{_ASKED} {account} is not {person.name}", text(why, who=who))


def _left() -> Verdict:
    return Verdict(line=text("telegram.not_ours"), leave=True, stranger=True)
