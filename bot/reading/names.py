"""Whether a name is meant as a name.

A name that is also an ordinary word ("biscuit", "red", "june") is only taken for the dog where the words around it
allow that.
"""

from __future__ import annotations

from bot.reading.lexicon import Tags, words_of
from bot.reading.mention import Mention
from bot.reading.roster import Roster
from bot.reading.tokens import Words

_AMOUNT_OF = words_of("amount_of")
_FUNCTION_WORDS = words_of("function_words")
_NAME_IS_THING_BEFORE = words_of("name_is_thing_before")

_AMOUNTS_OF = words_of("cues", "amounts_of")
_DESCRIBING = words_of("cues", "describing")
_DRIED_BY = words_of("cues", "dried_by")
_GOT_AND_ATE = words_of("cues", "got_and_ate")
_PARTS_OWNED = words_of("cues", "parts_owned")
_STATES = words_of("cues", "states")
_UNOWNED = words_of("cues", "unowned")
_VERBS_AND_NAMES = words_of("cues", "verbs_and_names")
_MATERIAL = words_of("name_is_thing_after")
_MEASURES = words_of("measures_of_things")
_AUX_AFTER = words_of("cues", "after_that_dog")
_ARTICLES = words_of("cues", "articles")
_AFTER_ARTICLE_OK = words_of("cues", "dog_nouns")
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
    folded = " ".join(words.w[i : i + n])
    plainly = folded[:-1] if owner and folded.endswith("s") and folded[:-1] in roster.plain else folded
    surely = plainly not in roster.doubtful
    mention = Mention(i, n, (name,), owner=owner, surely=surely)
    if not surely and not _is_mention(words, mention):
        return None
    if mention.n == 1 and not owner and folded in _FUNCTION and not _stands_as_name(words, mention):
        return None
    behind = mention.end + (words.w[mention.end : mention.end + 1] in (["from"], ["at"], ["of"]))
    if behind < len(words) and "around" in words.tags[behind]:
        return None  # "the old fella across the road", "Jet from next door"
    return mention


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
    if glued and before in _MATERIAL and not (before == "dried" and i > 1 and words.w[i - 2] in _DRIED_BY):
        if before == "of":
            return m.owner or (i > 1 and words.w[i - 2] not in _AMOUNT_OF and words.kind[i - 2] == "w")
        return number_next and before not in _AMOUNTS_OF
    if (
        glued
        and before in _GOT_AND_ATE
        and not m.owner
        and (any(words.has(k, "self", "kin", "person") for k in range(max(0, i - 3), i - 1)))
        and not any(words.has(k, "weigh") for k in range(j, min(j + 7, len(words))))
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
    if glued and before in _ARTICLES and any(words.has(k, "ask chart") for k in (j, j + 1)):
        return True  # "the moose weight chart"
    if (
        glued
        and before == "the"
        and words.has(i - 2, "give", "groom", "dose", "fed", "weigh")
        and not words.has(i, "food", "treat", "thing")
    ):
        return True  # "gave the Duchess a bit of cheese"
    if glued and before == "the" and any(words.has(k, "sign", "eaten", "fed", "swallow") for k in (j, j + 1)):
        return True  # "the Dusty made vomit", as many say a name in their own language
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
        and before not in _FUNCTION_WORDS
        and not number_next
        and (not m.owner)
        and j < len(words)
        and words.kind[j] == "w"
        and (not words.tags[j])
    ):
        return False  # "runner bean count": between two words that say nothing of a dog
    if j < len(words) and words.w[j] == "nail" and not m.owner:
        return False
    if j < len(words) and words.kind[j] == "w" and not m.owner:
        following = words.w[j]
        if following in _NAME_IS_THING_BEFORE:
            return False
        if following == "does" and j + 1 < len(words) and words.w[j + 1].startswith("suit"):
            return False
    return True
