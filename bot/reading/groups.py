"""Groups of dogs: "the girls", "all five pups", "everyone over a year old"."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bot.reading.lexicon import words_of
from bot.reading.mention import Mention
from bot.reading.tokens import Words
from core.roster import Dog, Kennel

_GREETINGS = words_of("greetings")

_AGES = words_of("cues", "ages")
_CALLED_TO = words_of("cues", "called_to")
_GREETING_BETWEEN = words_of("cues", "greeting_between")
_GREETING_DAYS = words_of("cues", "greeting_days")
_LONGEST_WISH = 4  # words of "happy fourth of July everyone" before it (own choice)
_GREETING_LEADS = words_of("cues", "greeting_leads")
_GROUP_WORDS = words_of("cues", "group_words")
_GROUPS_ALONE = words_of("cues", "groups_alone")
_NO_GREETING = words_of("cues", "no_greeting")
_OF_A_DAM = ("pups", "newborns", "litter", "girls", "boys")
_AFTER_LITTER = words_of("cues", "after_litter")
_GROWN = words_of("cues", "grown_words")
_COUNTED = ("girls", "boys", "pups", "breed")
_SEXES = words_of("cues", "sexes")
_LONGEST = 5  # words from the first of a group to the word that names it ("all of the other pups")
_MOST_SAID = 12  # a larger number before dogs is a weight or a score (own choice)
VETERAN_YEARS = 8  # as the show classes have it (FCI veteran class, from 8 years)


def group_at(words: Words, kennel: Kennel, i: int, on: date, before: list[Mention]) -> Mention | None:
    """The group that starts at word i with its words and its dogs on that day, None where none does."""
    base = _base(words, i)
    if base is None:
        return None
    j, count = base
    which, n = words.tags[j].get("group", ("breed", 1))
    follows_name = bool(before) and before[-1].end == i and before[-1].kind in ("name", "group")
    if follows_name and words.w[i] == "all":
        return None  # "flint sorrel tansy all fed": all of these
    if _greeted(words, i) or not _is_group(words, i, j, which, n):
        return None
    members, k = _narrowed(words, i, j, which, _members(which if which != "litter" else "pups", kennel, on), on)
    newborns: tuple[str, ...] = ()
    if which != "newborns":
        newborns = tuple(d.name for d in members if d.is_newborn(on))
        members = tuple(d for d in members if not d.is_newborn(on))
    names = tuple(d.name for d in members)
    return Mention(i, k - i, names, kind="group", group=which, newborns=newborns, plural=True, count=count)


def _base(words: Words, i: int) -> tuple[int, int] | None:
    """Where the word for the group stands, and how many were said ("all five newborns", "all 4 of the pups")."""
    count = 0
    for j in range(i, min(i + _LONGEST, len(words))):
        tags, word = words.tags[j], words.w[j]
        following = j + 1 < len(words)
        counted_next = word == "all" and following and (words.kind[j + 1] == "n" or words.has(j + 1, "num"))
        counts_next = j > i and "num" in tags and _named_behind(words, j)  # "three" of "the three grown corgis"
        if "group" in tags and tags["group"][0] != "except" and not counted_next and not counts_next:
            return j, count
        if word == "one" and j > i and words.w[j - 1] in ("every", "each"):
            continue  # "every one of the girls"
        if word in _GROUP_WORDS or ("breed" in tags and j > i and words.has(j + 1, "group")):
            continue
        if "breed" in tags and j > i and word.endswith("s"):
            return j, count  # "the kelpies", "both lapphunds"
        if "s both" in tags and word in ("both", "pair"):
            count = 2
        elif "num" in tags and tags["num"][1] == 1 and 2 <= tags["num"][0] <= _MOST_SAID and word != "a":
            count = int(tags["num"][0])
        elif words.kind[j] == "n" and word.isdigit() and 2 <= int(word) <= _MOST_SAID:
            count = int(word)
        else:
            return None
    return None


def _named_behind(words: Words, j: int) -> bool:
    """True where the group's own word follows the number, words like "little" between them."""
    k = j + 1
    while k < len(words) and words.w[k] in _GROUP_WORDS and not words.has(k, "group"):
        k += 1
    return words.has(k, "group", "breed")


def _is_group(words: Words, i: int, j: int, which: str, n: int) -> bool:
    """False where the word for the group, alone, means something else ("all", "litter papers", "hey girls")."""
    word, alone = words.w[j], i == j
    if which in ("pups", "litter") and words.w[j + n : j + n + 1] and words.w[j + n] in _AFTER_LITTER:
        return False  # "doing the litter papers"
    if which in ("pups", "litter", "newborns") and words.w[i - 1 : i] == ["their"]:
        return False  # "friends say their whole litter has it"
    of_dam = which in _OF_A_DAM and words.has(j + n + 1, "dog", "dogs")  # "the three puppies of Clover"
    if (
        words.w[j + n : j + n + 1] == ["of"]
        and not of_dam
        and words.w[j + n + 1 : j + n + 2]
        not in (
            ["them"],
            ["dogs"],
            ["us"],
            ["the"],
        )
    ):
        return False  # "a whole pack of grapes"
    if which == "all" and n == 1:
        if word == "dogs":
            return not alone or (
                words.has(j + 1, "fed", "groom", "dose", "weigh") and not (j and words.kind[j - 1] == "w")
            )
        return word != "all" or _bare_all(words, j)
    if which in ("pups", "newborns", "adults") and n == 1 and alone:
        return _bare_plural(words, j)
    if which == "litter":
        return not alone and (words.has(j, "pupw") or word in ("litter", "brood"))
    if which in ("girls", "boys") and alone and j and words.kind[j - 1] == "w":
        return words.w[j - 1] not in _CALLED_TO
    return True


def _narrowed(
    words: Words, i: int, j: int, which: str, members: tuple[Dog, ...], on: date
) -> tuple[tuple[Dog, ...], int]:
    """The dogs of the group that its other words leave ("little girls", "pups under a year"), and where it ends."""
    k = j + words.tags[j].get("group", ("", 1))[1]
    if words.has(k, "breed") and which not in ("all", "litter"):
        k += 1  # "the grown corgis"
    for of in range(i, max(j + 1, k)):
        if "breed" in words.tags[of]:
            breed = words.tags[of]["breed"][0]
            members = tuple(d for d in members if d.name in breed)
    if which == "breed" and words.says(i, j, _GROWN):
        members = tuple(d for d in members if not d.is_pup(on))
    if which in ("girls", "boys"):
        lead = words.w[i:j]
        if "little" in lead or "young" in lead:
            members = tuple(d for d in members if d.is_pup(on))
        elif "big" in lead or "grown" in lead or "adult" in lead:
            members = tuple(d for d in members if not d.is_pup(on))
        if words.has(k, "pupw"):  # "girl pups"
            members = tuple(d for d in members if d.is_pup(on))
            k += 1
    if which in ("pups", "newborns") and k < len(words) and words.w[k] in _SEXES:
        sex = "f" if words.w[k] in ("girls", "bitches", "females") else "m"
        members = tuple(d for d in members if d.sex == sex)
        k += 1
    older = _age_said(words, k)
    if older is not None:
        members = tuple(d for d in members if d.is_pup(on) is not older[0])
        k = older[1]
    return members, k


def counted(m: Mention, kennel: Kennel, on: date) -> Mention:
    """A group said with its number, as the part of it that has so many ("the two girls": the pups, not the bitches).

    Where two parts have that number, or none of the girls or boys has, nobody can tell whose: `unsure`. "All five
    pups" of six stay all of them: people miscount.
    """
    members = [d for n in (*m.names, *m.newborns) if (d := kennel.dog(n)) is not None]
    if m.kind != "group" or m.group not in _COUNTED or not m.count or m.but or len(members) <= m.count:
        return m
    newborns = frozenset(d.name for d in members if d.is_newborn(on))
    pups = frozenset(d.name for d in members if d.is_pup(on)) - newborns
    grown = frozenset(d.name for d in members) - pups - newborns
    parts = {p for p in (pups, grown, newborns, pups | newborns, pups | grown) if len(p) == m.count}
    if m.group == "pups" and pups in parts:
        parts = {pups}  # newborns have words of their own
    if len(parts) == 1:
        part = parts.pop()
        return replace(
            m,
            names=tuple(n for n in m.names if n in part),
            newborns=tuple(n for n in m.newborns if n in part),
            group="newborns" if part == newborns else m.group,
        )
    return Mention(m.i, m.n, kind="unsure") if parts or m.group in ("girls", "boys") else m


def _age_said(words: Words, k: int) -> tuple[bool, int] | None:
    """'over a year old', 'under twelve months': whether the older are meant, and the place after it."""
    while k + 2 < len(words) and words.w[k] in ("who", "whos", "that", "thats", "is", "are", "aged"):
        k += 1  # "everyone who's over a year old"
    if k + 2 >= len(words) or words.w[k] not in _AGES:
        return None
    year = words.w[k + 1] in ("a", "one", "1") and words.w[k + 2] in ("year", "yr")
    months = words.w[k + 1] in ("12", "twelve") and words.w[k + 2] in ("months", "month")
    if not (year or months):
        return None
    end = k + 3
    while end < len(words) and words.w[end] in ("old", "of", "age"):
        end += 1
    return words.w[k] in ("over", "above"), end


def _greeted(words: Words, i: int) -> bool:
    """'Good morning everyone', 'night all', 'thanks girls': people are meant."""
    k = i - 1
    if (
        words.says(max(0, i - _LONGEST_WISH), i, _GREETING_DAYS)
        and "p" not in words.kind[max(0, i - _LONGEST_WISH) : i]
    ):
        return True  # "happy new year everybody"
    while k >= 0 and words.w[k] in _GREETING_BETWEEN:
        k -= 1
    if k < 0 or words.w[k] not in _GREETINGS:
        return False
    # "this morning everyone fed" tells; "morning everyone" greets
    if k > 0 and words.w[k - 1] in _NO_GREETING:
        return False
    return k == 0 or words.kind[k - 1] != "w" or words.w[k - 1] in _GREETING_LEADS


def _bare_all(words: Words, j: int) -> bool:
    """'all weighed', 'all fed', 'all done': true where a thing done to dogs follows."""
    k = j + 1
    return (
        words.has(k, "fed", "weigh")
        or (k < len(words) and words.tags[k].get("groom", ("", ""))[0] != "" and words.tags[k]["groom"][0][1] == "did")
        or (k < len(words) and words.tags[k].get("dose", ("", ""))[0] != "" and words.tags[k]["dose"][0][1] == "did")
    )


def _bare_plural(words: Words, j: int) -> bool:
    """'wormed pups', 'pups fed', 'pups all brushed': true beside a thing done; 'pups born' is no group."""
    for k in (j - 1, j + 1, j + 2):
        if 0 <= k < len(words) and words.has(k, "groom", "dose", "fed", "weigh", "meal", "give", "earw", "eaten"):
            return True
    if (
        j + 1 < len(words)
        and words.kind[j + 1] == "n"
        and any(words.has(k, "s each") for k in range(j + 2, min(j + 6, len(words))))
    ):
        return True  # "Lunch - pups 120g each"
    for k, beyond in ((j + 1, j + 2), (j - 1, j - 2)):
        # "pups and Heather had their lunch"
        if 0 <= beyond < len(words) and k >= 0 and words.w[k] in ("and", ",", "+") and words.has(beyond, "dog"):
            return True
    return words.w[j] in _GROUPS_ALONE


def _members(which: str, kennel: Kennel, on: date) -> tuple[Dog, ...]:
    dogs = kennel.at_home()
    if which == "pups":
        return tuple(d for d in dogs if d.is_pup(on))
    if which == "newborns":
        return tuple(d for d in dogs if d.is_newborn(on))
    if which == "adults":
        return tuple(d for d in dogs if not d.is_pup(on))
    if which == "veterans":
        return tuple(d for d in dogs if d.age_days(on) >= VETERAN_YEARS * 365.25)
    if which == "girls":
        return tuple(d for d in dogs if d.sex == "f")
    if which == "boys":
        return tuple(d for d in dogs if d.sex == "m")
    return dogs
