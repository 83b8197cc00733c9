"""Who is meant in a message: every name, nickname, typing slip, group and pronoun, in order."""

from __future__ import annotations

from datetime import date

from bot.reading.groups import counted, group_at
from bot.reading.lexicon import words_of
from bot.reading.litters import with_litters
from bot.reading.mention import Mention
from bot.reading.names import name_at
from bot.reading.roster import Roster, mark, roster_of, slips
from bot.reading.tokens import Words

_ALL_OF = words_of("cues", "all_of")
_OUR = words_of("cues", "our_dogs")
_SEVERAL = ("girls", "boys", "pups", "newborns", "adults", "veterans")
_NO_INITIALS = words_of("cues", "no_initials")
_COUNT_WORDS = {"both": 2, "two": 2, "pair": 2, "three": 3, "four": 4, "five": 5, "six": 6}


def mentions(words: Words, roster: Roster, on: date) -> list[Mention]:
    """Every place where dogs of the roster are meant, in order."""
    kennel = roster.kennel
    out: list[Mention] = []
    i, end = 0, len(words)
    while i < end:
        tags = words.tags[i]
        if len(words.w[i]) == 1 and words.w[i] in roster.initials and _initial(words, i):
            out.append(Mention(i, 1, (roster.initials[words.w[i]],)))
            i += 1
            continue
        if not tags:
            i += 1
            continue
        found = _one_of_several(words, i)
        if found is None and ("dog" in tags or "dogs" in tags):
            found = name_at(words, roster, i, tags)
        if found is None and (
            "group" in tags
            or "num" in tags
            or words.kind[i] == "n"
            or "s both" in tags
            or words.w[i] in _ALL_OF
            or _many_of(words, i)
            or _our_breed(words, i)
        ):
            found = group_at(words, kennel, i, on, out)
        if found is None and "pron" in tags:
            which, n = tags["pron"]
            if which == "unsure":
                found = Mention(i, n, kind="unsure")
            elif which == "rest" and _other_ear(words, i, n):
                found = None
            elif which == "rest":
                found = Mention(i, n, kind="pronoun", group="rest", plural=True, count=_count_of(words.w[i : i + n]))
            elif which == "pup":
                sex = "m" if "boy" in words.w[i : i + n] else "f" if "girl" in words.w[i : i + n] else ""
                found = Mention(i, n, kind="pronoun", group="pup", sex=sex)
            elif which == "many":
                found = Mention(i, n, kind="pronoun", plural=True, count=_count_of(words.w[i : i + n]))
            else:
                found = Mention(i, n, kind="pronoun", sex="" if which == "any" else which)
        if found is None:
            i += 1
            continue
        out.append(found)
        i = found.end
    return _ones_of_those(
        words, _one_or_the_other(words, [counted(m, kennel, on) for m in with_litters(words, kennel, out, on)])
    )


def _one_or_the_other(words: Words, found: list[Mention]) -> list[Mention]:
    """'diarrhoea in the run, Boone or Delta': one of the two, nobody knows which."""
    out: list[Mention] = []
    for m in found:
        before = out[-1] if out else None
        either = before is not None and before.kind in ("name", "unsure") and m.kind == "name" and not m.owner
        if before is not None and either and words.w[before.end : m.i] == ["or"]:
            out[-1] = Mention(before.i, m.end - before.i, before.names + m.names, kind="unsure")
        else:
            out.append(m)
    return out


def _ones_of_those(words: Words, found: list[Mention]) -> list[Mention]:
    """'all the pups, the big ones and Fly's four': the big ones are the pups of that age, no grown dogs."""
    out: list[Mention] = []
    for m in found:
        before = out[-1] if out else None
        if m.group == "adults" and words.w[m.end - 1] == "ones" and before is not None and before.group == "pups":
            m = Mention(m.i, m.n, before.names, kind="group", group="pups", plural=True)
        out.append(m)
    return out


def _our_breed(words: Words, i: int) -> bool:
    """'the kelpies', 'both our Lapphund boys', 'the three newborns': a breed of the kennel or a number close behind."""
    if words.w[i] in _OUR and words.has(i + 1, "num") and words.has(i + 2, "group"):
        return True
    return words.w[i] in _OUR and any("breed" in words.tags[k] for k in range(i + 1, min(i + 4, len(words))))


def _many_of(words: Words, i: int) -> bool:
    """'the two girls': a pronoun of several ("the two") with the group's own word right behind it."""
    which, n = words.tags[i].get("pron", ("", 0))
    return which == "many" and n > 1 and words.has(i + n, "group")


def _one_of_several(words: Words, i: int) -> Mention | None:
    """'one of the terriers', 'one of the big boys': nobody knows which."""
    if words.w[i : i + 2] != ["one", "of"]:
        return None
    for k in range(i + 3, min(i + 6, len(words))):
        if words.has(k, "breed") or words.tags[k].get("group", ("",))[0] in _SEVERAL:
            while words.has(k + 1, "pupw", "group") and not words.has(k + 1, "s both"):
                k += 1  # "one of the corgi pups"
            return Mention(i, k + 1 - i, kind="unsure")
    return None


def _other_ear(words: Words, i: int, n: int) -> bool:
    """'one ear stands, the other one is down': the other ear, and no dog."""
    beside = range(max(0, i - 12), min(i + n + 2, len(words)))
    return words.w[i : i + n] in (["the", "other"], ["the", "other", "one"]) and any(
        words.has(k, "earw") for k in beside
    )


def _initial(words: Words, i: int) -> bool:
    """'N 9.4', 'N: 20 lb 11': a dog's first letter at the start of a line, right before its figure."""
    if i and words.kind[i - 1] != "l":
        return False
    j = i + 1 if i + 1 < len(words) and words.w[i + 1] in (":", "-", "=", "|") and i + 2 < len(words) else i
    return (
        j + 1 < len(words)
        and words.kind[j + 1] == "n"
        and words.start[j + 1] > words.end[j]
        and (words.w[i] not in _NO_INITIALS)
    )


def _count_of(said: list[str]) -> int:
    return next((_COUNT_WORDS[w] for w in said if w in _COUNT_WORDS), 0)


__all__ = ["Mention", "Roster", "mark", "mentions", "roster_of", "slips"]
