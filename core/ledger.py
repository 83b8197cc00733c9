"""The kennel's book: entries as they were posted, never overwritten, and what they come to today."""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TypeVar

from core.entries import Entry

E = TypeVar("E", bound=Entry)

BROUGHT = "history-"  # how the message keys of records begin that were brought along with the kennel's file


@dataclass(frozen=True, slots=True, kw_only=True)
class Posted:
    """One entry in the book, with where it came from.

    Attributes:
        id: number in the book, rising in order of posting.
        at: when the message that said it was sent (aware, UTC in storage).
        by: who said it. room, message: where; the message's key in that room.
        replaced_by: the entry that took its place, None while it counts.
        withdrawn: true once it was undone or its message edited into something else.
    """

    id: int
    entry: Entry
    at: datetime
    by: str = ""
    room: str = "family"
    message: str = ""
    replaced_by: int | None = None
    withdrawn: bool = False

    @property
    def counts(self) -> bool:
        """True while the entry is neither replaced nor withdrawn."""
        return self.replaced_by is None and not self.withdrawn

    @property
    def brought(self) -> bool:
        """True where it came with the kennel's file: nobody sent it at that moment."""
        return self.message.startswith(BROUGHT)


class Ledger:
    """An append-only list of posted entries and its fold.

    Only entries that count are handed out, unless `history` is asked for. Order of arrival makes no
    difference: entries come back by day, then by the moment they were said, then by number.
    An entry whose replacement was withdrawn counts again: taking back a correction restores what it corrected.
    """

    def __init__(self, posted: Iterable[Posted] = ()) -> None:
        rows = sorted(posted, key=lambda p: p.id)
        void = {p.id for p in rows if p.withdrawn}
        self._all: tuple[Posted, ...] = tuple(
            replace(p, replaced_by=None) if p.replaced_by in void else p for p in rows
        )
        self._live: tuple[Posted, ...] = tuple(
            sorted((p for p in self._all if p.counts), key=_place)
        )
        by_dog: dict[str, list[Posted]] = {}
        for p in self._live:
            by_dog.setdefault(p.entry.dog, []).append(p)
        self._by_dog: dict[str, tuple[Posted, ...]] = {d: tuple(ps) for d, ps in by_dog.items()}
        self._by_kind: dict[str, dict[type[Entry], tuple[Posted, ...]]] = {}  # of a dog once it was asked for

    def __iter__(self) -> Iterator[Posted]:
        return iter(self._live)

    def __len__(self) -> int:
        return len(self._live)

    def history(self) -> tuple[Posted, ...]:
        """Everything ever posted, replaced and withdrawn entries too, in order of posting."""
        return self._all

    def of(
        self, dog: str, *kinds: type[Entry], since: date | None = None, until: date | None = None
    ) -> tuple[Posted, ...]:
        """The dog's entries of those kinds (all kinds where none is named), by day; both ends included."""
        found = self._kind(dog, kinds[0]) if len(kinds) == 1 else self._by_dog.get(dog, ())
        lo = 0 if since is None else bisect_left(found, since, key=_day)
        hi = len(found) if until is None else bisect_right(found, until, key=_day)
        part = found[lo:hi]
        return part if len(kinds) < 2 else tuple(p for p in part if isinstance(p.entry, kinds))

    def _kind(self, dog: str, kind: type[Entry]) -> tuple[Posted, ...]:
        """The dog's entries of one kind; a book of years is sorted by kind once for each dog."""
        if kind is Entry:
            return self._by_dog.get(dog, ())
        by_kind = self._by_kind.get(dog)
        if by_kind is None:
            lists: dict[type[Entry], list[Posted]] = {}
            for p in self._by_dog.get(dog, ()):
                lists.setdefault(type(p.entry), []).append(p)
            by_kind = self._by_kind[dog] = {k: tuple(ps) for k, ps in lists.items()}
        return by_kind.get(kind, ())

    def entries(self, dog: str, kind: type[E], since: date | None = None, until: date | None = None) -> tuple[E, ...]:
        """The dog's bare entries of one kind, by day; both ends included."""
        return tuple(p.entry for p in self.of(dog, kind, since=since, until=until) if isinstance(p.entry, kind))

    def last(self, dog: str, *kinds: type[Entry], until: date | None = None) -> Posted | None:
        """The dog's newest entry of those kinds, None where there is none."""
        found = self.of(dog, *kinds, until=until)
        return found[-1] if found else None

    def for_dogs(self, dogs: Collection[str]) -> Ledger:
        """The book as somebody may see it who knows only these dogs."""
        return Ledger(p for p in self._all if p.entry.dog in dogs)

    def of_message(self, room: str, message: str) -> tuple[Posted, ...]:
        """What counts of what one message gave, in order of posting."""
        return tuple(p for p in self._all if p.counts and p.room == room and p.message == message)

    def added(self, posted: Sequence[Posted]) -> Ledger:
        """The same as `with_posted` for new entries that replace nothing, without going over the whole book again."""
        new = object.__new__(Ledger)
        new._all = (*self._all, *posted)
        live, by_dog = list(self._live), dict(self._by_dog)
        by_kind = dict(self._by_kind)
        for p in posted:
            insort(live, p, key=_place)
            own = list(by_dog.get(p.entry.dog, ()))
            insort(own, p, key=_place)
            by_dog[p.entry.dog] = tuple(own)
            by_kind.pop(p.entry.dog, None)
        new._live, new._by_dog, new._by_kind = tuple(live), by_dog, by_kind
        return new

    def with_posted(self, posted: Iterable[Posted]) -> Ledger:
        """The book with these added (or, by number, put in the place of what stood there)."""
        merged = {p.id: p for p in self._all}
        merged.update((p.id, p) for p in posted)
        return Ledger(merged.values())

    def replaced(self, old: int, by: int) -> Ledger:
        """The book after entry `by` took the place of entry `old`."""
        return Ledger(replace(p, replaced_by=by) if p.id == old else p for p in self._all)


def _day(posted: Posted) -> date:
    return posted.entry.on


def _place(posted: Posted) -> tuple[date, datetime, int]:
    return posted.entry.on, posted.at, posted.id
