"""What is asked of Fettle: weight, growth, ration, fed, due, ears, chart, summary, undo."""

from __future__ import annotations

from bot.reading.clauses import Clause, asks
from bot.reading.work import Work
from core.entries import Question

_GENERAL = frozenset({"fed", "due", "undo", "chart", "ration", "summary"})
# Which of several is meant where words for more than one stand in the question, strongest first.
_ORDER = ("chart", "ration", "fed", "growth", "due", "ears", "weight", "summary")


def read(work: Work) -> list[Question]:
    """The questions of the message to Fettle, one for each dog named; talk between people gives none."""
    words = work.words
    undo = _undo(work)
    if undo is not None:
        return [undo]
    out: list[Question] = []
    done: set[int] = set()  # clauses already asked about
    for c in work.clauses:
        if id(c) in done:
            continue
        same = _unit(work, c)
        if not c.ask and not _requests(work, c):
            continue
        about = _about(work, same)
        if (
            about == ""
            and c.named
            and c.topic in ("dose", "groom")
            and any(words.w[i] in ("next", "due", "when") for i in range(work.clauses[0].lo, work.clauses[0].hi))
        ):
            about = "due"  # rows of names under "Next wormer:"
        if about == "":
            continue
        if _between_people(work, same, about):
            continue
        done.update(id(o) for o in same)
        names, group = _whom(work, same, about)
        if not names and not group and not _needs_none(work, same, about):
            continue
        if group or not names:
            out.append(Question(about=about))
        else:
            out += [Question(about=about, dog=n) for n in names]
    out += _and_of(work, out)
    unique: list[Question] = []
    for q in out:
        if q not in unique:
            unique.append(q)
    del words
    return unique


def _and_of(work: Work, asked: list[Question]) -> list[Question]:
    """'what did copper weigh last time. and ember': the same of another dog."""
    named = [q for q in asked if q.dog]
    if not named:
        return []
    last = work.clauses[-1]
    if last.ask or not last.named or not _bare_names(work, last) or last.saying or len(work.clauses) < 2:
        return []
    if work.words.w[last.lo - 1 : last.lo] != ["and"] and work.words.w[last.lo] not in ("and", "also"):
        return []
    return [Question(about=named[-1].about, dog=n) for n in last.named if n != named[-1].dog]


def _unit(work: Work, c: Clause) -> list[Clause]:
    """The clauses of one question: up to where the next one of its sentence opens."""
    same = [
        o for o in work.clauses if o.sentence == c.sentence and (o.ask or o is c or (o.named and _bare_names(work, o)))
    ]
    opens = [o for o in same if asks(work.words, o.lo, o.hi)]
    start = max((o.lo for o in opens if o.lo <= c.lo), default=same[0].lo)
    stop = min((o.lo for o in opens if o.lo > max(c.lo, start)), default=10**6)
    return [o for o in same if start <= o.lo < stop] or [c]


def _bare_names(work: Work, c: Clause) -> bool:
    covered = sum(m.n for m in c.mentions)
    return sum(1 for i in range(c.lo, c.hi) if work.words.kind[i] == "w") - covered <= 1


def _undo(work: Work) -> Question | None:
    words = work.words
    for c in work.clauses:
        i = work.where(c, "ask undo")
        if i < 0:
            continue
        w, n = words.w[i], words.tags[i]["ask undo"][1]
        rest = [words.w[j] for j in range(c.lo, c.hi) if words.kind[j] == "w"]
        # "scrap that, 9.2" corrects; "scrap that" alone takes back; "forget that film" is talk
        if any(a for o in work.clauses for a in o.amounts if a.other is None and a.form == "digits"):
            return None
        if any(o.whens and o is not c and (o.saying or o.pronoun is not None) for o in work.clauses):
            return None  # "Scratch that, her nails were Friday" gives the day anew
        if c.named and w not in ("undo", "delete", "remove", "cancel", "withdraw", "unlog", "erase"):
            return None
        said = set(words.w[i : i + n])
        if w in ("forget", "ignore", "scrap", "bin", "pull", "disregard") and len(rest) - n > 4:
            continue
        if w in ("take", "withdraw", "back", "get", "rub", "cross", "wipe") and not (
            said & {"back", "last", "previous", "out", "off", "rid", "withdraw", "that", "away"}
        ):
            continue
        if w in ("take", "back", "get", "remove", "delete", "cancel") and not (
            {
                "entry",
                "last",
                "previous",
                "that",
                "it",
                "note",
                "log",
                "record",
                "one",
                "back",
                "what",
                "message",
                "my",
                "again",
                "them",
                "weight",
                "those",
            }
            & set(rest)
        ):
            continue
        if w == "take" and not ({"entry", "last", "previous", "back", "that", "note", "log"} & set(rest)):
            continue
        if c.ask and w not in ("undo", "delete", "remove", "take", "cancel", "scrap", "erase", "scratch"):
            continue
        if any(x in rest for x in ("bins", "bin", "dog", "seat", "shoes", "film", "library", "shop", "friday")):
            continue
        return Question(about="undo")
    return None


_REQUEST = frozenset(
    {
        "show",
        "send",
        "see",
        "give",
        "tell",
        "remind",
        "draw",
        "plot",
        "graph",
        "chart",
        "need",
        "want",
        "pls",
        "please",
        "plz",
        "let",
        "get",
        "update",
        "report",
        "summary",
        "sum",
        "recap",
        "like",
        "catch",
        "print",
        "pull",
        "any",
        "anything",
        "whats",
        "wanna",
        "love",
        "bring",
        "fill",
        "wonder",
        "wondering",
        "know",
    }
)


def _requests(work: Work, c: Clause) -> bool:
    """A wish to be shown something is a question too: "graph 4 biscuit pls"."""
    words = work.words
    said = words.w[c.lo : c.hi]
    if work.where(c, "ask chart") >= 0:
        i = work.where(c, "ask chart")
        if words.w[i] in ("draw", "plot", "curve", "diagram") and not (set(said) & _REQUEST):
            return False
        return bool(set(said) & _REQUEST) or len(said) <= 5
    if work.where(c, "ask summary") >= 0 and set(said) & {"catch", "fill", "bring"} and set(said) & {"me", "us"}:
        return True
    if set(said) & {"tell", "remind", "know", "wonder", "wondering", "show", "update", "recap", "summary", "report"}:
        return (
            work.where(c, "ask summary", "ask due", "ask ration", "ask weight", "ask growth", "ask ears", "ask fed")
            >= 0
            and (set(said) & {"me", "on", "please", "pls", "us", "if", "how", "what", "when", "recap", "summary"})
            != set()
            and not (set(said) & {"tell", "remind"} and not {"me", "us"} & set(said))
            and _not_telling(words.w, c)
        )
    if said[:1] in (["any"], ["anything"]) or said[:2] == ["time", "for"]:
        return c.ask
    return False


def _not_telling(w: list[str], c: Clause) -> bool:
    said = w[c.lo : c.hi]
    return not any(x in said for x in ("told", "knows", "knew", "let")) and not (
        "dont" in said and "know" in said and ("why" in said)
    )


def _about(work: Work, clauses: list[Clause]) -> str:
    words = work.words
    hits: set[str] = set()
    said: list[str] = []
    for c in clauses:
        said += words.w[c.lo : c.hi]
        for i in range(c.lo, c.hi):
            for m in words.tags[i]:
                if m.startswith("ask "):
                    if any(x.i <= i < x.end and x.kind == "name" and not x.owner for x in c.mentions):
                        continue
                    hits.add(m[4:])
    s = set(said)
    if "undo" in hits:
        hits.discard("undo")
    first = _first_open(said)
    if not hits:
        if (
            first in ("what", "whats")
            and s & {"was", "is", "whats"}
            and any(c.named for c in clauses)
            and len(said) <= 8
            and (
                all(
                    work.words.kind[i] != "w"
                    or work.words.has(i, "qword", "between", "day", "weekday", "dog", "t last")
                    or any(m.i <= i < m.end for m in c.mentions)
                    for c in clauses
                    for i in range(c.lo, c.hi)
                )
            )
        ):
            return "weight"  # "What was White on Monday?"
        coming = first in ("when", "whens", "wen") and s & {"next", "due", "last"}
        record = any(work.where(c, "dose", "groom", "weigh", "season") >= 0 for c in clauses)
        return "due" if coming and record else ""
    if "chart" in hits:
        return "chart"
    if s & {"aspirin", "ibuprofen", "paracetamol", "dose", "dosage", "mg", "mls"} and s & {"much", "many", "give"}:
        return ""
    weighing = bool(s & {"weigh", "weighs", "weight", "weights", "weighed", "heavy", "wt", "weighing", "wiegh"})
    if weighing and first in ("how", "what", "whatd", "howd", "whats", "wat", "wats", "hows", "wot", "wots"):
        if s & {
            "should",
            "supposed",
            "will",
            "gain",
            "gaining",
            "gained",
            "ideal",
            "grown",
            "track",
            "ok",
            "okay",
            "enough",
            "healthy",
            "normal",
            "expected",
            "ought",
            "end",
            "target",
        }:
            return "growth"
        return "weight"
    if "ration" in hits and s & {"weigh", "weighs"}:
        return "weight"
    if (
        "ration" in hits
        and (s & {"gained", "grown", "gain", "put", "bigger", "cost", "sleep", "exercise", "walk"})
        and not (s & {"cups", "cup", "food", "feed", "kibble", "scoops", "grams"})
    ):
        return "growth" if s & {"gained", "grown", "gain"} else ""
    if "ration" in hits:
        if any(
            work.where(c, "dose") >= 0 or (s & {"aspirin", "ibuprofen", "paracetamol", "chocolate"}) for c in clauses
        ):
            return ""  # no doses are ever told
        return "ration"
    if "ears" in hits and not (s & {"cleaned", "trimmed", "due", "clean"}):
        if not ("fed" in hits and s & {"fed", "eaten"}):
            return "ears"
    if first in ("when", "whens", "wen") and ("due" in hits or s & {"next", "due", "last", "need", "needs"}):
        return "due"
    if "due" in hits and (
        s & {"due", "next", "overdue", "jobs", "outstanding", "chores", "todo"} or first in ("when", "whens", "wen")
    ):
        return "due"
    if "growth" in hits and _growing(s, first, hits):
        return "growth"
    if "fed" in hits and _feeding(work, clauses, s, first):
        return "fed"
    if "due" in hits:
        return "due"
    if "weight" in hits:
        return "weight"
    if "summary" in hits and _after_the_dog(work, clauses):
        return "summary"
    return ""


def _after_the_dog(work: Work, clauses: list[Clause]) -> bool:
    """True where "how is" is followed by the dog itself, not by "the walk with" it."""
    words = work.words
    for c in clauses:
        i = work.where(c, "ask summary")
        if i < 0:
            continue
        if words.w[i] not in ("how", "hows", "howz", "howd"):
            return True
        end = i + words.tags[i]["ask summary"][1]
        if end < c.hi and words.w[end] in ("everyone", "everybody", "all", "things", "it"):
            return True
        return any(m.i - end <= 2 and m.i >= i for o in clauses for m in o.mentions)
    return True


def _first_open(said: list[str]) -> str:
    for w in said:
        if w in (
            "whatd",
            "howd",
            "whend",
            "whod",
            "how",
            "what",
            "when",
            "who",
            "whats",
            "whens",
            "hows",
            "whos",
            "why",
            "where",
            "which",
            "wen",
            "wat",
            "wats",
            "wot",
            "wots",
            "is",
            "are",
            "has",
            "have",
            "did",
            "does",
            "do",
            "was",
            "were",
            "can",
            "should",
        ):
            return w
    return ""


def _growing(s: set[str], first: str, hits: set[str]) -> bool:
    if s & {
        "track",
        "heavy",
        "light",
        "big",
        "overweight",
        "underweight",
        "size",
        "grown",
        "adult",
        "porky",
        "tubby",
        "chunky",
        "podgy",
        "skinny",
        "small",
        "growth",
        "target",
        "final",
        "healthy",
        "ideal",
        "gaining",
        "growing",
        "weight",
        "weigh",
        "enough",
        "fat",
        "thin",
        "behind",
        "age",
    }:
        return first not in ("why", "where")
    return "fed" not in hits and "due" not in hits


def _feeding(work: Work, clauses: list[Clause], s: set[str], first: str) -> bool:
    food = any(work.where(c, "meal", "treat", "food") >= 0 for c in clauses) or bool(
        s & {"fed", "eaten", "feed", "eat", "ate", "feeding", "unfed"}
    )
    if "please" in s or (first in ("can", "could", "will", "would") and "you" in s):
        return False  # a request between people
    return food and (
        first in ("has", "have", "did", "who", "whos", "is", "are", "was", "were", "do", "does", "when")
        or bool(
            s & {"dogs", "pups", "anyone", "any1", "anybody", "everyone", "someone", "all", "yet", "already", "had"}
        )
    )


def _between_people(work: Work, clauses: list[Clause], about: str) -> bool:
    """True for "Dad, are you home?": the question is about a person, or somebody else's dog."""
    words = work.words
    said: list[str] = []
    dog = any(c.named or (c.dogs and c.pronoun is not None) for c in clauses)
    for c in clauses:
        said += words.w[c.lo : c.hi]
        if c.other and not c.named:
            return True
    s = set(said)
    if dog:
        if "you" in s and about in ("summary",) and s & {"think", "want", "mind", "coming", "doing", "free", "bring"}:
            return True
        return bool(
            s
            & {
                "wants",
                "fancy",
                "coming",
                "collecting",
                "taking",
                "picking",
                "bringing",
                "walking",
                "buy",
                "sell",
                "cost",
            }
        ) and about in ("summary", "weight", "due", "fed", "growth")
    elsewhere = any(c.elsewhere for c in clauses)
    if elsewhere:
        return True
    if about in ("summary", "growth", "weight", "ears"):
        people = {"you", "u", "your", "ur", "everyone", "mum", "dad", "gran", "we", "me", "my", "school", "work"}
        return bool(s & people) or any(c.human for c in clauses)
    if about in ("due", "fed", "ration"):
        if any(
            "kin" in words.tags[i] or "person" in words.tags[i] for c in clauses for i in range(c.lo, c.hi)
        ) and not (s & {"dogs", "dog", "pups", "everyone", "fed", "feed"}):
            return True
        return bool(
            s
            & {
                "you",
                "u",
                "ur",
                "your",
                "rent",
                "homework",
                "train",
                "bill",
                "my",
                "baby",
                "film",
                "game",
                "bus",
                "match",
                "library",
                "essay",
                "shop",
                "i",
                "we",
                "us",
            }
        ) and not (
            s
            & {"dogs", "dog", "pups", "fed", "feed", "worming", "bath", "nails", "vaccine", "today", "kennel", "bowls"}
        )
    return False


def _whom(work: Work, clauses: list[Clause], about: str) -> tuple[tuple[str, ...], bool]:
    names: list[str] = []
    group = False
    for c in clauses:
        for m in c.mentions:
            if m.kind == "name":
                names += [n for n in m.names if n not in names]
            elif m.kind == "group" and m.group not in ("", "except"):
                group = True
    if names or group:
        return tuple(names), group and not names
    for c in clauses:
        if c.pronoun is None and about in ("due", "fed") and any(o.named for o in work.clauses):
            continue  # "…, and what is there to be done tomorrow?" asks of the whole kennel
        if c.dogs and c.how in ("carried", "before", "list"):
            return c.dogs if len(c.dogs) == 1 else (), len(c.dogs) > 1
    pronoun = next((c for c in clauses if c.pronoun is not None), None)
    if pronoun is not None:
        found = work.before_dogs(pronoun)
        if found:
            return (found, False) if len(found) == 1 else ((), True)
    return (), False


def _needs_none(work: Work, clauses: list[Clause], about: str) -> bool:
    """True for what can be asked of the kennel as a whole."""
    s = {w for c in clauses for w in work.words.w[c.lo : c.hi]}
    if about == "ears":
        return "the" in s and not (s & {"my", "your", "ur", "you"})
    if about not in _GENERAL:
        return False
    if any(c.pronoun is not None and not c.pronoun.plural and c.pronoun.sex for c in clauses):
        return False
    if about == "due":
        return bool(
            s
            & {
                "due",
                "today",
                "jobs",
                "next",
                "tomorrow",
                "week",
                "list",
                "outstanding",
                "chores",
                "needs",
                "todo",
                "coming",
                "worming",
                "bath",
                "nails",
            }
        ) and s & {"what", "time"} != {"what", "time"}
    if about == "fed":
        return bool(
            s
            & {
                "fed",
                "feed",
                "anyone",
                "any1",
                "anybody",
                "everyone",
                "everybody",
                "dogs",
                "they",
                "bowls",
                "all",
                "breakfasts",
                "dinners",
                "every1",
                "someone",
                "unfed",
            }
        )
    if about == "summary":
        return bool(s & {"kennel", "dogs", "today", "yesterday", "overnight", "pups", "happened"}) and bool(
            s & {"happened", "new", "missed", "recap", "summary", "catch", "update"}
        )
    if about == "ration":
        return bool(s & {"dogs", "they", "pups", "each", "everyone", "food"})
    return about in ("chart", "undo")
