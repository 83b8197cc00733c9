"""Ears: "left ear up, right still down", "both standing", "U/H", "one up one down"."""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core.entries import Ears

_BOTH_BETWEEN = words_of("cues", "both_between")
_EAR_AGAIN = words_of("cues", "ear_again")
_EAR_WORDS_SHARED = words_of("cues", "ear_words_shared")
_LEFT_SOMETHING = words_of("cues", "left_something")
_LETTER_LEADS = words_of("cues", "letter_leads")
_NOT_EARS = words_of("cues", "not_ears")
_OF_THE_WRITER = words_of("cues", "of_the_writer")
_PLAIN_POSITIONS = words_of("cues", "plain_positions")
_TIP = words_of("cues", "ear_tip")
_UP_TO = words_of("cues", "up_to")

_ORDER = {"up": 0, "half": 1, "down": 2}
_SIDES = ("left", "right")


def read(work: Work) -> None:
    """Takes the ear positions out of the message."""
    if "earp" not in work.meanings:
        return
    about = work.topic == "ears"
    collected: dict[int, list[tuple[Clause, dict[str, str]]]] = {}
    order: list[int] = []
    subject = 0
    last: tuple[str, ...] = ()
    last_day = work.today
    for c in work.clauses:
        has_word = work.where(c, "earw") >= 0
        if has_word and not _ill(work, c):
            about = True
        elif c.sep in ("stop", "line", "ask") and not has_word and not _sided(work, c) and not _short(c):
            if work.topic != "ears" and not _header(work):
                about = False
        found = _positions(work, c, about)
        if not found:
            continue
        i = work.where(c, "earp")
        if work.shut(c, i) or (
            c.human and not c.named and c.how != "carried" and c.pronoun is None and work.topic != "ears"
        ):
            continue
        if c.human and c.how == "carried" and work.says(c, _OF_THE_WRITER):
            continue
        day = work.day(c)
        if c.how == "own" or not order or c.dogs != last or (c.whens and day != last_day):
            subject += 1
            order.append(subject)
        last, last_day = c.dogs, day
        collected.setdefault(order[-1], []).append((c, found))
    for key in order:
        parts = collected.get(key, [])
        if parts:
            _post(work, parts)


def _header(work: Work) -> bool:
    """'EAR UPDATE: …': a first line about ears makes the whole message about ears."""
    first = work.clauses[0]
    return work.where(first, "earw") >= 0 and not first.named and work.where(first, "earp") < 0


def _ill(work: Work, c: Clause) -> bool:
    """Ears that are cleaned, trimmed, ripped or sore are not about how they stand."""
    return (
        work.where(c, "groom") >= 0
        or (work.where(c, "gv 1", "gv 5") >= 0 and work.where(c, "go 1", "go 5") >= 0 and (work.where(c, "earp") < 0))
        or (work.where(c, "sign") >= 0 and work.words.w[work.where(c, "sign")] != "torn")
    )


def _sided(work: Work, c: Clause) -> bool:
    if work.where(c, "earp") < 0:
        return False
    left, right = work.where(c, "s left") >= 0, work.where(c, "s right") >= 0
    for o in work.clauses[max(0, c.number - 1) : c.number + 2]:
        # "left half up, right up": one side in each of two clauses
        if o is not c and o.sentence == c.sentence and work.where(o, "earp") >= 0 and (left or right):
            left, right = left or work.where(o, "s left") >= 0, right or work.where(o, "s right") >= 0
    return (left and right) or (
        (left or right)
        and (
            work.where(c, "earw") >= 0 or work.topic == "ears" or any(work.where(o, "earw") >= 0 for o in work.clauses)
        )
    )


def _short(c: Clause) -> bool:
    return c.hi - c.lo <= 6


def _positions(work: Work, c: Clause, about: bool) -> dict[str, str]:
    """Side → position, as the clause says it; `both` is already spelled out."""
    if work.where(c, "earp") < 0:
        return {}
    sided = _sided(work, c)
    paired = _slashed(work, c)
    if paired:
        return paired if (about or c.named or c.how) else {}
    if not about and not sided and not _both_stand(work, c):
        return {}
    alone = sided and len(work.clauses) <= 2 and len(work.words) <= 8  # "left up right tipped": whose ears?
    if not about and not c.named and c.how not in ("carried", "list") and not alone:
        return {}
    return _Scan(work, c, about).run()


class _Scan:
    """Goes through a clause word by word: sides wait (`pending`) for the position that is said of them."""

    def __init__(self, work: Work, c: Clause, about: bool) -> None:
        self.work, self.words, self.c, self.about = work, work.words, c, about
        self.result: dict[str, str] = {}
        self.pending: list[str] = []
        self.plural = self.single = False

    def run(self) -> dict[str, str]:
        """The sides with their positions."""
        i = self.c.lo
        while i < self.c.hi:
            i += 1 if self.c.named_at(i) or not self.words.tags[i] else self._word(i)
        return self.result

    def _word(self, i: int) -> int:
        """Takes in the word at i; how many words it took."""
        t, w = self.words.tags[i], self.words.w[i]
        side, p = self._side_or_position(i)
        if side:
            if not (side == "left" and w == "left" and _left_behind(self.words.w, i)):
                self.pending = [s for s in self.pending if s in _SIDES] + [side]
                return max(int(t["s left" if side == "left" else "s right"][1]), 1)
            return 1
        if "s both" in t and w in ("both", "pair"):
            self.pending = ["left", "right"]
            return 1
        if w in ("1", "one") and p is None:
            self.pending = ["other" if "one" in self.result else "one"]
            return 1
        if "s other" in t:
            waits = "one" in self.result or not self.result
            self.pending = ["other"] if waits else [_opposite(self.result)]
            return int(t["s other"][1])
        if "earw" in t and p is None:
            self.plural = self.plural or w in ("ears", "lugs")
            self.single = self.single or w in ("ear", "lug")
            return 1
        if p is not None and _counts(self.words.w, i, self.c):
            tip = p[0] == "down" and self.words.says(max(self.c.lo, i - 3), i, _TIP)
            self._place("half" if tip else p[0])  # "left tip still flopping"
            return p[1]
        return 1

    def _side_or_position(self, i: int) -> tuple[str, tuple[str, int] | None]:
        """The side and the position that the word can be; "right" may be how far ("gone right up")."""
        t, w = self.words.tags[i], self.words.w[i]
        p: tuple[str, int] | None = t.get("earp")
        side = "left" if "s left" in t else "right" if "s right" in t else ""
        left_waits = w == "right" and self.pending == ["left"] and self.words.w[i - 1] not in ("and", "n", "&")
        if left_waits and side == "right" and p is None and i + 1 < self.c.hi and self.words.has(i + 1, "earp"):
            side = ""  # "gone right up": right is how far, not which
        if left_waits and p is not None and p[1] > 1:
            side = ""
        owned = i > self.c.lo and self.words.owner[i - 1]
        if w == "right" and owned and any(m.end == i and m.owner for m in self.c.mentions):
            p = None  # "Biscuit's right up": the right one
        if p is None or w != "right" or p[1] <= 1:
            return side, p
        if not self.pending and not self.result and not sided_alone(self.work, self.c, i):
            return "", p
        return side, p if self.pending == ["left"] else None  # "right up" after another side: the right one is up

    def _place(self, position: str) -> None:
        """Gives the position to the sides that wait for it, or to the ears spoken of."""
        if self.pending:
            self.result.update(dict.fromkeys(self.pending, position))
            self.pending = []
        elif self.result or _continues(self.work, self.c):
            return  # "… though it's lifting at the base": said of the side before
        elif self.plural or (not self.single and self.about):
            self.result["left"] = self.result["right"] = position
        elif self.single:
            self.result["one"] = position


def sided_alone(work: Work, c: Clause, i: int) -> bool:
    """True where 'right up' means the right one: no other word for an ear stands before it."""
    return not any(work.words.has(j, "earw", "s left") for j in range(c.lo, i))


def _continues(work: Work, c: Clause) -> bool:
    """True where "it" stands for the ear of the clause before."""
    k = c.number
    return (
        k > 0
        and not c.named
        and work.says(c, _EAR_AGAIN)
        and (work.where(c, "earw") < 0 and work.where(work.clauses[k - 1], "earp") >= 0)
    )


def _opposite(result: dict[str, str]) -> str:
    if "left" in result and "right" not in result:
        return "right"
    if "right" in result and "left" not in result:
        return "left"
    return "other"


def _left_behind(w: list[str], i: int) -> bool:
    return i + 1 < len(w) and w[i + 1] in _LEFT_SOMETHING


def _counts(w: list[str], i: int, c: Clause) -> bool:
    """A single letter or a common word is a position only where it stands like one."""
    word = w[i]
    if word in ("u", "h", "d"):
        return i + 1 >= c.hi or w[i + 1] in ("/", ",") or i == c.lo or w[i - 1] in _LETTER_LEADS
    if word == "up" and i + 1 < c.hi and w[i + 1] in _UP_TO and w[i + 1] != "for":
        return False
    return not (word in _EAR_WORDS_SHARED and i + 1 < c.hi and w[i + 1] in _NOT_EARS)


def _both_stand(work: Work, c: Clause) -> bool:
    """'BOTH UP!!' or 'one up one down' beside a dog with nothing else said."""
    words = work.words
    i = work.where(c, "earp")
    if words.w[i] not in _PLAIN_POSITIONS:
        return False
    lead = words.w[i - 1] if i > c.lo else ""
    if lead in _BOTH_BETWEEN and i - 1 > c.lo:
        lead = words.w[i - 2]
    return lead == "both" and bool(c.named or c.how)


def _slashed(work: Work, c: Clause) -> dict[str, str]:
    """'U/U', 'up/half': left and right in that order."""
    words = work.words
    for i in range(c.lo + 1, c.hi - 1):
        if words.w[i] == "/" and words.has(i - 1, "earp") and words.has(i + 1, "earp"):
            left = words.tags[i - 1]["earp"][0]
            right = words.tags[i + 1]["earp"][0]
            return {"left": left, "right": right}
    return {}


def _post(work: Work, parts: list[tuple[Clause, dict[str, str]]]) -> None:
    result: dict[str, str] = {}
    named = 0
    for _, found in parts:
        for side, position in found.items():
            if side in ("one", "other"):
                named += 1
                if named == 2 and side == "one":
                    side = "other"
            result[side] = position
    c = parts[0][0]
    left, right = result.get("left"), result.get("right")
    one, other = result.get("one"), result.get("other")
    if left or right:
        if one and other is None:
            if left and not right:
                right = one
            elif right and not left:
                left = one
        elif other:
            if left and not right:
                right = other
            elif right and not left:
                left = other
        one = other = None
    elif one and other:
        if one == other:
            left = right = one
            one = other = None
        elif _ORDER[one] > _ORDER[other]:
            one, other = other, one
    elif other and not one:
        one, other = other, None
    if not (left or right or one):
        return
    on = work.day(c)
    dogs = work.whom(c, "ears")
    if not dogs:
        work.no_dog(
            c,
            Ears(dog="", on=on, left=left, right=right, one=one, other=other),
            sure=(any(work.where(o, "earw") >= 0 for o in work.clauses) or bool(left and right)) and not c.human,
        )
        return
    for name in dogs:
        dog = work.kennel.dog(name)
        if dog is None or (dog.is_newborn(on) and c.group in ("all", "pups")):
            continue
        said = work.words.said(parts[0][0].lo, parts[-1][0].hi)
        work.put(Ears(dog=name, on=on, left=left, right=right, one=one, other=other, said=said), c)
