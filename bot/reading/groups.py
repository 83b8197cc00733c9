"""Groups of dogs: "the girls", "all five pups", "everyone over a year old"."""

from __future__ import annotations

from datetime import date

from bot.reading.lexicon import words_of
from bot.reading.mention import Mention
from bot.reading.tokens import Words
from core.roster import Dog, Kennel

_GREETINGS = words_of("greetings")

_AGES = words_of("cues", "ages")
_CALLED_TO = words_of("cues", "called_to")
_GREETING_BETWEEN = words_of("cues", "greeting_between")
_GREETING_LEADS = words_of("cues", "greeting_leads")
_GROUP_WORDS = words_of("cues", "group_words")
_GROUPS_ALONE = words_of("cues", "groups_alone")
_NO_GREETING = words_of("cues", "no_greeting")
_SEXES = words_of("cues", "sexes")
VETERAN_YEARS = 8  # as the show classes have it (FCI veteran class, from 8 years)


def group_at(words: Words, kennel: Kennel, i: int, on: date, before: list[Mention]) -> Mention | None:
    """A group that starts at word i: base word, count, sex, litter, exceptions."""
    end = len(words)
    j = i
    count = 0
    all_said = False
    # "all five newborns", "both boys", "all the pups", "every bitch", "the two girls", "all 4 of the pups"
    for _ in range(5):
        if j >= end:
            return None
        tags = words.tags[j]
        if "group" in tags and tags["group"][0] != "except":
            break
        if words.w[j] in _GROUP_WORDS:
            all_said = True
            j += 1
            continue
        if "s both" in tags and words.w[j] in ("both", "pair"):
            count = 2
            j += 1
            continue
        if "num" in tags and tags["num"][1] == 1 and 2 <= tags["num"][0] <= 12 and words.w[j] != "a":
            count = int(tags["num"][0])
            j += 1
            continue
        if words.kind[j] == "n" and words.w[j].isdigit() and 2 <= int(words.w[j]) <= 12:
            count = int(words.w[j])
            j += 1
            continue
        return None
    else:
        return None
    which, n = words.tags[j]["group"]
    if _greeted(words, i):
        return None
    if before and before[-1].end == i and before[-1].kind == "name" and words.w[i] == "all":
        return None  # "flint sorrel tansy all fed": all of these
    if which == "all" and n == 1 and words.w[j] in ("all", "dogs"):
        if words.w[j] == "dogs" and i == j:
            return None
        if words.w[j] == "all" and not _bare_all(words, j):
            return None
    if which in ("pups", "newborns", "adults") and n == 1 and i == j and not _bare_plural(words, j):
        return None
    if which == "litter" and i == j:
        return None  # "litter papers"; "the litter" and "Clover's litter" are groups
    if which == "litter" and not words.has(j, "pupw") and words.w[j] not in ("litter", "brood"):
        return None
    if (
        which in ("girls", "boys")
        and i == j
        and not all_said
        and j
        and words.kind[j - 1] == "w"
        and (words.w[j - 1] in _CALLED_TO)
    ):
        return None
    k = j + n
    members = _members(which if which != "litter" else "pups", kennel, on)
    if which in ("girls", "boys"):
        wide = words.w[i:j]
        if "little" in wide or "young" in wide:
            members = tuple(d for d in members if d.is_pup(on))
        elif "big" in wide or "grown" in wide or "adult" in wide:
            members = tuple(d for d in members if not d.is_pup(on))
        if k < end and words.has(k, "pupw"):  # "girl pups"
            members = tuple(d for d in members if d.is_pup(on))
            k += 1
    if which in ("pups", "newborns") and k < end and words.w[k] in _SEXES:
        sex = "f" if words.w[k] in ("girls", "bitches", "females") else "m"
        members = tuple(d for d in members if d.sex == sex)
        k += 1
    older = _age_said(words, k)
    if older is not None:
        members = tuple(d for d in members if d.is_pup(on) is not older[0])
        k = older[1]
    newborns: tuple[str, ...] = ()
    if which != "newborns":
        newborns = tuple(d.name for d in members if d.is_newborn(on))
        members = tuple(d for d in members if not d.is_newborn(on))
    found = Mention(
        i, k - i, tuple(d.name for d in members), kind="group", group=which, newborns=newborns, plural=True, count=count
    )
    return found


def _age_said(words: Words, k: int) -> tuple[bool, int] | None:
    """'over a year old', 'under twelve months': whether the older are meant, and the place after it."""
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
