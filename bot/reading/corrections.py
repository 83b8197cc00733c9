"""What a message puts right in the records of an earlier one: "sorry 9.2", "that was Fern not Nugget"."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

from bot.reading.amounts import CUPS, Amount
from bot.reading.context import Context, Earlier
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core import plausible
from core.entries import Dose, Ears, Entry, Groom, Meal, Sign, Weight

_NOT_MEANT = words_of("cues", "not_meant")
_NO_WORDS = ("no", "nope", "nah")
_ONLY = words_of("cues", "only_words")
_TAKEN_BACK = words_of("cues", "taken_back")
_PARTS = (2, 3, 4, 8)  # of a cup


def correct(work: Work, context: Context, fresh: list[Entry]) -> list[Entry] | None:
    """The entries that take the place of earlier ones, None where the message corrects nothing.

    Args:
        work: the message. fresh: what it would give if it corrected nothing.
    """
    words = work.words
    previous = _to_be_corrected(work, context)
    if not _cue(work):
        return _weighed_again(work, context, previous, fresh)
    if previous is None:
        return None
    if not fresh and all(c.ask for c in work.clauses):
        return None  # "has Moss eaten or not?" asks; it takes nobody's weight away
    entries = previous.entries
    if _swap(work) and (len(entries) >= 2 or isinstance(entries[0], Ears)):
        named = {n for c in work.clauses for n in c.named} or _of_sex(work, entries)
        swapped = _swapped(tuple(e for e in entries if e.dog in named) if len(named) == 2 else entries)
        if swapped:
            return swapped
    names = [n for c in work.clauses for m in c.mentions if m.kind == "name" for n in m.names]
    negated = _negated(work)
    meant = [n for n in dict.fromkeys(names) if n not in negated]
    figures = _new_figures(work)
    old = {getattr(e, _VALUE[e.kind]) for e in entries if e.kind in _VALUE}
    if len(figures) > 1 and any(f in old for f in figures):
        figures = [f for f in figures if f not in old]  # "12.1 was with her harness on, it should read 11.7"
        fresh = [e for e in fresh if e.kind not in _VALUE or getattr(e, _VALUE[e.kind]) not in old]
    # entries that this message would give by itself, but in the place of the earlier ones
    whole = [_in_place_of(e, entries) for e in fresh if e.kind in {x.kind for x in entries}]
    kept = [w for w in whole if w is not None]
    if kept and (figures or fresh[0].kind != "weight"):
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


AGAIN = timedelta(minutes=15)  # a second weight of the same dog by the same hand so soon mends the first (own choice)


ANOTHERS_SCALE = timedelta(hours=1)  # another who saw the scale puts a weight right within the hour (own choice)
A_SLIP = 0.1  # a bare second weight that is farther off than this share may be another dog's (own choice)


def _weighed_again(work: Work, context: Context, previous: Earlier | None, fresh: list[Entry]) -> list[Entry] | None:
    """'28.6 on Ember' minutes after "Ember 29.6" from the same person."""
    if previous is None or not fresh:
        return None
    own = previous.message.sender == context.sender
    read_off = any(c.named and work.says(c, {"was", "read", "reads"}) for c in work.clauses)  # "Teal read 14.1"
    if not own and not read_off:
        return None
    if context.sent_at - previous.message.sent_at > (ANOTHERS_SCALE if read_off else AGAIN):
        return None
    before = {e.dog: e for e in previous.entries if isinstance(e, Weight)}
    if not all(isinstance(f, Weight) and f.dog in before for f in fresh):
        return None
    unnamed = not any(c.named for c in work.clauses)
    for f in fresh:
        old = before[f.dog]
        if unnamed and isinstance(f, Weight) and abs(f.kg / old.kg - 1) > A_SLIP:
            work.doubt("dog", replace(f, dog=""), work.clauses[0])
            return []  # a bare figure after a dog's weight may be the next dog's
    return [replace(f, on=before[f.dog].on, replaces=True) for f in fresh]


def _cue(work: Work) -> bool:
    words = work.words
    for i in range(len(words)):
        if "fix cue" in words.tags[i] or "fix swap" in words.tags[i]:
            return True
        if i == 0 and words.w[0] in _NO_WORDS and words.kind[1:2] == ["n"]:
            return True  # "no 20.6"
        if words.w[i] == "*" and (i == 0 or i == len(words) - 1):
            return True
    return False


def _to_be_corrected(work: Work, context: Context) -> Earlier | None:
    same = [e for e in context.earlier() if e.entries and e.message.sender == context.sender]
    any_ = [e for e in context.earlier() if e.entries]
    if same and any_ and same[0] is not any_[0]:
        return any_[0] if context.earlier() and any_[0] is context.earlier()[0] else same[0]
    found = same or any_
    negated = _negated(work)
    if negated and found and not negated & {e.dog for e in found[0].entries}:
        # "that was Juniper not Nugget": the message that spoke of Nugget, not the last one
        found = [e for e in found if negated & {x.dog for x in e.entries}] or found
    return found[0] if found else None


def _swap(work: Work) -> bool:
    return any("fix swap" in t for t in work.words.tags)


def _of_sex(work: Work, entries: tuple[Entry, ...]) -> set[str]:
    """'got the two boys mixed up': those of that sex among the dogs of the entries."""
    sexes = {s for s, heard in (("m", "boys"), ("f", "girls")) if heard in work.words.w}
    dogs = {e.dog: work.kennel.dog(e.dog) for e in entries}
    return {name for name, dog in dogs.items() if dog is not None and dog.sex in sexes} if len(sexes) == 1 else set()


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
            before = m.i - 1 if m.i > 0 and words.w[m.i - 1] != "the" else m.i - 2
            if m.kind == "name" and before >= 0 and words.w[before] in _NOT_MEANT:
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
            out.append(_value(a))
    return out


def _value(a: Amount) -> float:
    """Kilograms of a mass, the part that "3/4" is, else the figure as it was said."""
    if a.kg is not None:
        return a.kg
    part = a.of is not None and a.value < a.of and a.of in _PARTS
    return a.value / a.of if part and a.of else a.value


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
    amount = next(a for c in work.clauses for a in c.amounts if _value(a) == value)
    candidates = [e for e in entries if e.kind in _VALUE]
    if meant:
        candidates = [e for e in candidates if e.dog == meant[0]] or candidates
    if not candidates:
        return []
    old_said = [_value(a) for c in work.clauses for a in c.amounts][1:]
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
    near = [e for e in candidates if isinstance(e, Weight) and abs(value / e.kg - 1) <= A_SLIP]
    if isinstance(old, Weight) and len(candidates) > 1 and not meant and near and old not in near[-1:]:
        if len(near) > 1:
            work.doubt("dog", replace(old, dog="", kg=value, replaces=True), work.clauses[0])
            return []
        old = near[0]  # "9.4 and 7.9", then "no 9.3": the one that is a slip away, not the one told last
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
    new: object = value
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


def _ears_mended(work: Work, e: Ears, not_words: set[int]) -> list[Entry]:
    """'the left one', "only one tho", "sorry half up" after a reading of the ears."""
    tags = work.words.tags
    sides = [
        ("left" if "s left" in tags[i] else "right")
        for i in range(len(tags))
        if not {i, i - 1} & not_words and ("s left" in tags[i] or "s right" in tags[i])
    ]
    heard: list[str] = []
    end = 0
    for i in range(len(tags)):
        if "earp" in tags[i] and i >= end and not {i, i - 1} & not_words:
            heard.append(tags[i]["earp"][0])
            end = i + tags[i]["earp"][1]
    only = not _ONLY.isdisjoint(work.words.w)
    position = heard[0] if heard else e.left or e.right
    if sides and ((e.left is None) != (e.right is None) or only):
        left, right = (position if sides[0] == s else None for s in ("left", "right"))
        return [replace(e, left=left, right=right, replaces=True)]
    if only and "one" in work.words.w and e.left is not None and e.left == e.right:
        return [replace(e, left=None, right=None, one=e.left, replaces=True)]
    if len(heard) == 1 and not sides and e.left is not None and e.right is not None:
        return [replace(e, left=position, right=position, replaces=True)]
    return []


def _with_part(work: Work, entries: tuple[Entry, ...], meant: list[str]) -> list[Entry]:
    """A part that is corrected without a figure: the side, the meal, how much was eaten, a fraction."""
    words = work.words
    tags = words.tags
    if len(entries) > 1 and not meant and not all(_same_values(e, entries[0]) for e in entries):
        entries = entries[-1:]  # several alike are put right together ("fed the pups dinner", "that was lunch")
    if meant:
        entries = tuple(e for e in entries if e.dog in meant)
    out: list[Entry] = []
    not_words = {i + 1 for i, w in enumerate(words.w) if w in ("not", "isnt", "wasnt")}
    for e in entries:
        if isinstance(e, Ears):
            out += _ears_mended(work, e, not_words)
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
