"""The breeder's orders for a dog's cups: "5/8 morning 5/8 night quarter bedtime", "make the snack an eighth"."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from bot.conversation import parts, remarks, roster_changes
from bot.conversation.about import dogs_named
from bot.conversation.doubts import ANSWERS
from bot.conversation.heard import LONGEST, patterns, phrases, speaks_of, yes_or_no
from bot.conversation.hearing import Hearing
from bot.conversation.wishes import put_to_breeder
from bot.reading import amounts, tokens
from bot.reading.dogs import mark, mentions, roster_of
from bot.replies import say_units
from core.feeding import reordered
from core.messages import Message
from core.roster import BREEDER, Dog, Kennel, Ration
from core.rota import MEALS
from core.turns import Asked, Memory
from shared.texts import text

MOST_CUPS = 8.0  # in one bowl; more is a slip or no order
# Which messages of a room were orders, and which cups were set there; in mind of the last so many.
ORDERED, WRITTEN, MOST_KEPT = "ordered", "cups written", 8
_TIME_OF_DAY = re.compile(r"\b(?:this|yesterday|last|every)\s+\w+", re.IGNORECASE)
RECENT = timedelta(hours=12)  # "make the snack an eighth" is of the dog whose order was last changed


@dataclass(frozen=True, slots=True)
class Order:
    """One order: the dog, the cups of the meals that were named, and the first day on which it counts."""

    dog: Dog
    cups: dict[str, float]
    on: date


def answer(hearing: Hearing) -> bool:
    """True where the message ordered cups, which are then set (by the breeder) or put to her (by another)."""
    heard = _order(hearing)
    if heard is None:
        return _of_whole_day(hearing)
    found, span = heard
    hearing.took_exactly(span)
    _no_record(hearing, found.dog)
    ahead = _just_ordered(found.dog, hearing) if found.on == hearing.on and len(found.cups) == 1 else None
    if ahead is not None:  # "make the snack an eighth" right after an order from tomorrow is of that order
        found = replace(found, on=ahead[0], dog=replace(found.dog, ration=ahead[1]))
    dog = found.dog
    ration = _merged(dog, found.cups)
    dog = hearing.house.dog(dog.name) or dog
    if not hearing.is_breeder:
        return _pass_on(hearing, dog, ration, found)
    told = _give(hearing, dog, ration, found.on)
    hearing.mark()
    hearing.tell_breeder(told, about="answer")
    return True


def written(hearing: Hearing) -> Iterator[tuple[datetime, str, str]]:
    """The orders given in this room that stand, or wait for their day: when, by whom and what."""
    waiting = hearing.mind(BREEDER).facts.get("orders") or []
    for told in hearing.mind().facts.get(WRITTEN) or []:
        dog = hearing.kennel.dog(told["dog"])
        ration = tuple(Ration(meal=m, cups=c) for m, c in told["ration"])
        waits = any(o["dog"] == told["dog"] and o["ration"] == told["ration"] for o in waiting)
        if dog is None or (dog.ration != ration and not waits):
            continue
        said = text("changes.wrote_order", dog=dog.name, bowls=shown(ration))
        if waits:
            day = say_units.day(date.fromisoformat(told["from"]), hearing.on, hearing.kennel)
            said = f"{said}. {text('remarks.pending', day=day)}"
        yield datetime.fromisoformat(told["at"]), str(told["by"]), said


def _give(hearing: Hearing, dog: Dog, ration: tuple[Ration, ...], on: date) -> str:
    """Set the cups, or let them wait for their first day; what they come to, in words."""
    given = {
        "at": hearing.at.isoformat(), "by": hearing.person.name, "dog": dog.name, "from": on.isoformat(),
        "ration": [[r.meal, r.cups] for r in ration],
    }  # fmt: skip
    before = [o for o in hearing.mind().facts.get(WRITTEN) or [] if o["dog"] != dog.name]
    hearing.keep(hearing.message.room, **{WRITTEN: [*before, given][-MOST_KEPT:]})
    if on <= hearing.on:
        return remarks.of_order(roster_changes.set_ration(hearing, dog, ration), hearing)
    _wait(hearing, dog, ration, on)
    told = remarks.of_order(reordered(dog, hearing.house, on, ration=ration), hearing)
    return f"{told} {text('remarks.pending', day=say_units.day(on, hearing.on, hearing.kennel))}"


def _just_ordered(dog: Dog, hearing: Hearing) -> tuple[date, tuple[Ration, ...]] | None:
    """The order for that dog that waits for its first day, where it was the last change; its day and its cups."""
    changed = hearing.mind(BREEDER).facts.get("changed") or {}
    told = next((o for o in hearing.mind(BREEDER).facts.get("orders") or [] if o["dog"] == dog.name), None)
    if told is None or changed.get("dog") != dog.name or "orders" not in changed:
        return None
    return date.fromisoformat(told["from"]), tuple(Ration(meal=m, cups=c) for m, c in told["ration"])


def due(kennel: Kennel, memory: Memory | None, on: date) -> Kennel | None:
    """The kennel with the orders set whose first day has come; None where there is none. `memory` is the breeder's."""
    waiting = memory.facts.get("orders") or [] if memory else []
    changed = None
    for told in waiting:
        first = date.fromisoformat(told["from"])
        dog = (changed or kennel).dog(told["dog"])
        if first > on or dog is None:
            continue
        ration = tuple(Ration(meal=m, cups=c) for m, c in told["ration"])
        # A change made on or after that day stands above an order given before it.
        if not any(b.until >= first - timedelta(days=1) for b in dog.before):
            ordered = reordered(dog, changed or kennel, first, ration=ration)
            changed = roster_changes.with_dog(changed or kennel, ordered)
    return changed


def forget_past(hearing: Hearing) -> None:
    """Drop the waiting orders whose first day has come: they are on the roster now."""
    waiting = hearing.mind(BREEDER).facts.get("orders") or []
    ahead = [o for o in waiting if date.fromisoformat(o["from"]) > hearing.on]
    if len(ahead) < len(waiting):
        hearing.keep(BREEDER, orders=ahead or None)


def _wait(hearing: Hearing, dog: Dog, ration: tuple[Ration, ...], on: date) -> None:
    told = {"dog": dog.name, "ration": [[r.meal, r.cups] for r in ration], "from": on.isoformat()}
    before = hearing.mind(BREEDER).facts.get("orders") or []
    roster_changes.remember(hearing, dog, orders=before)
    hearing.keep(BREEDER, orders=[*(o for o in before if o["dog"] != dog.name), told])


def _merged(dog: Dog, cups: dict[str, float]) -> tuple[Ration, ...]:
    """The order with the meals named; a single meal changes that one alone, several are the whole day."""
    bowls = {r.meal: r.cups for r in dog.ration} if len(cups) == 1 else {}
    bowls.update(cups)
    return tuple(Ration(meal=m, cups=bowls[m]) for m in MEALS if bowls.get(m))


def _no_record(hearing: Hearing, dog: Dog) -> None:
    """Keep in mind that this message is an order: "yes" or "done" after it records no bowl."""
    known = {**(hearing.mind().facts.get(ORDERED) or {}), hearing.message.key: dog.name}
    hearing.keep(hearing.message.room, **{ORDERED: dict(list(known.items())[-MOST_KEPT:])})


def of_whom(hearing: Hearing) -> str:
    """The dog that this message ordered cups for, "" where nothing was set."""
    return str((hearing.mind().facts.get(ORDERED) or {}).get(hearing.message.key, ""))


def without_orders(recent: tuple[Message, ...], memory: Memory | None) -> tuple[Message, ...]:
    """The earlier messages of a room, of an order the dog's name alone: nothing was asked by it."""
    known = memory.facts.get(ORDERED) or {} if memory else {}
    return tuple(replace(m, text=known[m.key]) if m.key in known else m for m in recent)


def _order(hearing: Hearing) -> tuple[Order, parts.Span] | None:
    """The order of the message, and where it stands: in the fewest words that say all of it."""
    said = hearing.message.text
    if not said or len(said) > LONGEST or hearing.person.role == "buyer":
        return None
    if not _meals(tokens.cut(said)):
        return None  # most messages: nothing is tried part by part
    spans = parts.runs(said)
    whole = _order_in(said, hearing)
    if whole is not None:
        tried = ((s, _order_in(said[s[0] : s[1]], hearing)) for s in spans)
        same = (s for s, o in tried if o is not None and (o.cups, o.on) == (whole.cups, whole.on))
        return whole, next(same, (0, len(said)))
    for span in reversed(spans):
        order = _order_in(said[span[0] : span[1]], hearing) if "?" not in said else None
        if order is not None and _is_no_bowl(parts.without(said, span), said[span[0] : span[1]]):
            return order, span
    return None


def _order_in(said: str, hearing: Hearing) -> Order | None:
    if any(p.search(said) for p in patterns("order.log")):
        return None
    words = tokens.cut(said)
    cups = _cups(words)
    if not cups or (len(cups) == 1 and not _has_cue(said)) or any(c > MOST_CUPS for c in cups.values()):
        return None
    dog = _dog(words, hearing)
    if dog is None or dog.is_newborn(hearing.on):
        return None
    return Order(dog=dog, cups=cups, on=_first_day(said, hearing))


def _of_whole_day(hearing: Hearing) -> bool:
    """True for an order of a day's cups in one figure: nothing is set, and it is asked for by bowls."""
    said = hearing.message.text
    if not hearing.is_breeder or not said or len(said) > LONGEST or speaks_of("order.log", said):
        return False
    if not speaks_of("order.of_day", said) or not speaks_of("order.cue", said):
        return False
    words = tokens.cut(said)
    found = [a for a in amounts.find(words) if a.unit in (None, "cup")]
    dog = _dog(words, hearing)
    if len(found) != 1 or dog is None or dog.is_newborn(hearing.on):
        return False
    cups = say_units.cups(found[0].value / found[0].of if found[0].of else found[0].value)
    hearing.say(text("remarks.by_bowls", cups=cups, dog=dog.name))
    return True


def _has_cue(said: str) -> bool:
    return any(p.search(said) for p in patterns("order.cue"))


def _is_no_bowl(left: str, part: str) -> bool:
    """True where what stands beside the order is of other things: no cups of a meal, and no note of what was eaten."""
    if any(p.search(left) for p in patterns("order.log")) and not _has_cue(part):
        return False
    words = tokens.cut(_TIME_OF_DAY.sub(" ", left))
    return not (_meals(words) and amounts.find(words))


def _meals(words: tokens.Words) -> list[tuple[int, str]]:
    """The meals that are named, each with its place."""
    names = {w: meal for meal in MEALS for w in phrases()["order"][meal]}
    without = set(phrases()["order"]["without"])  # "no snack"
    return [(i, names[w]) for i, w in enumerate(words.w) if w in names and not (i and words.w[i - 1] in without)]


def _cups(words: tokens.Words) -> dict[str, float]:
    """Cups by meal: each amount with the meal said beside it, after it or before it as the first pair stands."""
    meals = _meals(words)
    found = [a for a in amounts.find(words) if a.unit in (None, "cup")]
    each = _first_of_each(meals)
    if len(found) == 1 and len(each) > 1 and _in_one_breath(words, each):
        cups = found[0].value / found[0].of if found[0].of else found[0].value
        return {meal: cups for _, meal in each}  # "1¼ cups morning and night" is so much each time
    if not meals or len(found) != len(each):
        return {}
    meals = each
    pairs = zip(sorted(meals), found, strict=True)
    return {meal: (a.value / a.of if a.of else a.value) for (_, meal), a in pairs}


def _in_one_breath(words: tokens.Words, meals: list[tuple[int, str]]) -> bool:
    """True where nothing but "and" or a comma stands between the meals."""
    first, last = meals[0][0], meals[-1][0]
    named = {i for i, _ in meals}
    return all(words.w[i] in ("and", "&", "+", ",", "at", "for") for i in range(first, last) if i not in named)


def _first_of_each(meals: list[tuple[int, str]]) -> list[tuple[int, str]]:
    """ "bedtime snack" names one meal: of words for the same meal side by side the first."""
    kept: list[tuple[int, str]] = []
    for i, meal in meals:
        if not any(m == meal for _, m in kept):
            kept.append((i, meal))
    return kept


def _dog(words: tokens.Words, hearing: Hearing) -> Dog | None:
    roster = roster_of(hearing.kennel)
    mark(words, roster)
    named = {n for m in mentions(words, roster, hearing.on) for n in m.names} or {
        d.name for d in dogs_named(hearing.message.text, hearing)
    }
    if len(named) == 1:
        return hearing.house.dog(named.pop())
    changed = roster_changes.last_change(hearing)
    if named or changed is None or hearing.at - changed > RECENT:
        return None
    return hearing.house.dog(hearing.mind(BREEDER).facts["changed"].get("dog"))


def _first_day(said: str, hearing: Hearing) -> date:
    found = re.search(r"\bfrom\s+(\w+)", said.casefold())
    return _day(found[1], hearing) or hearing.on if found else hearing.on


def day_asked(said: str, hearing: Hearing) -> date | None:
    """The day ahead that a question names ("tomorrow", "on Monday"), None where it names none."""
    words = re.findall(r"\w+", said[:LONGEST].casefold())
    return next((day for w in words if (day := _day(w, hearing))), None)


def _day(word: str, hearing: Hearing) -> date | None:
    """Tomorrow or a day of the week, by its name or the first letters of it (three at least); None for other words."""
    for ahead in range(1, 8):
        on = hearing.on + timedelta(days=ahead)
        if word == text("units.tomorrow") and ahead == 1:
            return on
        if len(word) >= 3 and say_units.weekday(on).casefold().startswith(word):
            return on
    return None


# Somebody else orders


def _pass_on(hearing: Hearing, dog: Dog, ration: tuple[Ration, ...], order: Order) -> bool:
    asked = text("remarks.ask_order", who=hearing.person.name, dog=dog.name, bowls=shown(ration))
    facts = {"dog": dog.name, "cups": order.cups, "from": order.on.isoformat()}
    return put_to_breeder(hearing, "order", "remarks.only_breeder", asked, facts)


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    dog = hearing.house.dog(asked.facts.get("dog"))
    if meant is None or dog is None or not hearing.is_breeder or "cups" not in asked.facts:
        return False
    if meant:
        # To the bowls as they are now: what was changed since it was asked stays changed.
        told = _give(hearing, dog, _merged(dog, asked.facts["cups"]), date.fromisoformat(asked.facts["from"]))
        hearing.say(told)
    else:
        hearing.say(text("remarks.order_kept", dog=dog.name, bowls=shown(dog.ration)))
    return True


def shown(ration: tuple[Ration, ...]) -> str:
    """The bowls of an order: "⅝ breakfast, ⅝ dinner"."""
    return ", ".join(
        text("answers.ration.bowl", cups=say_units.eighths(r.cups), meal=text(f"kept.meal.{r.meal}")) for r in ration
    )


ANSWERS["order"] = _answered
