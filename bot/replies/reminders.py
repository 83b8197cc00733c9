"""Items of the agenda in words: a line to the person on the rota, once more, then to the breeder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

from bot.replies import alert, digest, say_units
from bot.replies.tips import tip, tips
from core import care
from core.agenda import (
    ALERT,
    DOSE,
    EARS,
    EXPECTING,
    GROOM,
    LITTER,
    MEAL,
    REMIND,
    ROUND,
    TELL,
    TIP_OF_AGE,
    WEEK,
    WEIGH,
    Due,
    Task,
)
from core.ledger import Ledger
from core.messages import DIGEST, REMINDER, TIP, URGENT, Say
from core.roster import Kennel
from shared.texts import listed, text

MOST_NAMES = 8  # dogs named in a short line; more are counted
MOST_STALE = 4  # things named that were not sent while Fettle was off

__all__ = ["down", "merged", "tips", "words"]


def words(item: Due, kennel: Kennel, ledger: Ledger, now: datetime) -> Say | None:
    """What is said of an item; None where there is nothing to say."""
    if item.kind == ALERT:
        shown = alert.morning_alert(kennel, ledger, now)
        choices = (text("alert.ok"), text("alert.no")) if alert.suggestion(kennel, ledger, now) else ()
        return _say(item, shown, about="alert", priority=DIGEST, buttons=choices) if shown else None
    if item.kind == WEEK:
        shown = digest.weekly(kennel, ledger, now)
        return _say(item, shown, about="digest", priority=DIGEST) if shown else None
    if item.kind == LITTER:
        dam = kennel.dog(item.dogs[0]) if item.dogs else None
        shown = digest.litter(dam, kennel, ledger, now) if dam else ""
        return _say(item, shown, about="digest", priority=DIGEST) if shown else None
    if item.kind == TIP_OF_AGE:
        dog = kennel.dog(item.dogs[0]) if item.dogs else None
        return _say(item, tip(item.what, dog, kennel), about="tip", priority=TIP) if dog else None
    told = [line for task in item.tasks if (line := _line(item, task, kennel, ledger))]
    if not told:
        return None
    said = "\n".join(told)
    if item.person and item.step != TELL:
        said = text("reminders.to", who=item.person, what=said)
    else:
        said = said[0].upper() + said[1:]
    return _say(item, said, about="reminder", priority=REMINDER, buttons=_buttons(item))


def down(start: datetime, end: datetime, stale: Sequence[Due], kennel: Kennel, *, lost: bool = False) -> Say | None:
    """What the breeder hears first after Fettle was off: from when to when, and what was not sent."""
    today = kennel.day_of(end)
    when = [say_units.moment(at, today, kennel) for at in (start, end)]
    said = [text("reminders.down", start=when[0], end=when[1])]
    if stale:
        named = [_named(i, kennel) for i in stale[:MOST_STALE]]
        if len(stale) > MOST_STALE:
            named.append(text("reminders.down_more", n=len(stale) - MOST_STALE))
        said.append(text("reminders.down_stale", items=", ".join(named)))
    if lost:
        said.append(text("reminders.down_lost"))
    return Say(key="down", room="breeder", text=" ".join(said), about="down")


def merged(says: Sequence[Say], key: str) -> Say:
    """Several late ones of one room as one message; the soonest stale decides how long it is of use."""
    ends = [s.not_after for s in says if s.not_after is not None]
    buttons = says[0].buttons if len({s.buttons for s in says}) == 1 else ()
    return replace(
        says[0],
        key=key,
        text="\n".join(dict.fromkeys(s.text for s in says)),
        buttons=buttons,
        not_after=min(ends) if ends else None,
        priority=min(s.priority for s in says),
    )


def _say(item: Due, said: str, about: str, priority: int, buttons: tuple[str, ...] = ()) -> Say:
    return Say(
        key=item.key,
        room=item.room,
        text=said,
        about=about,
        buttons=buttons,
        not_after=item.not_after,
        priority=URGENT if item.kind == ROUND and item.step == TELL else priority,
    )


def _buttons(item: Due) -> tuple[str, ...]:
    if item.step == TELL or item.kind not in (MEAL, GROOM, DOSE) or any(t.what == "temperature" for t in item.tasks):
        return ()
    if item.kind == GROOM:
        return (text("reminders.done"), text("reminders.later"), text("reminders.skip"))
    return (text("reminders.given" if item.kind == DOSE else "reminders.done"),)


def _line(item: Due, task: Task, kennel: Kennel, ledger: Ledger) -> str:
    match item.kind:
        case "meal":
            return _bowls(item, task, kennel)
        case "weigh":
            return _weigh(item, task, kennel)
        case "ears":
            return text(f"reminders.ears.{item.step}", dogs=_dogs(task))
        case "newborn round":
            return text(f"reminders.round.{item.step}", dogs=_dogs(task))
        case "dose":
            return _dose(item, task, kennel, ledger)
        case "groom":
            return _groom(item, task, kennel)
        case "expecting":
            return text(f"reminders.expecting.{task.what}", dog=_dogs(task))
    return ""


def _groom(item: Due, task: Task, kennel: Kennel) -> str:
    # Several tasks may be folded into one post; each is worded by what it is.
    if task.what == "weigh":
        return _weigh(item, task, kennel)
    if task.what == "ears":
        return text(f"reminders.ears.{item.step}", dogs=_dogs(task))
    name = text(f"reminders.groom.{task.what.replace(' ', '_')}")
    return text(f"reminders.groom.{item.step}", task=name, dogs=_dogs(task))


def _weigh(item: Due, task: Task, kennel: Kennel) -> str:
    young = [d for n in task.dogs if (d := kennel.dog(n)) and d.is_newborn(item.on)]
    step = "newborn" if item.step == REMIND and len(young) == len(task.dogs) else item.step
    return text(f"reminders.weigh.{step}", dogs=_dogs(task))


def _dose(item: Due, task: Task, kennel: Kennel, ledger: Ledger) -> str:
    if task.what == "temperature":
        return text(f"reminders.temperature.{item.step}", dogs=_dogs(task))
    if task.what in ("vaccine", "medicine") and item.step == REMIND:
        said = text(f"reminders.dose.remind_{task.what}", dogs=_dogs(task))
        yearly = task.what == "vaccine" and any(_is_yearly(n, kennel, ledger, item.on) for n in task.dogs)
        return f"{said} {text('reminders.dose.not_every_year')}" if yearly else said
    name = text(f"reminders.dose.{task.what.replace(' ', '_')}")
    return text(f"reminders.dose.{item.step}", dose=name, dogs=_dogs(task))


def _is_yearly(name: str, kennel: Kennel, ledger: Ledger, on: date) -> bool:
    """True where the dog is past its puppy course: what its core vaccines need is seldom a year's."""
    dog = kennel.dog(name)
    due = care.of_dog(dog, ledger, kennel, on) if dog is not None else ()
    return any(d.what == care.VACCINE and "core_not_every_year" in d.caution for d in due)


def _bowls(item: Due, task: Task, kennel: Kennel) -> str:
    meal = text(f"reminders.meal.{task.what}")
    if item.step != REMIND:
        planned = [d for d in kennel.at_home() if any(r.meal == task.what for r in d.ration)]
        if item.step == TELL and len(task.dogs) < len(planned):
            return text("reminders.meal.tell_some", meal=meal, dogs=_dogs(task))
        return text(f"reminders.meal.{item.step}", meal=meal)
    return text("reminders.meal.remind", meal=meal, bowls="; ".join(bowls(task.dogs, task.what, kennel)))


def bowls(dogs: Sequence[str], meal: str, kennel: Kennel) -> list[str]:
    """The cups of one meal, dogs with the same amount together: "Nugget, Juniper ¾", "Moss 1⅛"."""
    by_cups: dict[float | None, list[str]] = {}
    for name in dogs:
        dog = kennel.dog(name)
        order = next((r.cups for r in dog.ration if r.meal == meal), None) if dog else None
        by_cups.setdefault(order, []).append(name)
    shown = []
    for cups, named in by_cups.items():
        names = ", ".join(named)
        shown.append(names if cups is None else text("reminders.bowl", dogs=names, cups=say_units.eighths(cups)))
    return shown


def _dogs(task: Task) -> str:
    if len(task.dogs) > MOST_NAMES:
        return text("reminders.several", n=len(task.dogs))
    return listed(list(task.dogs))


def _named(item: Due, kennel: Kennel) -> str:
    names = {WEIGH: "weigh", EARS: "ears", ROUND: "round", EXPECTING: "expecting"}
    what = text(f"reminders.short.{names.get(item.kind, item.kind.replace(' ', '_'))}")
    return f"{what} {say_units.clock(item.at, kennel)}"
