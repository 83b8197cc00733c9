"""Whether an ordinary word that is also a dog's name is meant as the name, by the words beside it.

Each rule looks at the words around and says yes, no, or leaves it to the next; `RULES` is their order. Where none
speaks against it, the word is the dog.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bot.reading.lexicon import words_of
from bot.reading.mention import Mention
from bot.reading.tokens import Words

_AMOUNT_OF = words_of("amount_of")
_AMOUNTS_OF = words_of("cues", "amounts_of")
_AFTER_ARTICLE_OK = words_of("cues", "dog_nouns")
_ARTICLES = words_of("cues", "articles")
_AUX_AFTER = words_of("cues", "after_that_dog")
_DESCRIBING = words_of("cues", "describing")
_DRIED_BY = words_of("cues", "dried_by")
_FUNCTION_WORDS = words_of("function_words")
_GOT_AND_ATE = words_of("cues", "got_and_ate")
_MATERIAL = words_of("name_is_thing_after")
_MEASURES = words_of("measures_of_things")
_NAME_IS_THING_BEFORE = words_of("name_is_thing_before")
_UNOWNED = words_of("cues", "unowned")
_TOLD_OF_DOGS = ("eaten", "fed", "sign", "weigh", "swallow", "give", "tooth", "season")
_FAR = 7  # words after the name in which "the Duchess" may be told to have had something done (own choice)


def is_meant(words: Words, m: Mention) -> bool:
    """False where the words beside an ordinary word show that no dog is meant."""
    around = _Around.of(words, m)
    for rule in RULES:
        meant = rule(around)
        if meant is not None:
            return meant
    return True


@dataclass(frozen=True, slots=True)
class _Around:
    """A name with the words beside it: the one before (where only a space parts them), the place after it."""

    words: Words
    m: Mention
    before: str
    figure_next: bool

    @classmethod
    def of(cls, words: Words, m: Mention) -> _Around:
        glued = m.i > 0 and words.kind[m.i - 1] == "w"
        following = m.end < len(words) and words.kind[m.end] in "nf"
        return cls(words, m, words.w[m.i - 1] if glued else "", following)

    @property
    def second(self) -> str:
        """The second word before it."""
        return self.words.w[self.m.i - 2] if self.m.i > 1 else ""

    @property
    def after(self) -> str:
        """The word or mark after it."""
        return self.words.w[self.m.end] if self.m.end < len(self.words) else ""

    def next_has(self, far: int, *meanings: str) -> bool:
        """True where one of the next words has one of these meanings."""
        stop = min(self.m.end + far, len(self.words))
        return any(self.words.has(k, *meanings) for k in range(self.m.end, stop) if self.words.kind[k] == "w")


def _longer_phrase(a: _Around) -> bool | None:
    """'yellow foam', 'biscuit crumbs': a longer phrase that starts with the word."""
    for meaning, (_, n) in a.words.tags[a.m.i].items():
        if n > a.m.n and meaning in ("sign", "treat", "food", "harm", "tooth", "else", "groom", "dose", "meal"):
            return False
    return None


def _measured(a: _Around) -> bool | None:
    """'two cups biscuit': so much of a thing."""
    if a.before not in _MEASURES:
        return None
    return a.figure_next or (a.before in ("kg", "lb", "kilo") and not a.m.owner)


def _measured_kind(a: _Around) -> bool | None:
    """'250 g digestive biscuit': so much of a kind of thing."""
    kind = a.m.i > 1 and not a.words.tags[a.m.i - 1] and a.before not in ("", *_FUNCTION_WORDS)
    return False if kind and a.second in _MEASURES and not a.figure_next and not a.m.owner else None


def _as_material(a: _Around) -> bool | None:
    """'some honey', 'too much juniper', 'a bunch of heather'; "some of Honey's" is hers."""
    if a.before not in _MATERIAL or (a.before == "dried" and a.second in _DRIED_BY):
        return None
    if a.m.owner and a.before not in _UNOWNED:
        return True
    i = a.m.i
    if a.before == "last" and any("day" in a.words.tags[k] for k in range(max(0, i - 4), i)):
        return True
    if a.before == "of":
        return a.m.owner or (i > 1 and a.second not in _AMOUNT_OF and a.words.kind[i - 2] == "w")
    return a.figure_next and a.before not in _AMOUNTS_OF


def _eaten_by_people(a: _Around) -> bool | None:
    """'we got waffles for breakfast'."""
    person = any(a.words.has(k, "self", "kin", "person") for k in range(max(0, a.m.i - 3), a.m.i - 1))
    if a.before in _GOT_AND_ATE and not a.m.owner and person and not a.next_has(_FAR, "weigh"):
        return False
    return None


def _with_the(a: _Around) -> bool | None:
    """'the old man', 'when is the Duchess to have her tablet', 'gave the Duchess a bit of cheese'."""
    if a.before != "the":
        return None
    given = a.words.has(a.m.i - 2, "give", "groom", "dose", "fed", "weigh")
    thing = a.words.has(a.m.i, "food", "treat", "thing")
    if a.m.n > 1 or a.next_has(_FAR, "dose", "groom", "season") or (given and not thing):
        return True
    # "the Dusty made vomit", as many say a name in their own language
    return True if a.next_has(2, "sign", "eaten", "fed", "swallow") else None


def _with_an_article(a: _Around) -> bool | None:
    """'the moose weight chart', 'that biscuit ate my shoe'; 'a biscuit' is one to eat."""
    if a.before not in _ARTICLES:
        return None
    if a.next_has(2, "ask chart"):
        return True
    if a.before in ("that", "this") and a.words.has(a.m.end, *_TOLD_OF_DOGS):
        return True
    if a.before == "that" and a.after in _AUX_AFTER:
        return True
    return a.after in _AFTER_ARTICLE_OK


def _counted(a: _Around) -> bool | None:
    """'1 biscuit' is a counted thing; '9.4 nugget' and '4 biscuit' (for Biscuit) are not."""
    i = a.m.i
    if i > 0 and a.words.w[i - 1] == "1" and not a.m.owner and "treat" in a.words.tags[i]:
        return False
    return None


def _described(a: _Around) -> bool | None:
    """'a nice biscuit': an article and what it is like."""
    if a.second in _ARTICLES and a.before in _DESCRIBING and not a.figure_next and not a.m.owner:
        return a.after in _AFTER_ARTICLE_OK
    return None


def _among_other_words(a: _Around) -> bool | None:
    """'runner bean count': between two words that say nothing of a dog."""
    if not a.before or a.words.tags[a.m.i - 1] or a.before in _FUNCTION_WORDS or a.figure_next or a.m.owner:
        return None
    j = a.m.end
    return False if j < len(a.words) and a.words.kind[j] == "w" and not a.words.tags[j] else None


def _of_a_thing(a: _Around) -> bool | None:
    """'penny nail', 'red car', 'blue does suit you': the word after it is a thing."""
    if a.m.owner or not a.after:
        return None
    suits = a.after == "does" and a.words.w[a.m.end + 1 : a.m.end + 2] in (["suit"], ["suits"])
    thing = a.after in _NAME_IS_THING_BEFORE or (a.after[-1:] == "s" and a.after[:-1] in _NAME_IS_THING_BEFORE)
    named = a.words.kind[a.m.end] == "w" and thing
    return False if a.after == "nail" or named or suits else None


def _capital(a: _Around) -> bool | None:
    """'giving Major for his supper': a capital in the middle of a sentence that has none else."""
    words, i = a.words, a.m.i
    if not a.before or a.m.owner or a.before in _ARTICLES or words.has(i, "month", "weekday", "person"):
        return None
    said, lead = words.said(i, a.m.end), words.said(i - 1, i)
    after = words.said(a.m.end, a.m.end + 1)
    plain = lead.islower() and (not after[:1].isalpha() or after.islower())
    return True if plain and said[:1].isupper() and said[1:].islower() else None


def _the_thing(a: _Around) -> bool | None:
    """'who ate the plum jam': an article, the word, and the thing that it is a kind of."""
    if a.before != "the" or a.m.owner or a.figure_next or a.m.end >= len(a.words) or a.words.kind[a.m.end] != "w":
        return None
    tags = a.words.tags[a.m.end]
    noun = not tags or (
        a.words.has(a.m.end, "food", "treat", "else", "thing") and not a.words.has(a.m.end, *_TOLD_OF_DOGS)
    )
    return (
        False if noun and a.after not in _FUNCTION_WORDS and a.after not in (*_AUX_AFTER, *_AFTER_ARTICLE_OK) else None
    )


RULES: tuple[Callable[[_Around], bool | None], ...] = (
    _longer_phrase,
    _capital,
    _measured,
    _measured_kind,
    _as_material,
    _eaten_by_people,
    _the_thing,
    _with_the,
    _with_an_article,
    _counted,
    _described,
    _among_other_words,
    _of_a_thing,
)
