"""What an earlier message asked for, and what a bare answer to it records: "9.4", "done", "Bindi", "same for junie"."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from bot.reading import clocks
from bot.reading.amounts import CUPS
from bot.reading.clause import Clause
from bot.reading.context import Context
from bot.reading.lexicon import words_of
from bot.reading.meals import meal_name
from bot.reading.treats import food_amount
from bot.reading.work import PAIRS_READ, Work
from core import plausible
from core.entries import Dose, Ears, Entry, Groom, Meal, Sign, Temperature, Tooth, Treat, Weight

_BOTH = words_of("cues", "both_tasks")
_COMMANDS = words_of("cues", "commands")
_HEIGHT_ASKED = words_of("cues", "height_asked")
_IT_WAS = words_of("cues", "it_was")
_MATING_ASKED = words_of("cues", "mating_asked")
_TASK_AGAIN = words_of("cues", "task_again")
_TOO = words_of("cues", "too_words")
_WHOSE_TURN = words_of("cues", "whose_turn")
LONGEST_ANSWER = 18  # words; what is longer speaks of its own (own choice)
SAME_DAY = timedelta(hours=14)  # "please do her nails today" may be answered in the evening (own choice)


@dataclass(slots=True)
class Request:
    """What an earlier message asked somebody to say or to do."""

    topic: str
    dogs: tuple[str, ...]
    entry: Entry | None = None
    beside: tuple[Entry, ...] = ()  # the other tasks of the same request ("brush her and trim her nails")


def _asked_for(context: Context) -> Request | None:
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
            named = [o for o in work.clauses if o.sentence == c.sentence and o.named] or [
                o for o in work.clauses if o.named and o.lo < c.lo
            ][-1:]
            dogs = named[-1].dogs if named else ()
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
            return Request("task", dogs, task, _tasks_beside(work, c))
        near = [o for o in work.clauses if 0 <= c.sentence - o.sentence <= 1]
        near_task = next((t for t in (_task(work, o) for o in near) if t), None)
        if near_task is not None and work.says(c, _TASK_AGAIN):
            return Request("task", dogs, near_task)
        if work.where(c, "earw") >= 0:
            i = work.where(c, "earp")
            asked = words.tags[i]["earp"][0] if i >= 0 and c.ask else ""
            return Request("ears", dogs, Ears(dog="", on=date.min, left=asked, right=asked) if asked else None)
        if work.where(c, "fed") >= 0 or _meal_in(work, c) or work.says(c, {"feed", "eaten", "eat"}):
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


def _tasks_beside(work: Work, c: Clause) -> tuple[Entry, ...]:
    others = [o for o in work.clauses if o is not c and o.sentence == c.sentence and (not o.named or o.dogs == c.dogs)]
    return tuple(t for t in (_task(work, o) for o in others) if t is not None)


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


def named_in_answer(work: Work, context: Context) -> list[Entry] | None:
    """'Bindi' after a record without a dog: what was in doubt, with its dog."""
    words = work.words
    names = tuple(dict.fromkeys(n for c in work.clauses for n in c.named))
    covered = sum(m.n for c in work.clauses for m in c.mentions if m.kind == "name")
    spoken = [i for i in range(len(words)) if words.kind[i] == "w"]
    first = work.clauses[0]
    alone = first.named and first.hi - first.lo <= 2
    lead = [i for i in range(first.lo, first.hi) if words.kind[i] == "w" and not first.mentioned_at(i)]
    alone = alone or (bool(first.named) and all(words.w[i] in _IT_WAS for i in lead))
    if len(names) != 1 or (len(spoken) - covered > 4 and not alone) or any(c.ask for c in work.clauses):
        return None
    if any(words.w[a.i] != "one" for c in work.clauses for a in c.amounts):
        return None  # "that last one is Tank" counts nothing
    if any(c.neg_at >= 0 or c.plan_at >= 0 for c in work.clauses):
        return None
    for earlier in context.earlier():
        if any(w in ("whose", "whos") for w in earlier.work.words.w) and not earlier.entries:
            if any("toothw" in t or "tooth" in t for t in earlier.work.words.tags):
                return [Tooth(dog=names[0], on=work.today, said=words.text.strip())]
        sign = _sign_asked(earlier.work)
        if sign is not None:
            return [Sign(dog=names[0], on=work.today, sign=sign, said=words.text.strip())]
        for doubt in earlier.work.doubts:
            if doubt.about == "dog" and doubt.entry is not None:
                fixed: Entry = replace(doubt.entry, dog=names[0], said=words.text.strip())
                if isinstance(fixed, Weight) and any("temp" in t for t in words.tags):
                    celsius = plausible.celsius_of(fixed.kg, None)  # "Wisp's temp that was"
                    return (
                        [Temperature(dog=names[0], on=fixed.on, celsius=celsius, said=fixed.said)] if celsius else None
                    )
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


def _sign_asked(work: Work) -> str | None:
    """'which dog is that coughing?': the sign whose dog is asked for."""
    for c in work.clauses:
        named = [m for m in c.mentions if m.kind == "name"]
        if c.ask and not named and work.says(c, {"which", "who", "whos"}) and "sign" in c.meanings:
            return str(work.words.tags[c.meanings["sign"]]["sign"][0])
    return None


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


def request_before(work: Work, context: Context) -> Request | None:
    """What an earlier message asked, where this one is short enough to be its answer."""
    words = work.words
    if any(c.ask for c in work.clauses):
        return None
    named = {n for c in work.clauses for n in c.named}
    if named:
        # "did them both, Fionn is in a huff about it"
        found = _asked_for(context) if words.has(0, "fix yes") and not work.clauses[0].named else None
        return found if found is not None and named <= set(found.dogs) and len(found.dogs) > 1 else None
    said = [w for w, k in zip(words.w, words.kind, strict=True) if k in "wnf"]
    if len(said) > LONGEST_ANSWER:
        return None
    return _asked_for(context)


def hand_over(work: Work, request: Request) -> None:
    """Gives the dogs that were asked about to the clauses of the answer."""
    if len(request.dogs) == 1:
        for c in work.clauses:
            if not c.dogs and not (
                c.human and c.pronoun is None and request.topic not in ("weight", "ears", "task", "meal", "temperature")
            ):
                c.dogs, c.how = request.dogs, "carried"
    elif request.topic == "mating" and len(request.dogs) == 2:
        for c in work.clauses:
            if not c.dogs and c.saying:
                c.dogs, c.how = request.dogs, "carried"
    elif request.topic == "weight":
        work.topic = "weight?"


def answer_to(work: Work, request: Request) -> list[Entry] | None:
    """'done', 'yep gave it her at 5' after "please do her nails" or "has Moss had her dinner yet?"."""
    words = work.words
    first = next((i for i in range(len(words)) if words.kind[i] == "w"), -1)
    if first < 0:
        return None
    tags = words.tags[first]
    if request.topic in ("task", "meal", "treat", "ears") and request.entry is not None and request.dogs:
        yes = "fix yes" in tags or _done_so(work, request, first) or any(w in ("✅", "👍", "✔", "☑") for w in words.w)
        if not yes or any(c.plan_at >= 0 or c.neg_at >= 0 for c in work.clauses):
            return None
        clock = clocks.clock_in(words, 0, len(words), [a for c in work.clauses for a in c.amounts])
        entry = request.entry
        if isinstance(entry, Meal):
            given = next((a for c in work.clauses for a in c.amounts if a.unit in CUPS or a.unit in ("g", "can")), None)
            if given is not None:
                amount, unit = food_amount(given)
                entry = replace(entry, amount=amount, unit=unit)
            i = next((i for i in range(len(words)) if "eaten" in words.tags[i]), None)
            if i is not None and entry.eaten is None:
                entry = replace(entry, eaten=words.tags[i]["eaten"][0])
        both = request.beside if work.says(work.clauses[0], _BOTH) or work.says(work.clauses[-1], _BOTH) else ()
        on, said = work.day(work.clauses[0]), words.text.strip()
        return [replace(e, on=on, said=said, clock=clock, dog=d) for e in (*both, entry) for d in request.dogs]
    return None


def _done_so(work: Work, request: Request, first: int) -> bool:
    """'brushed em', where the teeth were asked about: the verb of that very task, and nothing else it could be."""
    if not isinstance(request.entry, Groom) or work.clauses[0].named:
        return False
    tags = work.words.tags[first]
    verb = any(m[:3] == "gv " and which == request.entry.task for m, (which, _) in tags.items())
    parts = any(m[:3] == "go " for t in work.words.tags for m in t)
    return verb and not parts


def besides(work: Work, answer: list[Entry]) -> list[Entry]:
    """What an answer tells beside what was asked: "done, and her nails too"."""
    out: list[Entry] = []
    for c in work.clauses[1:]:
        task = _task(work, c) if c.sep == "and" and work.says(c, _TOO) and c.neg_at < 0 and c.plan_at < 0 else None
        if task is not None:
            out += [replace(task, dog=e.dog, on=e.on, said=e.said) for e in answer]
    return [e for e in out if e not in answer]
