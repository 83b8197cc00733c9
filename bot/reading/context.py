"""What earlier messages give: the dog, what was asked, and what is being corrected.

Earlier messages are only read where the message itself leaves something open.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import Any

from bot.reading import questions
from bot.reading.amounts import CUPS
from bot.reading.clauses import Clause
from bot.reading.feeding import meal_name
from bot.reading.lexicon import words_of
from bot.reading.work import PAIRS_READ, Work
from core import plausible
from core.entries import Dose, Ears, Entry, Groom, Meal, Sign, Tooth, Treat, Weight
from core.messages import Message
from core.roster import Kennel

_COMMANDS = words_of("cues", "commands")
_HEIGHT_ASKED = words_of("cues", "height_asked")
_MATING_ASKED = words_of("cues", "mating_asked")
_NOT_MEANT = words_of("cues", "not_meant")
_TAKEN_BACK = words_of("cues", "taken_back")
_TASK_AGAIN = words_of("cues", "task_again")
_WHOSE_TURN = words_of("cues", "whose_turn")

SAME_DAY = timedelta(hours=14)  # "please do her nails today" may be answered in the evening (own choice)
ANOTHERS_WORD = timedelta(minutes=6)  # "he" may be the dog that somebody else named just now, not longer ago
A_QUESTION = timedelta(hours=1)  # … or whom somebody asked after ("How was the walk with Varg?")
SAME_TALK = timedelta(hours=3)  # an earlier message of longer ago gives no dog (own choice)


@dataclass(slots=True)
class Earlier:
    """One earlier message, read."""

    message: Message
    work: Work
    entries: tuple[Entry, ...]


@dataclass(slots=True)
class Context:
    """The earlier messages of the chat, read on demand, newest first."""

    before: Sequence[Message]
    sender: str
    sent_at: datetime
    kennel: Kennel
    reader: Callable[[Message], tuple[Work, tuple[Entry, ...]]]
    _read: list[Earlier] | None = field(default=None)

    def recent(self) -> list[Earlier]:
        """The earlier messages of the same talk, newest first."""
        return [e for e in self.earlier() if abs(self.sent_at - e.message.sent_at) <= SAME_TALK]

    def earlier(self) -> list[Earlier]:
        """Every earlier message, newest first."""
        if self._read is None:
            self._read = []
            for message in reversed(self.before):
                work, entries = self.reader(message)
                self._read.append(Earlier(message, work, entries))
        return self._read

    def dogs(self, c: Clause) -> tuple[str, ...] | None:
        """The dog (or dogs) that an earlier message gives to a clause without one."""
        p = c.pronoun
        only = self.kennel.living()
        if len(only) == 1 and not c.human and not c.other and (c.saying or p is not None or c.ask):
            return (only[0].name,)  # a buyer's own room knows one dog
        if p is None and not c.saying:
            return None
        same = [e for e in self.recent() if e.message.sender == self.sender]
        others = [e for e in self.recent() if e.message.sender != self.sender]
        others = [e for e in others[:1] if self.sent_at - e.message.sent_at <= (ANOTHERS_WORD, A_QUESTION)[_asked(e)]]
        for earlier in (*same, *others):
            named = _named_last(earlier.work)
            if not named:
                continue
            if p is None and earlier.message.sender != self.sender:
                return None  # without a pronoun only an answer takes another's dog; see `asked`
            if p is not None and p.plural:
                everyone = _named_all(earlier.work)
                if len(everyone) > 1 and (not p.count or p.count == len(everyone)):
                    return everyone
                continue
            if p is not None and p.sex:
                fits = tuple(n for n in named if self._sex(n) in (p.sex, ""))
                if len(fits) == 1:
                    return fits
                fits = tuple(n for n in _named_all(earlier.work) if self._sex(n) in (p.sex, ""))
                return fits if len(fits) == 1 else None
            return named if len(named) == 1 else None
        return None

    def _sex(self, name: str) -> str:
        dog = self.kennel.dog(name)
        return dog.sex if dog else ""


def _asked(earlier: Earlier) -> bool:
    """True for a question from one person to another; one to Fettle has had its answer."""
    return any(c.ask for c in earlier.work.clauses) and not questions.read(earlier.work)


def _named_last(work: Work) -> tuple[str, ...]:
    for c in reversed(work.clauses):
        if c.named:
            return c.dogs
    return ()


def _named_all(work: Work) -> tuple[str, ...]:
    return tuple(dict.fromkeys(n for c in work.clauses for n in c.dogs if c.named or c.how == "list"))


# --- answers --------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class Request:
    """What an earlier message asked somebody to say or to do."""

    topic: str
    dogs: tuple[str, ...]
    entry: Entry | None = None


def asked(context: Context) -> Request | None:
    """What the newest earlier message asks for: a weight, ears, a temperature, a task."""
    for earlier in [e for e in context.earlier() if context.sent_at - e.message.sent_at <= SAME_DAY][:3]:
        found = _request(earlier.work)
        if found is not None:
            return found
        if earlier.entries:
            break
    return None


def _request(work: Work) -> Request | None:
    words = work.words
    for c in reversed(work.clauses):
        planned = c.ask or c.plan_at >= 0 or c.wish or _imperative(work, c) or _next(work, c)
        if not planned:
            continue
        dogs = c.dogs
        if not dogs:
            near = [o for o in work.clauses if o.sentence == c.sentence and o.named] or [
                o for o in work.clauses if o.named and o.lo < c.lo
            ][-1:]
            dogs = near[-1].dogs if near else ()
        if work.where(c, "weigh") >= 0 or work.says(c, {"scales", "scale", "weigh"}):
            return Request("weight", dogs)
        if work.where(c, "temp") >= 0:
            return Request("temperature", dogs)
        if work.where(c, "cond") >= 0:
            return Request("condition", dogs)
        if work.where(c, "height") >= 0 and work.says(c, _HEIGHT_ASKED):
            return Request("height", dogs)
        if work.where(c, "prog") >= 0:
            return Request("progesterone", dogs)
        if work.says(c, _MATING_ASKED):
            pair = tuple(dict.fromkeys(n for o in work.clauses for n in o.dogs))
            return Request("mating", pair)
        task = _task(work, c)
        if task is not None:
            return Request("task", dogs, task)
        near_task = next((t for t in (_task(work, o) for o in work.clauses if o.sentence == c.sentence) if t), None)
        if near_task is not None and work.says(c, _TASK_AGAIN):
            return Request("task", dogs, near_task)
        if work.where(c, "earw") >= 0:
            return Request("ears", dogs)
        if work.where(c, "fed") >= 0 or _meal_in(work, c) or work.says(c, {"feed", "eaten"}):
            i = work.where(c, "eaten")
            eaten = words.tags[i]["eaten"][0] if i >= 0 else None
            return Request("meal", dogs, Meal(dog="", on=date.min, meal=meal_name(work, c), eaten=eaten))
        if work.where(c, "treat") >= 0:
            return Request("treat", dogs, Treat(dog="", on=date.min))
        if (
            c.ask
            and dogs
            and c.dogs
            and work.says(c, {"what", "whats", "wats"})
            and (c.hi - c.lo <= 8 and not c.elsewhere and not any("ounit" in words.tags[i] for i in range(c.lo, c.hi)))
        ):
            return Request("weight", dogs)  # "what was Ranger this morning?" answered with a figure
        if _which(work, c):
            return Request("which", ())
    return None


def _meal_in(work: Work, c: Clause) -> bool:
    return meal_name(work, c) is not None


def _imperative(work: Work, c: Clause) -> bool:
    words = work.words
    i = c.lo
    while i < c.hi and (words.kind[i] != "w" or "person" in words.tags[i] or words.w[i] in ("and", "please", "ok")):
        i += 1
    return i < c.hi and words.w[i] in _COMMANDS


def _next(work: Work, c: Clause) -> bool:
    return work.says(c, _WHOSE_TURN) and (work.where(c, "weigh") >= 0)


def _task(work: Work, c: Clause) -> Entry | None:
    words = work.words
    for p, verb, _thing in work.pairs(c):
        return Groom(dog="", on=date.min, task=words.tags[verb][f"gv {p}"][0])
    i = work.where(c, "groom")
    if i >= 0:
        return Groom(dog="", on=date.min, task=words.tags[i]["groom"][0][0])
    for p in range(PAIRS_READ):
        thing = work.where(c, f"go {p}")
        if thing >= 0 and words.w[thing] != "ears":
            return Groom(dog="", on=date.min, task=words.tags[thing][f"go {p}"][0])
    i = work.where(c, "dose")
    if i >= 0:
        return Dose(dog="", on=date.min, dose=words.tags[i]["dose"][0][0])
    if work.says(c, {"worm", "deworm"}):
        return Dose(dog="", on=date.min, dose="wormer")
    return None


def _which(work: Work, c: Clause) -> bool:
    return work.says(c, {"which", "who", "whose"})


# --- corrections ----------------------------------------------------------------------------------------------


def correct(work: Work, context: Context, fresh: list[Entry]) -> list[Entry] | None:
    """The entries that take the place of earlier ones, None where the message corrects nothing.

    Args:
        work: the message. fresh: what it would give if it corrected nothing.
    """
    words = work.words
    previous = _to_be_corrected(context)
    if not _cue(work):
        return _weighed_again(context, previous, fresh)
    if previous is None:
        return None
    entries = previous.entries
    if _swap(work) and len(entries) >= 2:
        swapped = _swapped(entries)
        if swapped:
            return swapped
    names = [n for c in work.clauses for m in c.mentions if m.kind == "name" for n in m.names]
    negated = _negated(work)
    meant = [n for n in dict.fromkeys(names) if n not in negated]
    figures = _new_figures(work)
    # entries that this message would give by itself, but in the place of the earlier ones
    whole = [_in_place_of(e, entries) for e in fresh if e.kind in {x.kind for x in entries}]
    kept = [w for w in whole if w is not None]
    if kept and (figures or fresh[0].kind not in ("weight",)):
        changed_dog = meant and meant[0] not in {e.dog for e in entries}
        if (
            changed_dog
            and not figures
            and len(entries) == 1
            and fresh[0].kind == entries[0].kind
            and (_same_values(fresh[0], entries[0]))
        ):
            return [replace(entries[0], dog=meant[0], replaces=True)]
        return kept
    if figures:
        fixed = _with_figure(work, figures, entries, meant)
        if fixed:
            return fixed
    if fresh and not kept:
        if len(entries) == 1 and _kind_fix(work, fresh, entries):
            return [replace(f, dog=f.dog if meant else entries[0].dog, on=entries[0].on, replaces=True) for f in fresh]
        return None
    parts = _with_part(work, entries, meant)
    if parts:
        return parts
    moved = [w for c in work.clauses for w in c.whens if not w.ahead and w.on <= work.today]
    if moved and not figures and len(words) <= 24 and all(n in {e.dog for e in entries} for n in meant):
        kept_dogs = [e for e in entries if not meant or e.dog in meant]
        return [replace(e, on=moved[0].on, replaces=True) for e in kept_dogs]
    if meant:
        target = [e for e in entries if e.dog in negated] or (
            list(entries) if len({e.dog for e in entries}) == 1 else []
        )
        target = [e for e in target if e.dog != meant[0]]
        if target:
            return [replace(e, dog=meant[0], replaces=True, said=words.text.strip()) for e in target]
        return None
    whens = [w for c in work.clauses for w in c.whens if not w.ahead and w.on <= work.today]
    if whens and not figures and len(words) <= 20:
        return [replace(e, on=whens[0].on, replaces=True) for e in entries]
    return None


def named_in_answer(work: Work, context: Context) -> list[Entry] | None:
    """'Bindi' after a record without a dog: what was in doubt, with its dog."""
    words = work.words
    names = tuple(dict.fromkeys(n for c in work.clauses for n in c.named))
    covered = sum(m.n for c in work.clauses for m in c.mentions if m.kind == "name")
    spoken = [i for i in range(len(words)) if words.kind[i] == "w"]
    first = work.clauses[0]
    alone = first.named and first.hi - first.lo <= 2
    if len(names) != 1 or (len(spoken) - covered > 4 and not alone) or any(c.amounts or c.ask for c in work.clauses):
        return None
    if any(c.neg_at >= 0 or c.plan_at >= 0 for c in work.clauses):
        return None
    for earlier in context.earlier():
        if any(w in ("whose", "whos") for w in earlier.work.words.w) and not earlier.entries:
            if any("toothw" in t or "tooth" in t for t in earlier.work.words.tags):
                return [Tooth(dog=names[0], on=work.today, said=words.text.strip())]
        for doubt in earlier.work.doubts:
            if doubt.about == "dog" and doubt.entry is not None:
                fixed: Entry = replace(doubt.entry, dog=names[0], said=words.text.strip())
                if isinstance(fixed, Weight):
                    dog = work.kennel.dog(names[0])
                    kg = plausible.read_weight(dog, fixed.kg, fixed.on, work.kennel.weight_unit) if dog else None
                    if dog is None or not (plausible.weight_fits(dog, fixed.kg, fixed.on) or kg):
                        return None
                    if not plausible.weight_fits(dog, fixed.kg, fixed.on):
                        fixed = replace(fixed, kg=round(kg or 0, 4))
                return [fixed]
        if earlier.entries:
            return None
    return None


AGAIN = timedelta(minutes=15)  # a second weight of the same dog by the same hand so soon mends the first (own choice)


def _weighed_again(context: Context, previous: Earlier | None, fresh: list[Entry]) -> list[Entry] | None:
    """'28.6 on Ember' minutes after "Ember 29.6" from the same person."""
    if previous is None or previous.message.sender != context.sender or not fresh:
        return None
    if context.sent_at - previous.message.sent_at > AGAIN:
        return None
    before = {e.dog: e for e in previous.entries if isinstance(e, Weight)}
    if not all(isinstance(f, Weight) and f.dog in before for f in fresh):
        return None
    return [replace(f, on=before[f.dog].on, replaces=True) for f in fresh]


def same_for(work: Work, context: Context) -> list[Entry] | None:
    """'same for junie': what was just kept of another dog, of this one too."""
    words = work.words
    said = any("fix same" in words.tags[i] for i in range(min(len(words), 6))) or any(
        "fix same" in words.tags[i] for i in range(max(0, len(words) - 3), len(words))
    )
    first = work.clauses[0]
    if not said and not (
        words.w[0] in ("and", "plus", "also") and first.named and not any(c.saying for c in work.clauses)
    ):
        return None
    names = tuple(dict.fromkeys(n for c in work.clauses for n in c.named))
    if not said and len(names) != 1:
        return None
    if not names or any(c.amounts for c in work.clauses) or any(c.ask for c in work.clauses):
        return None
    if any(c.plan_at >= 0 or c.neg_at >= 0 for c in work.clauses):
        return None
    for earlier in context.earlier()[:2]:
        if earlier.entries:
            source = [e for e in earlier.entries if e.dog == earlier.entries[0].dog]
            out = []
            for name in names:
                for e in source:
                    if isinstance(e, Weight) and not ("same" in words.w and ("gram" in words.w or "weight" in words.w)):
                        continue
                    on = e.on if e.on != earlier.work.today else work.today
                    out.append(replace(e, dog=name, on=on, said=words.text.strip()))
            return out or None
    return None


def _cue(work: Work) -> bool:
    words = work.words
    for i in range(len(words)):
        if "fix cue" in words.tags[i] or "fix swap" in words.tags[i]:
            return True
        if words.w[i] == "*" and (i == 0 or i == len(words) - 1):
            return True
    return False


def _to_be_corrected(context: Context) -> Earlier | None:
    same = [e for e in context.earlier() if e.entries and e.message.sender == context.sender]
    any_ = [e for e in context.earlier() if e.entries]
    if same and any_ and same[0] is not any_[0]:
        return any_[0] if context.earlier() and any_[0] is context.earlier()[0] else same[0]
    found = same or any_
    return found[0] if found else None


def _swap(work: Work) -> bool:
    return any("fix swap" in t for t in work.words.tags)


def _swapped(entries: tuple[Entry, ...]) -> list[Entry]:
    out: list[Entry] = []
    by_kind: dict[str, list[Entry]] = {}
    for e in entries:
        by_kind.setdefault(e.kind, []).append(e)
    for same in by_kind.values():
        if len(same) == 2 and same[0].dog != same[1].dog:
            out += [replace(same[1], dog=same[0].dog, replaces=True), replace(same[0], dog=same[1].dog, replaces=True)]
        elif len(same) == 1 and isinstance(same[0], Ears) and same[0].left and same[0].right:
            out.append(replace(same[0], left=same[0].right, right=same[0].left, replaces=True))
    return out


def _negated(work: Work) -> set[str]:
    """The dogs that were not meant: "that was Fern not Nugget"."""
    out: set[str] = set()
    words = work.words
    for c in work.clauses:
        for m in c.mentions:
            if m.kind == "name" and m.i > 0 and words.w[m.i - 1] in _NOT_MEANT:
                out |= set(m.names)
    return out


def _new_figures(work: Work) -> list[float]:
    """The figures said, without the one that is taken back ("9.2 not 9.4")."""
    out: list[float] = []
    words = work.words
    for c in work.clauses:
        for a in c.amounts:
            if a.other not in (None, "things") or a.ordinal:
                continue
            if (
                a.clock
                and a.i
                and words.w[a.i - 1] == "at"
                and a.unit is None
                and len(words.w[a.i].replace(":", ".").partition(".")[2]) == 2
            ):
                continue
            if (
                a.i
                and words.w[a.i - 1] in _TAKEN_BACK
                and len(out) + len(c.amounts) >= 1
                and (words.w[a.i - 1] != "of")
            ):
                continue
            out.append(a.kg if a.kg is not None else a.value)
    return out


def _in_place_of(new: Entry, entries: tuple[Entry, ...]) -> Entry | None:
    same = [e for e in entries if e.kind == new.kind]
    if not same:
        return None
    own = [e for e in same if e.dog == new.dog] or same
    old = own[0]
    values: dict[str, object] = {}
    if isinstance(new, Meal) and isinstance(old, Meal):
        values = {"meal": new.meal or old.meal}
        if new.amount is None and not new.eaten:
            values |= {"amount": old.amount, "unit": old.unit, "eaten": old.eaten}
        elif new.amount is not None:
            values |= {"eaten": new.eaten or old.eaten}
        else:
            values |= {"amount": old.amount, "unit": old.unit}
    return replace(new, on=old.on, replaces=True, **values)  # type: ignore[arg-type]


def _same_values(a: Entry, b: Entry) -> bool:
    return replace(a, dog="", said="", on=b.on, clock=None, replaces=False) == replace(
        b, dog="", said="", clock=None, replaces=False
    )


_VALUE = {
    "weight": "kg",
    "temperature": "celsius",
    "height": "cm",
    "progesterone": "value",
    "condition": "score",
    "meal": "amount",
    "treat": "amount",
    "whelping": "pups",
}


def _with_figure(work: Work, figures: list[float], entries: tuple[Entry, ...], meant: list[str]) -> list[Entry]:
    value = figures[0]
    amount = next(a for c in work.clauses for a in c.amounts if (a.kg if a.kg is not None else a.value) == value)
    candidates = [e for e in entries if e.kind in _VALUE]
    if meant:
        candidates = [e for e in candidates if e.dog == meant[0]] or candidates
    if not candidates:
        return []
    old_said = [a.kg if a.kg is not None else a.value for c in work.clauses for a in c.amounts][1:]
    if len(candidates) > 1 and old_said:
        close = [
            e
            for e in candidates
            if any(
                abs(getattr(e, _VALUE[e.kind]) - o) < 1e-6 or abs(getattr(e, _VALUE[e.kind]) * 1000 - o) < 1e-3
                for o in old_said
            )
        ]
        candidates = close or candidates
    old = candidates[-1] if len(candidates) > 1 and not meant else candidates[0]
    dog = work.kennel.dog(meant[0] if meant else old.dog)
    if isinstance(old, Weight) and dog is not None:
        kg = (
            amount.kg
            if amount.kg is not None
            else plausible.read_weight(dog, amount.value, old.on, work.kennel.weight_unit)
        )
        if kg is None or not plausible.weight_fits(dog, kg, old.on):
            work.doubt("value", replace(old, kg=amount.value, replaces=True), work.clauses[0])
            return []
        return [replace(old, dog=dog.name, kg=round(kg, 4), replaces=True, said=work.words.text.strip())]
    name = _VALUE[old.kind]
    new: object = amount.value
    if old.kind in ("meal", "treat"):
        if amount.unit in CUPS:
            new = round(amount.value * CUPS[amount.unit], 5)
        elif amount.kg is not None:
            new = round(amount.kg * 1000, 2)
        if getattr(old, "unit", None) is None:
            return []
    if old.kind == "temperature":
        new = plausible.celsius_of(amount.value, None)
        if new is None:
            return []
    if old.kind == "whelping":
        new = int(amount.value)
    fixed: dict[str, Any] = {name: new}
    return [replace(old, dog=meant[0] if meant else old.dog, replaces=True, said=work.words.text.strip(), **fixed)]


def _kind_fix(work: Work, fresh: list[Entry], entries: tuple[Entry, ...]) -> bool:
    """'not vomit, bile', 'bath not brush': another kind or another task in the place of the first."""
    old, new = entries[0], fresh[0]
    groups = (("groom",), ("sign",), ("dose",), ("meal", "treat"), ("season", "whelping", "mating"))
    same = any(old.kind in g and new.kind in g for g in groups)
    return same or any(w in ("not", "meant", "instead") for w in work.words.w)


def _with_part(work: Work, entries: tuple[Entry, ...], meant: list[str]) -> list[Entry]:
    """A part that is corrected without a figure: the side, the meal, how much was eaten, a fraction."""
    words = work.words
    tags = words.tags
    if len(entries) > 1 and not meant:
        entries = entries[-1:]
    if meant:
        entries = tuple(e for e in entries if e.dog in meant)
    out: list[Entry] = []
    not_words = {i + 1 for i, w in enumerate(words.w) if w in ("not", "isnt", "wasnt")}
    for e in entries:
        if isinstance(e, Ears):
            sides = [
                ("left" if "s left" in tags[i] else "right")
                for i in range(len(words))
                if i not in not_words and (i - 1 not in not_words) and ("s left" in tags[i] or "s right" in tags[i])
            ]
            if sides and (e.left is None) != (e.right is None):
                position = e.left or e.right
                out.append(
                    replace(
                        e,
                        left=position if sides[0] == "left" else None,
                        right=position if sides[0] == "right" else None,
                        replaces=True,
                    )
                )
        elif isinstance(e, Meal):
            eaten = next((tags[i]["eaten"][0] for i in range(len(words)) if "eaten" in tags[i]), None)
            meal = next(
                (tags[i]["meal"][0] for i in range(len(words)) if "meal" in tags[i] and i not in not_words), None
            )
            if eaten or (meal and meal != e.meal):
                out.append(replace(e, meal=meal or e.meal, eaten=eaten or e.eaten, replaces=True))
            elif e.eaten == "all" and any("s third" in t or "s half" in t or "s quarter" in t for t in tags):
                out.append(replace(e, eaten="some", replaces=True))
        elif isinstance(e, Groom):
            task = next(
                (tags[i]["groom"][0][0] for i in range(len(words)) if "groom" in tags[i] and i not in not_words), None
            )
            if task and task != e.task:
                out.append(replace(e, task=task, replaces=True))
        elif isinstance(e, Sign):
            sign = next(
                (tags[i]["sign"][0] for i in range(len(words)) if "sign" in tags[i] and i not in not_words), None
            )
            if sign and sign != e.sign:
                out.append(replace(e, sign=sign, replaces=True))
        elif isinstance(e, Dose):
            dose = next(
                (tags[i]["dose"][0][0] for i in range(len(words)) if "dose" in tags[i] and i not in not_words), None
            )
            if dose and dose != e.dose:
                out.append(replace(e, dose=dose, replaces=True))
    return out
