"""Promise 4: the newest edit counts, in whatever order edits come, and replaces all that its message gave."""

from __future__ import annotations

from itertools import permutations

import pytest

from bot.storage import Database
from bot.turn import Turns
from core.entries import Weight
from core.messages import Message
from tests.promises.small_hear import hear
from tests.storage.conftest import DAY, said

WORDINGS = (
    said("Nugget 9.1"),
    said("Nugget 9.2", edit=10),
    said("Nugget 9.3", edit=20),
    said("Nugget 9.4", edit=30),
)


def weights(database: Database, kennel_id: int) -> list[float]:
    with database.reading(kennel_id) as store:
        return [w.kg for w in store.load_ledger(DAY).entries("Nugget", Weight)]


@pytest.mark.parametrize("order", list(permutations(WORDINGS)), ids=lambda o: " ".join(str(m.edit) for m in o))
def test_any_order_ends_in_the_newest(database: Database, kennel_id: int, order: tuple[Message, ...]) -> None:
    """All 24 orders of a message and three edits; an older wording that comes late changes nothing."""
    turns = Turns(database, hear=hear)
    for n, message in enumerate(order):
        turn = turns.take(message, kennel_id)
        assert (turn is None) == any(m.edit > message.edit for m in order[:n])
    assert weights(database, kennel_id) == [9.4]
    with database.reading(kennel_id) as store:
        kept = store.find_message("family", "1")
        assert kept is not None and kept.text == "Nugget 9.4"
        assert store.load_kennel().by_name["Nugget"].last_weight.kg == 9.4  # type: ignore[union-attr]


def test_two_edits_in_one_second(database: Database, kennel_id: int) -> None:
    """A clock that counts seconds gives both the same number: the one that comes later counts."""
    turns = Turns(database, hear=hear)
    for message in (said("Nugget 9.1"), said("Nugget 9.2", edit=10), said("Nugget 9.3", edit=10)):
        assert turns.take(message, kennel_id)
    assert turns.take(said("Nugget 9.2", edit=10), kennel_id) is None
    assert weights(database, kennel_id) == [9.3]


def test_edited_into_chatter_counts_no_more(database: Database, kennel_id: int) -> None:
    """What the message gave is withdrawn, and can still be seen."""
    turns = Turns(database, hear=hear)
    turns.take(said("Nugget 9.1"), kennel_id)
    turns.take(said("lovely morning", edit=1), kennel_id)
    with database.reading(kennel_id) as store:
        ledger = store.load_ledger(DAY)
        assert (len(ledger), len(ledger.history())) == (0, 1)
        assert store.load_kennel().by_name["Nugget"].last_weight is None
