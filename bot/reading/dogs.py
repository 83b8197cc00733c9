"""Who is meant: names, nicknames, small typing slips, and groups such as "the girls" or "Clover's litter".

A name that is also an ordinary word ("biscuit", "red", "june") is only taken for the dog where the words
around it allow that; see `_is_mention`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

from rapidfuzz.distance import DamerauLevenshtein

from bot.reading.lexicon import Tags, Trie, lexicon, words_of
from bot.reading.ordinary import is_ordinary
from bot.reading.tokens import Words
from core.roster import Dog, Kennel

_AGES = words_of("cues", "ages")
_ALL_OF = words_of("cues", "all_of")
_AMOUNTS_OF = words_of("cues", "amounts_of")
_CALLED_TO = words_of("cues", "called_to")
_DESCRIBING = words_of("cues", "describing")
_GOT_AND_ATE = words_of("cues", "got_and_ate")
_GREETING_BETWEEN = words_of("cues", "greeting_between")
_GREETING_LEADS = words_of("cues", "greeting_leads")
_GROUP_FROM = words_of("cues", "group_from")
_GROUP_WORDS = words_of("cues", "group_words")
_GROUPS_ALONE = words_of("cues", "groups_alone")
_LITTER_BETWEEN = words_of("cues", "litter_between")
_LITTER_COUNTS = words_of("cues", "litter_counts")
_NO_GREETING = words_of("cues", "no_greeting")
_NO_INITIALS = words_of("cues", "no_initials")
_PARTS_OWNED = words_of("cues", "parts_owned")
_SEXES = words_of("cues", "sexes")
_STATES = words_of("cues", "states")
_UNOWNED = words_of("cues", "unowned")
_VERBS_AND_NAMES = words_of("cues", "verbs_and_names")

SHORTEST_FOR_SLIP = 5  # a shorter name is one letter away from too many words ("Moss", "most", "miss")
VETERAN_YEARS = 8  # as the show classes have it (FCI veteran class, from 8 years)


@dataclass(slots=True)
class Mention:
    """One place in the message where dogs are meant.

    Attributes:
        i, n: its first word and how many words. names: the dogs meant. kind: `name`, `group`, `pronoun` or
            `unsure`. group: which group word ("all", "pups", …), "" otherwise. wide: true where newborns were
            left out of the group because only some acts fit them. owner: "Nugget's". sex: for a pronoun.
        surely: true where the name cannot be anything else here. plural: stands for several.
    """

    i: int
    n: int
    names: tuple[str, ...] = ()
    kind: str = "name"
    group: str = ""
    newborns: tuple[str, ...] = ()
    owner: bool = False
    sex: str = ""
    surely: bool = True
    plural: bool = False
    count: int = 0

    @property
    def end(self) -> int:
        """The first word after it."""
        return self.i + self.n


@dataclass(slots=True)
class Roster:
    """A kennel made ready for reading: its names as a trie, its people as a set of words."""

    kennel: Kennel
    trie: Trie
    people: frozenset[str]
    plain: dict[str, str] = field(default_factory=dict)  # folded single-word names -> call name, for slips
    doubtful: frozenset[str] = frozenset()  # names that are ordinary words too
    initials: dict[str, str] = field(default_factory=dict)


def roster_of(kennel: Kennel) -> Roster:
    """The kennel's names ready for reading; made once for each state of the roster."""
    return _roster(_Key(kennel))


class _Key:
    """Stands for a kennel in the cache by what the reader needs of it."""

    __slots__ = ("_hash", "kennel", "signature")

    def __init__(self, kennel: Kennel) -> None:
        self.kennel = kennel
        self.signature = (
            tuple((d.name, d.also, d.gone) for d in kennel.dogs),
            tuple((p.name, p.also) for p in kennel.people),
        )
        self._hash = hash(self.signature)

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self.signature == other.signature


@lru_cache(maxsize=64)
def _roster(key: _Key) -> Roster:
    kennel = key.kennel
    trie = Trie()
    plain: dict[str, str] = {}
    doubtful = set()
    letters: dict[str, list[str]] = {}
    lexical = lexicon().root
    taken: dict[str, str] = {}
    for dog in kennel.dogs:
        for name in (dog.name, *dog.also):
            folded = name.casefold().replace("'", "").replace("’", "").replace("-", " ").strip()
            if not folded or taken.setdefault(folded, dog.name) != dog.name:
                continue  # the first dog keeps a name that two dogs carry
            trie.add(folded, "dog", dog.name)
            parts = folded.split()
            if len(parts) == 1:
                plain[folded] = dog.name
                if is_ordinary(folded) or folded in lexical:
                    doubtful.add(folded)
                if not folded.endswith("s"):
                    trie.add(folded + "s", "dogs", dog.name)
            elif is_ordinary(parts[0]) and all(is_ordinary(p) for p in parts):
                doubtful.add(folded)
        if not dog.gone:
            letters.setdefault(dog.name[:1].casefold(), []).append(dog.name)
    people: set[str] = set()
    for person in kennel.people:
        for name in (person.name, *person.also):
            people.update(w.casefold() for w in name.split())
    initials = {k: v[0] for k, v in letters.items() if len(v) == 1 and k.isalpha()}
    return Roster(kennel, trie, frozenset(people), plain, frozenset(doubtful), initials)


def mark(words: Words, roster: Roster) -> None:
    """Adds the meanings `dog`, `dogs` (a name with an s) and `person` to the words of a message."""
    trie, root = roster.trie, roster.trie.root
    for i, word in enumerate(words.w):
        if words.kind[i] != "w":
            continue
        if word in root:
            trie.at(words.w, i, words.tags[i])
            if "dogs" in words.tags[i] and words.owner[i] and "dog" not in words.tags[i]:
                words.tags[i]["dog"] = words.tags[i]["dogs"]
        if word in roster.people:
            words.tags[i]["person"] = (word, 1)
        elif words.owner[i] and word[:-1] in roster.people:
            words.tags[i]["person"] = (word[:-1], 1)


def slips(words: Words, roster: Roster) -> None:
    """Takes a word nobody knows for the one name that it is a typing slip away from."""
    for i, word in enumerate(words.w):
        if len(word) < SHORTEST_FOR_SLIP - 1 or words.kind[i] != "w" or words.tags[i] or not word.isalpha():
            continue
        if is_ordinary(word) or word in roster.plain:
            continue
        fits = {dog for name, dog in roster.plain.items() if _is_slip(word, name)}
        if len(fits) == 1:
            words.tags[i]["dog"] = (fits.pop(), 1)
            words.tags[i]["slip"] = (True, 1)


def _is_slip(word: str, name: str) -> bool:
    if len(name) == SHORTEST_FOR_SLIP - 1:
        # a short name only with a letter doubled or two changed about, both ends right: "kooda", "kdoa"
        if word[0] != name[0] or word[-1] != name[-1] or len(word) < len(name):
            return False
        if len(word) == len(name):
            return sorted(word) == sorted(name) and DamerauLevenshtein.distance(word, name) == 1
        return any(word == name[:k] + name[k] + name[k:] for k in range(len(name)))
    if len(name) < SHORTEST_FOR_SLIP or abs(len(word) - len(name)) > 1 or word[0] != name[0]:
        return False
    return DamerauLevenshtein.distance(word, name, score_cutoff=1) <= 1


# --- mentions -------------------------------------------------------------------------------------------------

_MATERIAL = words_of("name_is_thing_after")
_MEASURES = words_of("measures_of_things")
_AUX_AFTER = words_of("cues", "after_that_dog")
_ARTICLES = words_of("cues", "articles")
_AFTER_ARTICLE_OK = words_of("cues", "dog_nouns")


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
        found = None
        if "dog" in tags or ("dogs" in tags):
            found = _name(words, roster, i, tags)
        if found is None and (
            "group" in tags or "num" in tags or words.kind[i] == "n" or "s both" in tags or words.w[i] in _ALL_OF
        ):
            found = _group(words, kennel, i, on, out)
        if found is None and "pron" in tags:
            which, n = tags["pron"]
            if which == "unsure":
                found = Mention(i, n, kind="unsure")
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
    return _litters(words, kennel, out, on)


_COUNT_WORDS = {"both": 2, "two": 2, "pair": 2, "three": 3, "four": 4, "five": 5, "six": 6}


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


def _name(words: Words, roster: Roster, i: int, tags: Tags) -> Mention | None:
    owner = False
    if "dog" in tags:
        name, n = tags["dog"]
        owner = words.owner[i + n - 1]
    else:
        name, n = tags["dogs"]
        # "whats nuggets weight": an s without its apostrophe, before something that a dog has
        said_whose = i > 0 and words.w[i - 1] in ("its", "is", "was")  # "its coppers, the little front one"
        if (
            len(words) > 2
            and not said_whose
            and not _can_be_owned(words, i + n)
            and " ".join(words.w[i : i + n])[:-1] in roster.doubtful
        ):
            return None
        owner = True
    folded = " ".join(words.w[i : i + n])
    plainly = folded[:-1] if owner and folded.endswith("s") and folded[:-1] in roster.plain else folded
    surely = plainly not in roster.doubtful
    mention = Mention(i, n, (name,), owner=owner, surely=surely)
    if not surely and not _is_mention(words, mention):
        return None
    if mention.n == 1 and not owner and folded in _FUNCTION and not _stands_as_name(words, mention):
        return None
    if "around" in (words.tags[mention.end] if mention.end < len(words) else {}):
        return None  # "the old fella across the road"
    return mention


_FUNCTION = words_of("cues", "working_names")
_BEFORE_NAMES = words_of("cues", "before_names")


def _stands_as_name(words: Words, m: Mention) -> bool:
    """A name that is a working word of the language ("Will", "Till") counts only where a subject can stand."""
    i, j = m.i, m.end
    first = (
        i == 0
        or words.kind[i - 1] != "w"
        or words.w[i - 1] in _BEFORE_NAMES
        or words.w[i - 1] in ("and", "but")
        or words.has(i - 1, "s and", "dog", "give", "gv 0", "gv 6")
    )
    if j < len(words) and words.w[i - 1 : i] and words.w[i - 1] in _BEFORE_NAMES:
        return True
    listed = ("then", "and", ",", "&", "|")
    if i and words.w[i - 1] in listed and (j >= len(words) or words.w[j] in listed or words.kind[j] in "sl"):
        return True
    if j >= len(words):
        return first or words.has(i - 1, "groom", "dose", "fed", "weigh")
    if words.w[j] in (":", "|", "=", "-", "–", "—") or words.has(i - 1, "weigh", "groom", "dose", "fed", "eaten"):
        return True
    if first and any(words.has(k, "earp", "ribs", "eaten", "sign", "tooth") for k in (j + 1, j + 2) if k < len(words)):
        return True
    follows = words.kind[j] == "n" or words.has(
        j,
        "weigh",
        "eaten",
        "fed",
        "sign",
        "tooth",
        "season",
        "earp",
        "unit",
        "swallow",
        "between",
        "dose",
        "groom",
        "mate",
        "whelp",
        "cond",
        "temp",
        "give",
    )
    return (
        follows
        and (first or not words.has(i - 1, "plan", "neg"))
        and not (words.w[i] in _VERBS_AND_NAMES and not first)
    )


_OWNED = (
    "weight",
    "weigh",
    "earw",
    "meal",
    "toothw",
    "temp",
    "groom",
    "dose",
    "cond",
    "ribs",
    "sign",
    "food",
    "season",
    "prog",
    "pupw",
    "group",
    "height",
    "ask chart",
    "ask ration",
    "ask weight",
    "ask due",
    "fed",
    "whelp",
    "body",
    "treat",
    "s left",
    "s right",
    "ask growth",
    "mate",
    "eaten",
    "go 0",
    "go 2",
    "go 3",
    "go 6",
)


def _can_be_owned(words: Words, j: int) -> bool:
    if j < len(words) and words.w[j] in _STATES:
        if words.has(j + 1, "sign", "earp", "weigh", "eaten"):
            return True
    return (
        words.has(j, *_OWNED)
        or (words.has(j, "between", "num") and words.has(j + 1, *_OWNED))
        or (j < len(words) and words.w[j] in _PARTS_OWNED)
    )


def _is_mention(words: Words, m: Mention) -> bool:
    """False where the words beside an ordinary word show that no dog is meant."""
    i, j = m.i, m.end
    for meaning, (_, n) in words.tags[i].items():
        if n > m.n and meaning in ("sign", "treat", "food", "harm", "tooth", "else", "groom", "dose", "meal"):
            return False  # "yellow foam", "biscuit crumbs": a longer phrase that starts with the word
    before = words.w[i - 1] if i else ""
    glued = i > 0 and words.kind[i - 1] == "w"
    number_next = j < len(words) and words.kind[j] in "nf"
    if glued and before in _MEASURES:
        return number_next or (before in ("kg", "lb", "kilo") and not m.owner)
    if glued and before in _MATERIAL and m.owner and before not in _UNOWNED:
        return True
    if glued and before == "last" and any("day" in words.tags[k] for k in range(max(0, i - 4), i)):
        return True
    if glued and before in _MATERIAL:
        if before == "of":
            return m.owner or (i > 1 and words.w[i - 2] not in words_of("amount_of") and words.kind[i - 2] == "w")
        return number_next and before not in _AMOUNTS_OF
    if (
        glued
        and before in _GOT_AND_ATE
        and not m.owner
        and (any(words.has(k, "self", "kin", "person") for k in range(max(0, i - 3), i - 1)))
    ):
        return False  # "we got waffles for breakfast"
    if (
        glued
        and before == "the"
        and (
            m.n > 1
            or any(
                words.has(k, "dose", "groom", "season")
                for k in range(j, min(j + 7, len(words)))
                if words.kind[k] == "w"
            )
        )
    ):
        return True  # "the old man", "when is the Duchess to have her tablet"
    if glued and before in _ARTICLES:
        if before in ("that", "this") and words.has(
            j, "eaten", "fed", "sign", "weigh", "swallow", "give", "tooth", "season"
        ):
            return True
        if j < len(words) and words.w[j] in _AUX_AFTER and before == "that":
            return True
        return j < len(words) and words.w[j] in _AFTER_ARTICLE_OK
    if i > 0 and words.kind[i - 1] == "n" and words.end[i - 1] <= words.start[i]:
        # "3 biscuits", "1 biscuit": counted things; "9.4 nugget", "4 biscuit" (for Biscuit) are not
        word = words.w[i - 1]
        if word == "1" and not m.owner and "treat" in words.tags[i]:
            return False
    if (
        glued
        and i > 1
        and words.w[i - 2] in _ARTICLES
        and not number_next
        and not m.owner
        and (words.w[i - 1] in _DESCRIBING)
    ):
        return j < len(words) and words.w[j] in _AFTER_ARTICLE_OK
    if (
        glued
        and not words.tags[i - 1]
        and before not in words_of("function_words")
        and not number_next
        and (not m.owner)
        and j < len(words)
        and words.kind[j] == "w"
        and (not words.tags[j])
    ):
        return False  # "runner bean count": between two words that say nothing of a dog
    if j < len(words) and words.w[j] in ("nail",) and not m.owner:
        return False
    if j < len(words) and words.kind[j] == "w" and not m.owner:
        following = words.w[j]
        if following in words_of("name_is_thing_before"):
            return False
        if following == "does" and j + 1 < len(words) and words.w[j + 1].startswith("suit"):
            return False
    return True


# --- groups ---------------------------------------------------------------------------------------------------


def _group(words: Words, kennel: Kennel, i: int, on: date, before: list[Mention]) -> Mention | None:
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
        if "group" in tags and tags["group"][0] not in ("except",):
            break
        if words.w[j] in _GROUP_WORDS:
            all_said = True
            j += 1
            continue
        if "s both" in tags and words.w[j] in ("both", "pair"):
            count = 2
            j += 1
            continue
        if "num" in tags and tags["num"][1] == 1 and 2 <= tags["num"][0] <= 12 and words.w[j] not in ("a",):
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
    if which not in ("newborns",):
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
    if k < 0 or words.w[k] not in words_of("greetings"):
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


def _litters(words: Words, kennel: Kennel, found: list[Mention], on: date) -> list[Mention]:
    """'Clover's litter', 'both boys from Sorrel's litter', 'all four of Sorrel's pups', then the exceptions."""
    out: list[Mention] = []
    i = 0
    while i < len(found):
        m = found[i]
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
    return _exceptions(words, out)


def _of_litter(words: Words, m: Mention) -> bool:
    return m.end < len(words) and words.w[m.end] in ("litter", "pups", "puppies") and words.kind[m.end] == "w"


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
        at = _except_after(words, m, found[i].i if i < len(found) else len(words))
        if at is not None and i < len(found):
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
                )
        out.append(group)
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
