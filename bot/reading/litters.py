"""Litters and exceptions: "Clover's litter", "both boys from Sorrel's litter", "everyone but Moss"."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bot.reading.lexicon import words_of
from bot.reading.mention import Mention
from bot.reading.tokens import Words
from core.roster import Kennel

_AFTER_EXCEPTED = words_of("cues", "after_excepted")
_SURE_EXCEPTIONS = words_of("cues", "sure_exceptions")
_OF_A_DAM = ("pups", "newborns", "litter", "girls", "boys")
_GROUP_FROM = words_of("cues", "group_from")
_LITTER_BETWEEN = words_of("cues", "litter_between")
_LITTER_COUNTS = words_of("cues", "litter_counts")


def with_litters(words: Words, kennel: Kennel, found: list[Mention], on: date) -> list[Mention]:
    """'Clover's litter', 'both boys from Sorrel's litter', 'all four of Sorrel's pups', then the exceptions."""
    out: list[Mention] = []
    i = 0
    while i < len(found):
        m = found[i]
        if out and (of_dam := _of_dam(words, kennel, out[-1], m, on)) is not None:
            out[-1] = of_dam
            i += 1
            continue
        if m.kind == "name" and len(m.names) == 1 and (m.owner or _of_litter(words, m)):
            litter = _litter_of(words, m, kennel, on)
            if litter is not None:
                # a group before it that this one narrows: "both boys from …", "all four of …"
                if out and out[-1].kind == "group" and _joined(words, out[-1], m):
                    first = out.pop()
                    kept = set(first.names) | set(first.newborns)
                    if first.group in ("girls", "boys", "pups", "all", "newborns", "litter"):
                        inside = (
                            litter.names
                            if first.group in ("litter", "all")
                            else tuple(n for n in litter.names if n in kept)
                        )
                        litter = Mention(
                            first.i,
                            litter.end - first.i,
                            inside,
                            kind="group",
                            group="litter",
                            plural=True,
                            count=first.count,
                        )
                elif litter.i > 0 and litter.i >= 1:
                    litter = _with_count(words, litter)
                out.append(litter)
                while i + 1 < len(found) and found[i + 1].i < litter.end:
                    i += 1
                i += 1
                continue
        out.append(m)
        i += 1
    return _all_but(words, kennel, _exceptions(words, out), on)


def _of_dam(words: Words, kennel: Kennel, group: Mention, m: Mention, on: date) -> Mention | None:
    """'the three puppies of Clover', 'the babies of Sorrel': that dam's pups; None where it says something else."""
    if group.kind != "group" or group.group not in _OF_A_DAM or m.kind != "name" or m.owner or len(m.names) != 1:
        return None
    if words.w[group.end : m.i] != ["of"] or _of_litter(words, m):
        return None
    pups = [d for d in kennel.at_home() if d.litter == m.names[0] and d.is_pup(on)]
    if group.group in ("girls", "boys"):
        pups = [d for d in pups if d.sex == ("f" if group.group == "girls" else "m")]
    names = tuple(d.name for d in pups)
    return replace(group, n=m.end - group.i, names=names, newborns=(), group="litter") if pups else None


def _all_but(words: Words, kennel: Kennel, found: list[Mention], on: date) -> list[Mention]:
    """'fed all except Moss', 'nails done except Moss and Fern': everyone but those, where no group was named."""
    out: list[Mention] = []
    i = 0
    while i < len(found):
        m = found[i]
        at = _excepted_at(words, m, found[:i])
        if at is None:
            out.append(m)
            i += 1
            continue
        gone: set[str] = set()
        end = at
        while (
            i < len(found)
            and found[i].kind in ("name", "group")
            and (not gone or _still_except(words, end, found[i].i))
        ):
            gone |= {*found[i].names, *found[i].newborns}
            end = found[i].end
            i += 1
        rest = [d for d in kennel.at_home() if d.name not in gone]
        out.append(
            Mention(
                at,
                end - at,
                tuple(d.name for d in rest if not d.is_newborn(on)),
                kind="group",
                group="all",
                newborns=tuple(d.name for d in rest if d.is_newborn(on)),
                plural=True,
                but=tuple(sorted(gone)),
            )
        )
    return out


def _excepted_at(words: Words, m: Mention, before: list[Mention]) -> int | None:
    """Where "all except", or "except" alone, starts before the name; None where the name is no exception."""
    if m.kind != "name" or m.owner or m.i == 0:
        return None
    lead = next((k for k in (1, 2, 3) if words.tags[m.i - k : m.i - k + 1] and _excepts(words, m.i - k, m.i)), 0)
    if not lead:
        return None
    at = m.i - lead
    every = at > 0 and words.w[at - 1] == "all"
    if not every and words.w[at] not in _SURE_EXCEPTIONS:
        return None
    if any(b.kind in ("name", "group") and not any(k in "sl" for k in words.kind[b.end : at]) for b in before):
        return None  # "Moss and Fern are fine except Bran": said of those
    told = m.end < len(words) and words.kind[m.end] == "w" and words.w[m.end] not in _AFTER_EXCEPTED
    return None if told else at - every


def _excepts(words: Words, i: int, end: int) -> bool:
    which, n = words.tags[i].get("group", ("", 0))
    return which == "except" and i + n == end


def _of_litter(words: Words, m: Mention) -> bool:
    j = m.end + (words.has(m.end, "num") or (m.end < len(words) and words.kind[m.end] == "n"))
    return j < len(words) and words.w[j] in ("litter", "pups", "puppies") and words.kind[j] == "w"


def _litter_of(words: Words, m: Mention, kennel: Kennel, on: date) -> Mention | None:
    j = m.end
    while j < len(words) and words.w[j] in _LITTER_BETWEEN:
        if "group" in words.tags[j] and words.tags[j]["group"][0] == "litter" and not words.has(j + 1, "group", "pupw"):
            break
        j += 1
    tags = words.tags[j] if j < len(words) else {}
    which = tags.get("group", ("", 0))[0]
    if which not in ("litter", "pups", "newborns", "girls", "boys") and "pupw" not in tags:
        return None
    n = tags["group"][1] if which else 1
    name = m.names[0]
    pups = [d for d in kennel.living() if d.litter == name and d.is_pup(on)]
    if not pups:
        pups = [d for d in kennel.living() if d.litter == name]
    if not pups:
        return None
    home = [d for d in pups if not d.home] or pups
    if which in ("girls", "boys"):
        home = [d for d in home if d.sex == ("f" if which == "girls" else "m")]
    return Mention(m.i, j + n - m.i, tuple(d.name for d in home), kind="group", group="litter", plural=True)


def _joined(words: Words, first: Mention, second: Mention) -> bool:
    between = words.w[first.end : second.i]
    return len(between) <= 2 and all(w in _GROUP_FROM for w in between)


def _with_count(words: Words, m: Mention) -> Mention:
    i = m.i
    while i > 0 and words.kind[i - 1] == "w" and words.w[i - 1] in _LITTER_COUNTS:
        if words.w[i - 1] == "one":
            return Mention(i - 1, m.end - i + 1, kind="unsure")
        i -= 1
    return Mention(i, m.end - i, m.names, kind="group", group="litter", plural=True)


def _exceptions(words: Words, found: list[Mention]) -> list[Mention]:
    """'everyone but Moss', 'bar Pepper and Clover's five': takes those out of the group before."""
    out: list[Mention] = []
    i = 0
    while i < len(found):
        m = found[i]
        if m.kind != "group":
            out.append(m)
            i += 1
            continue
        group = m
        i += 1
        if i < len(found) and found[i].kind == "group" and found[i].group == m.group and found[i].i - m.end <= 2:
            m = group = found[i]  # "the girls: every bitch but …": the second says it again, more closely
            i += 1
        behind = i  # "all the dogs have had their dinner except Moss"
        while behind < len(found) and found[behind].kind == "pronoun":
            behind += 1
        at = _except_after(words, m, found[behind].i if behind < len(found) else len(words))
        between: list[Mention] = []
        if at is not None and behind < len(found):
            between, i = found[i:behind], behind
            gone: set[str] = set()
            limit = at
            while i < len(found) and found[i].kind in ("name", "group") and _still_except(words, limit, found[i].i):
                gone |= set(found[i].names) | set(found[i].newborns)
                limit = found[i].end
                i += 1
            if gone:
                group = Mention(
                    m.i,
                    m.n,
                    tuple(n for n in m.names if n not in gone),
                    kind="group",
                    group=m.group,
                    newborns=tuple(n for n in m.newborns if n not in gone),
                    plural=True,
                    count=m.count,
                    but=tuple(sorted(gone)),
                )
        out += [group, *between]
    return out


def _except_after(words: Words, m: Mention, limit: int) -> int | None:
    for j in range(m.end, min(limit, m.end + 14)):
        if words.tags[j].get("group", ("", 0))[0] == "except":
            if words.w[j] in ("without", "but") and j != m.end:
                # "everyone fed but Moss" excepts; "everyone fed but Moss was sick" is told by what follows
                if words.w[j] == "but" and limit < len(words):
                    after = limit + 1
                    if after < len(words) and words.kind[after] == "w" and not words.has(after, "s and"):
                        return None
            return j + words.tags[j]["group"][1]
        if words.kind[j] in "sl":
            return None
    return None


def _still_except(words: Words, lo: int, hi: int) -> bool:
    """True where only list words (and an aside such as "who is at Ravi's") stand between two exceptions."""
    between = words.w[lo:hi]
    if any(words.kind[k] in "sl" for k in range(lo, hi)):
        return False
    if len(between) <= 3 or (between[:1] == [","] and between[1:2] == ["who"]):
        return True
    return (
        len(between) <= 6
        and between[0] in ("and", "n", "&", ",")
        and not any(words.has(k, "fed", "groom", "weigh", "eaten", "sign") for k in range(lo, hi))
    )
