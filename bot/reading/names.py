"""The name that stands at a word of the message, an owner's s with it.

Whether a name that is an ordinary word too ("biscuit", "red", "june") is meant as the name is for `named`.
"""

from __future__ import annotations

from bot.reading.lexicon import Tags, words_of
from bot.reading.mention import Mention
from bot.reading.named import is_meant
from bot.reading.roster import Roster
from bot.reading.tokens import Words

_PARTS_OWNED = words_of("cues", "parts_owned")
_STATES = words_of("cues", "states")
_VERBS_AND_NAMES = words_of("cues", "verbs_and_names")
_MEASURES = words_of("measures_of_things")
_FUNCTION = words_of("cues", "working_names")
_BEFORE_NAMES = words_of("cues", "before_names")
_OWNED = (
    "weight",
    "weigh",
    "earw",
    "meal",
    "toothw",
    "tooth",
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


def name_at(words: Words, roster: Roster, i: int, tags: Tags) -> Mention | None:
    """The name that starts at word i, None where the words beside it mean something else."""
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
    if words.w[i - 1 : i] == ["of"] and i > 1 and words.w[i - 2] in _MEASURES and not owner:
        return None  # "two cups of rooibos"
    if _of_elsewhere(words, i, i + n):
        return None
    folded = " ".join(words.w[i : i + n])
    plainly = folded[:-1] if owner and folded.endswith("s") and folded[:-1] in roster.plain else folded
    surely = plainly not in roster.doubtful
    mention = Mention(i, n, (name,), owner=owner, surely=surely)
    if not surely and not is_meant(words, mention):
        return None
    if mention.n == 1 and not owner and folded in _FUNCTION and not _stands_as_name(words, mention):
        return None
    behind = mention.end + (words.w[mention.end : mention.end + 1] in (["from"], ["at"], ["of"]))
    if behind < len(words) and "around" in words.tags[behind]:
        return None  # "the old fella across the road", "Jet from next door"
    return mention


def _of_elsewhere(words: Words, i: int, j: int) -> bool:
    """'that beagle, also called Biscuit', 'Del from the garage', "my uncle's Bodri": another who has the name."""
    if i and words.owner[i - 1] and words.has(i - 1, "kin") and words.w[i - 2 : i - 1] == ["my"]:
        return True
    if words.w[i - 1 : i] in (["called"], ["named"]) and any(words.has(k, "otherdog") for k in range(max(0, i - 9), i)):
        return True
    place = words.w[j : j + 1] == ["from"] and words.w[j + 1 : j + 2] in (
        ["the"],
        ["next"],
        ["number"],
        ["my"],
        ["work"],
    )
    return place and not any(
        words.has(k, "group", "pupw", "day", "weekday") for k in range(j + 1, min(j + 5, len(words)))
    )


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


def _can_be_owned(words: Words, j: int) -> bool:
    if j < len(words) and words.w[j] in _STATES:
        if words.has(j + 1, "sign", "earp", "weigh", "eaten"):
            return True
    return (
        words.has(j, *_OWNED)
        or (words.has(j, "between", "num") and words.has(j + 1, *_OWNED))
        or (j < len(words) and words.w[j] in _PARTS_OWNED)
    )
