"""Rounds: each due item goes out once, whatever restarts, repeats and clocks do; lateness is said."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from bot.scheduling.rounds import Rounds
from bot.storage import Database, StorageError
from core.agenda import ALERT, Due
from core.entries import Meal
from core.ledger import Ledger
from core.messages import Say
from core.roster import BREEDER, FAMILY, Kennel
from core.turns import Memory
from shared.texts import text
from tests.scheduling.house import KENNEL, PLATFORM, at, opened, post

pytestmark = pytest.mark.usefixtures("places")

BREAKFAST = "meal remind breakfast Tom: Nugget, Moss"
NUDGED = "meal nudge breakfast Tom: Nugget, Moss"
TOLD = "meal tell breakfast : Nugget, Moss"
WEIGH = "weigh remind weigh Wren: Nugget"


def plain(item: Due, kennel: Kennel, ledger: Ledger, now: datetime) -> Say | None:
    """An item in words that hide nothing; the alert has nothing to say."""
    if item.kind == ALERT:
        return None
    return Say(key="", room="", text=f"{item.kind} {item.step} {item.what} {item.person}: {', '.join(item.dogs)}")


def rounds_on(database: Database, **more: Any) -> Rounds:
    return Rounds(database, words=plain, tips=(), **more)


def waiting(database: Database, now: datetime) -> list[tuple[str, str]]:
    """What is to be said now, by room; claimed, so a second call gives what is new."""
    found = database.outbox.claim(now, PLATFORM, limit=100)
    for parcel in found:
        database.outbox.sent(parcel.id, now)
    return [(p.room, p.out.text) for p in found if isinstance(p.out, Say)]


def look_often(
    rounds: Rounds, database: Database, start: datetime, end: datetime, every: timedelta
) -> list[tuple[str, str]]:
    """What is said over that time, looking every so often."""
    said, now = [], start
    while now <= end:
        rounds.look(now)
        said.extend(waiting(database, now))
        now += every
    return said


def test_the_first_round_announces_nothing_of_the_past() -> None:
    """A kennel that was just made has no backlog."""
    database, _ = opened()
    assert rounds_on(database).look(at(14, 23)) == 0
    assert waiting(database, at(14, 23)) == []


def test_a_morning_of_rounds_each_half_minute() -> None:
    """One reminder, one nudge, one word to the breeder, in 240 looks."""
    database, _ = opened()
    said = look_often(rounds_on(database), database, at(14, 6, 50), at(14, 8, 50), timedelta(seconds=30))
    assert said == [(FAMILY, BREAKFAST), (FAMILY, NUDGED), (BREEDER, TOLD)]


def test_a_reminder_dies_when_the_log_arrives_first() -> None:
    """Tom fed Moss at 07:10: the nudge names Nugget alone; once both are fed nothing more is said."""
    database, number = opened()
    rounds = rounds_on(database)
    look_often(rounds, database, at(14, 6, 50), at(14, 7, 5), timedelta(minutes=1))
    post(database, number, Meal(dog="Moss", on=at(14, 7).date(), meal="breakfast"), when=at(14, 7, 10))
    said = look_often(rounds, database, at(14, 7, 6), at(14, 7, 40), timedelta(minutes=1))
    assert said == [(FAMILY, "meal nudge breakfast Tom: Nugget")]
    post(database, number, Meal(dog="Nugget", on=at(14, 7).date(), meal="breakfast"), when=at(14, 7, 45))
    assert look_often(rounds, database, at(14, 7, 41), at(14, 9), timedelta(minutes=1)) == []


def test_two_processes_announce_it_once(url: str) -> None:
    """Two houses on one database look at the same time, twenty times."""
    first, _ = opened(url=url)
    second = Database(url).open()
    rounds_on(first).look(at(14, 6, 59))
    moments = [at(14, 7) + timedelta(seconds=30 * n) for n in range(20)]

    def look(database: Database) -> None:
        rounds = rounds_on(database)
        for now in moments:
            rounds.look(now)

    threads = [threading.Thread(target=look, args=(d,)) for d in (first, second)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert waiting(first, at(14, 7, 11)) == [(FAMILY, BREAKFAST)]


def test_a_round_cut_off_in_the_middle_is_done_again_whole() -> None:
    """What raised before the commit left nothing behind, and the next look finds the same."""
    database, number = opened()
    rounds = rounds_on(database)
    rounds.look(at(14, 6, 59))
    with pytest.raises(RuntimeError), database.writing(number) as store:
        store.say([Say(key="half", room=FAMILY, text="half")], at=at(14, 7))
        store.set_looked_at(at(14, 7))
        raise RuntimeError("killed here")
    rounds.look(at(14, 7, 1))
    assert waiting(database, at(14, 7, 1)) == [(FAMILY, BREAKFAST)]


def test_a_clock_set_back_announces_nothing_twice() -> None:
    """Back two hours after breakfast was named: the key is taken."""
    database, _ = opened()
    rounds = rounds_on(database)
    look_often(rounds, database, at(14, 6, 50), at(14, 7, 5), timedelta(minutes=1))
    assert look_often(rounds, database, at(14, 5), at(14, 7, 20), timedelta(minutes=1)) == []
    said = look_often(rounds, database, at(14, 7, 21), at(14, 7, 40), timedelta(minutes=1))
    assert said == [(FAMILY, NUDGED)]


def test_a_clock_that_was_never_set_announces_nothing() -> None:
    """1970: held, and nothing is remembered of it."""
    database, number = opened()
    rounds = rounds_on(database)
    rounds.look(at(14, 6, 59))
    assert rounds.look(datetime(1970, 1, 1, tzinfo=UTC)) == 0
    with database.reading(number) as store:
        assert store.looked_at() == at(14, 6, 59)


def test_after_three_hours_lateness_is_said_and_what_helps_still_comes() -> None:
    """Down from 06:59 to 08:10: the breeder hears that breakfast is not logged, the family is asked once."""
    database, _ = opened()
    rounds = rounds_on(database)
    rounds.look(at(14, 6, 59))
    rounds.look(at(14, 8, 10))
    assert sorted(waiting(database, at(14, 8, 10))) == [(BREEDER, TOLD), (FAMILY, NUDGED)]
    assert look_often(rounds, database, at(14, 8, 11), at(14, 9, 30), timedelta(minutes=1)) == []


def test_after_a_night_the_stale_is_dropped_and_told() -> None:
    """Down from Saturday noon to Sunday 10:20: dinner's and breakfast's reminders are past use, the weighing is not."""
    database, number = opened()
    rounds = rounds_on(database)
    rounds.look(at(14, 12))
    rounds.look(at(15, 10, 20))
    said = waiting(database, at(15, 10, 20))
    assert said[0][0] == BREEDER and "12:00" in said[0][1] and "10:20" in said[0][1] and "17:30" in said[0][1]
    assert sorted(said[1:]) == [(BREEDER, TOLD), (FAMILY, WEIGH)]
    with database.reading(number) as store:
        assert store.is_said("2026-03-14:dinner:Wren:1:remind")  # it has its row and its outcome


def test_many_late_ones_in_a_room_are_one_message() -> None:
    """Down over breakfast and the weighing, back while both still help."""
    database, _ = opened()
    rounds = rounds_on(database)
    rounds.look(at(15, 6, 59))
    rounds.look(at(15, 10, 15))
    family = [said for room, said in waiting(database, at(15, 10, 15)) if room == FAMILY]
    assert family == [WEIGH]  # breakfast is past its two hours
    database, _ = opened()
    rounds = rounds_on(database)
    rounds.look(at(15, 9, 40))
    with database.writing(1) as store:
        old = store.load_kennel()
        store.save_kennel(old, replace(old, duties=(*old.duties, replace(old.duties[2], what="brush", who="Tom"))))
    rounds.look(at(15, 10, 45))
    family = [said for room, said in waiting(database, at(15, 10, 45)) if room == FAMILY]
    assert family == [f"groom remind brush Tom: Nugget\n{WEIGH}"]


@pytest.mark.parametrize("days", [2, 21, 300])
def test_after_long_the_hours_are_named_whose_messages_may_be_lost(days: int) -> None:
    """The chat keeps messages for a day; before that they are gone, and that is said first."""
    database, _ = opened()
    rounds = rounds_on(database)
    rounds.look(at(1, 12))
    now = at(1, 12) + timedelta(days=days)
    rounds.look(now)
    first = waiting(database, now)[0]
    assert first[0] == BREEDER and len(first[1]) < 500
    assert first[1].endswith(text("reminders.down_lost"))


def test_a_demo_that_slept_has_lost_nothing() -> None:
    """Where the chat loses nothing, nothing is said of it."""
    database, _ = opened()
    rounds = rounds_on(database, messages_kept=None)
    rounds.look(at(1, 12))
    rounds.look(at(4, 12))
    assert text("reminders.down_lost") not in " ".join(said for _, said in waiting(database, at(4, 12)))


def test_quiet_that_the_breeder_asked_for_keeps_the_family_room_still() -> None:
    """“Quiet” holds the family's reminders until it ends; her own line goes on."""
    database, number = opened()
    rounds = rounds_on(database)
    rounds.look(at(14, 6, 59))
    with database.writing(number) as store:
        store.remember({FAMILY: Memory(facts={"quiet_until": at(14, 7, 45).isoformat()})})
    said = look_often(rounds, database, at(14, 7), at(14, 8, 30), timedelta(minutes=1))
    assert said == [(BREEDER, TOLD)]


def test_the_question_about_the_tips_waits_for_its_answer() -> None:
    """A typed yes must find the question: it is in mind from the round that asked it, and once."""
    database, number = opened()
    rounds = Rounds(database, words=plain, tips=())
    rounds.look(at(14, 9, 59))
    rounds.look(at(14, 10, 1))
    rounds.look(at(14, 10, 2))
    with database.writing(number) as store:
        asked = [a for a in store.memory()[BREEDER].asked if a.about == "tips"]
    assert [(a.person, a.at) for a in asked] == [("Maya", at(14, 10, 1))]
    assert asked[0].choices == ("send tips", "show tips", "no tips")


def test_a_kennel_that_fails_keeps_no_other_back(caplog: pytest.LogCaptureFixture) -> None:
    """A zone that is none, a fact that cannot be read: the log names the kennel once, the others are reminded."""
    database, ill = opened()
    well = database.create_kennel(KENNEL)
    for room in (FAMILY, BREEDER):
        database.bind_room(PLATFORM, f"other {room}", well, room)
    rounds = rounds_on(database)
    rounds.look(at(14, 6))
    with database.writing(ill) as store:
        kennel = store.load_kennel()
        store.save_kennel(kennel, replace(kennel, name="Fenmoor", zone="Australia/somebody"))
    said = look_often(rounds, database, at(14, 7), at(14, 7, 2), timedelta(seconds=30))
    assert said == [(FAMILY, BREAKFAST)]
    told = [r.getMessage() for r in caplog.records if r.levelname == "ERROR"]
    assert len(told) == 1 and told[0].startswith(f"kennel {ill}: no round: ZoneInfoNotFoundError at ")


def test_a_database_that_fails_is_the_callers_to_know() -> None:
    database, _ = opened()
    rounds = rounds_on(database)

    def full(*_: object) -> None:
        raise StorageError("the disk is full")

    rounds.look_at = full  # type: ignore[assignment, method-assign]
    with pytest.raises(StorageError):
        rounds.look(at(14, 7))


def test_an_item_without_words_keeps_no_other_back(caplog: pytest.LogCaptureFixture) -> None:
    """A fault in one text is logged, by its type and place alone; the rest goes out."""
    database, _ = opened()

    def words(item, kennel, ledger, now):  # type: ignore[no-untyped-def]
        if item.kind == "meal":
            raise KeyError("Ana's own words")
        return Say(key="", room="", text=item.kind)

    rounds = Rounds(database, words=words)
    rounds.look(at(15, 6, 44))
    rounds.look(at(15, 6, 46))
    rounds.look(at(15, 7, 0))
    rounds.look(at(15, 10, 0))
    assert ("family", "weigh") in waiting(database, at(15, 10, 0))
    assert "KeyError at " in caplog.text and "own words" not in caplog.text


@pytest.mark.parametrize(
    ("zone", "month", "day"),
    [("Europe/London", 3, 28), ("Europe/London", 10, 24), ("America/New_York", 3, 7), ("America/New_York", 10, 31),
     ("Australia/Lord_Howe", 4, 4), ("Australia/Lord_Howe", 10, 3)],
)  # fmt: skip
def test_over_a_change_of_clocks_breakfast_is_named_once_a_day(zone: str, month: int, day: int) -> None:
    """Rounds each half hour over the spring and the autumn nights of three zones."""
    home = replace(KENNEL, zone=zone)
    database, _ = opened(home)
    start = datetime(2026, month, day, tzinfo=home.tz)
    said = look_often(rounds_on(database), database, start, start + timedelta(days=2), timedelta(minutes=30))
    assert sum("remind breakfast" in text for _, text in said) == 2
