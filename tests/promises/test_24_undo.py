"""Promise 24: undo undoes, and history stays; with any posts, corrections, edits, repeats, kills and restarts between.

A model of plain lists and a database are led through the same steps, whatever Hypothesis chooses, and compared.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, field
from pathlib import Path

import hypothesis.strategies as st
from hypothesis import settings
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from bot.storage import Database
from bot.storage.errors import KeyReused
from core.entries import Weight
from core.messages import Message
from core.roster import KnownWeight
from core.turns import Post
from tests.storage.conftest import DAY, KENNEL, said

DOGS = st.sampled_from(["Clover", "Nugget", "Juniper"])
KILOS = st.integers(20, 200).map(lambda n: n / 10)
DAYS = st.integers(0, 5).map(lambda n: DAY.replace(day=DAY.day - min(n, 4)))


@dataclass
class Row:
    """One entry in the model."""

    entry: Weight
    replaces: int | None = None
    replaced_by: int | None = None
    withdrawn: bool = False

    @property
    def counts(self) -> bool:
        return self.replaced_by is None and not self.withdrawn


@dataclass
class Book:
    """The model: what the rules say, with no database."""

    rows: list[Row] = field(default_factory=list)

    def post(self, entry: Weight, replaces: int | None) -> int:
        self.rows.append(Row(entry=entry, replaces=replaces))
        if replaces is not None:
            self.rows[replaces - 1].replaced_by = len(self.rows)
        return len(self.rows)

    def withdraw(self, number: int) -> None:
        self.rows[number - 1].withdrawn = True
        for row in self.rows:
            if row.replaced_by == number:
                row.replaced_by = None

    def counting(self) -> list[int]:
        return [n for n, row in enumerate(self.rows, 1) if row.counts]


class Keeping(RuleBasedStateMachine):
    """The database and the model, step by step."""

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.url = f"sqlite:///{Path(self.folder.name) / 'fettle.db'}"
        self.database = Database(self.url).open()
        self.kennel_id = self.database.create_kennel(KENNEL)
        self.bystander = self.database.create_kennel(KENNEL)
        self.book = Book()
        self.messages = 0

    def _message(self) -> Message:
        self.messages += 1
        return said(key=str(self.messages))

    def _write(self, posts: tuple[Post, ...] = (), withdrawn: tuple[int, ...] = ()) -> None:
        with self.database.writing(self.kennel_id) as store:
            store.post(posts, withdrawn, self._message())

    @rule(dog=DOGS, kg=KILOS, on=DAYS)
    def post(self, dog: str, kg: float, on: object) -> None:
        entry = Weight(dog=dog, on=on, kg=kg)  # type: ignore[arg-type]
        self.book.post(entry, None)
        self._write((Post(entry=entry),))

    @precondition(lambda self: self.book.counting())
    @rule(kg=KILOS, data=st.data())
    def correct(self, kg: float, data: st.DataObject) -> None:
        old = data.draw(st.sampled_from(self.book.counting()))
        was = self.book.rows[old - 1].entry
        entry = Weight(dog=was.dog, on=was.on, kg=kg, replaces=True)
        self.book.post(entry, old)
        self._write((Post(entry=entry, replaces=old),))

    @precondition(lambda self: self.book.counting())
    @rule(data=st.data())
    def undo(self, data: st.DataObject) -> None:
        number = data.draw(st.sampled_from(self.book.counting()))
        self.book.withdraw(number)
        self._write(withdrawn=(number,))

    @precondition(lambda self: self.book.counting())
    @rule(kg=KILOS, data=st.data())
    def edit(self, kg: float, data: st.DataObject) -> None:
        """One turn that takes back and posts anew, in the place of what the entry had replaced."""
        number = data.draw(st.sampled_from(self.book.counting()))
        row = self.book.rows[number - 1]
        entry = Weight(dog=row.entry.dog, on=row.entry.on, kg=kg)
        self.book.withdraw(number)
        free = row.replaces is not None and self.book.rows[row.replaces - 1].counts
        self.book.post(entry, row.replaces if free else None)
        self._write((Post(entry=entry, replaces=row.replaces if free else None),), (number,))

    @rule(dog=DOGS, kg=KILOS)
    def post_and_undo(self, dog: str, kg: float) -> None:
        """The fold afterwards is the fold before."""
        with self.database.reading(self.kennel_id) as store:
            before = tuple(store.load_ledger(DAY))
        self.post(dog, kg, DAY)
        self.book.withdraw(len(self.book.rows))
        self._write(withdrawn=(len(self.book.rows),))
        with self.database.reading(self.kennel_id) as store:
            assert tuple(store.load_ledger(DAY)) == before

    @rule(dog=DOGS, kg=KILOS)
    def fail_half_way(self, dog: str, kg: float) -> None:
        try:
            with self.database.writing(self.kennel_id) as store:
                store.post((Post(entry=Weight(dog=dog, on=DAY, kg=kg)),), (), said(key="lost"))
                raise KeyReused("anything")
        except KeyReused:
            pass

    @rule()
    def restart(self) -> None:
        self.database.close()
        self.database = Database(self.url).open()

    @invariant()
    def the_same_book(self) -> None:
        """History row by row; what counts; each dog's last weight; the neighbour's book is empty."""
        with self.database.reading(self.kennel_id) as store:
            ledger = store.load_ledger(DAY)
            kennel = store.load_kennel()
            whole = store.load_book()
        rows = [(p.entry, p.replaced_by, p.withdrawn) for p in ledger.history()]
        assert rows == [(r.entry, r.replaced_by, r.withdrawn) for r in self.book.rows]
        assert whole.history() == ledger.history()
        assert sorted(p.id for p in ledger) == self.book.counting()
        for dog in KENNEL.dogs:
            assert kennel.by_name[dog.name].last_weight == self._last(dog.name, dog.last_weight)
        with self.database.reading(self.bystander) as store:
            assert len(store.load_book().history()) == 0

    def _last(self, dog: str, given: KnownWeight | None) -> KnownWeight | None:
        own = [(self.book.rows[n - 1].entry.on, n) for n in self.book.counting() if self._of(n).dog == dog]
        if not own:
            return given
        day, number = max(own)
        if given is not None and given.on > day:
            return given
        return KnownWeight(kg=self._of(number).kg, on=day)

    def _of(self, number: int) -> Weight:
        return self.book.rows[number - 1].entry

    def teardown(self) -> None:
        if hasattr(self, "database"):
            self.database.close()
            self.folder.cleanup()


Keeping.TestCase.settings = settings(max_examples=12, stateful_step_count=25, deadline=None)
TestKeeping = Keeping.TestCase
