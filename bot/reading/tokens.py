"""A message's text tidied and cut into words, each with its place in the text and its meanings."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container
from dataclasses import dataclass, field
from functools import cache

from bot.reading import spelling
from bot.reading.lexicon import Tags, book, lexicon, words_of

_NOT_COUNTED = words_of("not_counted")
_ONE_OF_THEM = words_of("cues", "one_of_them")
_TOO_BEFORE = words_of("too_before")

MAX_CHARS = 4096  # the chat's own limit for one message; what is longer was not typed by a person
MAX_WORDS = 700  # a 4,096-character message of ordinary English has about 700 words

FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}

# Letters with digits inside that are words: "any1", "b4", "2nite". Anything else is cut between digit and letter.
_TEXTED = r"(?:any1|some1|every1|no1|b4|l8r|m8|gr8|2nite|2day|2moro|2morrow|4got|y/o|p4|c[35])(?![^\W_])"
_TOKEN = re.compile(
    r"(?P<code>\d[\d.,]*(?:_|e[+-]?)\d\w*|\d+\.\.\d[\d.,]*)"  # "1e400", "1_000", "9..4": no person's figures
    rf"|(?P<texted>{_TEXTED})"
    r"|(?P<number>\d{1,9}(?:[.,:]\d{1,6}){0,2}(?!\d)|(?<![\w.])\.\d{1,4}(?!\d))"
    rf"|(?P<fraction>[{''.join(FRACTIONS)}])"
    r"|(?P<word>[^\W\d_½¼¾⅓⅔⅛⅜⅝⅞]+(?:['’`´][^\W\d_]+)*['’]?)"
    r"|(?P<line>\n+)"
    r"|(?P<stop>[.!?…;]+)"
    r"|(?P<mark>[,:()\[\]|/+&=°%£$€\"*~#@<>^–—-])"
    r"|(?P<digits>\d+)"
    r"|(?P<other>\S)",
    re.IGNORECASE,
)
_UNSEEN = re.compile("[\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff\u00ad\ufe0f]")


@dataclass(slots=True)
class Words:
    """A message as parallel lists: one place a word, number or mark.

    Attributes:
        text: the tidied text. w: the folded word, without apostrophes. kind: w (word), n (number), f (fraction),
            p (mark), s (full stop and the like), l (line break), e (emoji or other).
        start, end: places in `text`. owner: true where the word ended in 's or s' ("Nugget's").
        tags: the meanings that start at this word.
    """

    text: str
    w: list[str] = field(default_factory=list)
    kind: list[str] = field(default_factory=list)
    start: list[int] = field(default_factory=list)
    end: list[int] = field(default_factory=list)
    owner: list[bool] = field(default_factory=list)
    tags: list[Tags] = field(default_factory=list)

    def __len__(self) -> int:
        return len(self.w)

    def said(self, lo: int, hi: int) -> str:
        """The sender's own words from place lo up to hi (not included)."""
        if lo >= hi or lo >= len(self.w):
            return ""
        return self.text[self.start[lo] : self.end[min(hi, len(self.w)) - 1]]

    def says(self, lo: int, hi: int, heard: frozenset[str] | set[str]) -> bool:
        """True where one of these words stands from place lo up to hi (not included)."""
        return not heard.isdisjoint(self.w[lo:hi])

    def says_after(self, lo: int, hi: int, meaning: str) -> bool:
        """True where a word from place lo up to hi (not included) has the meaning."""
        return any(meaning in self.tags[i] for i in range(lo, min(hi, len(self.tags))))

    def has(self, i: int, *meanings: str) -> bool:
        """True where the word at i has one of these meanings."""
        return 0 <= i < len(self.tags) and any(m in self.tags[i] for m in meanings)


def _line_numbers(words: Words) -> None:
    """'1. Button 38', '2) Teal …': the numbers of the lines of a list are no figures."""
    for i in range(len(words.w) - 2):
        if (
            words.kind[i] == "n"
            and (i == 0 or words.kind[i - 1] == "l")
            and len(words.w[i]) <= 2
            and words.w[i].isdigit()
        ):
            if (
                words.w[i + 1] in (".", ")")
                and words.end[i] == words.start[i + 1]
                and words.kind[i + 2] == "w"
                and (words.end[i + 1] < words.start[i + 2])
            ):
                words.kind[i] = words.kind[i + 1] = "e"


def _spoken_marks(words: Words) -> None:
    """'full stop', 'comma', 'question mark': what dictation wrote out instead of the mark."""
    marks = spoken_marks()
    for i, word in enumerate(words.w):
        if word not in marks or (i and words.w[i - 1] in _ONE_OF_THEM):
            continue  # "there's a question mark over his ears"
        if word == "comma" and i and _is_number(words, i - 1) and _is_number(words, i + 1):
            words.w[i] = "point"  # "nineteen comma six kilos"
            continue
        for rest, mark in marks[word]:
            n = len(rest)
            if words.w[i + 1 : i + 1 + n] == list(rest):
                kind = "l" if mark == "\n" else "p" if mark == "," else "s"
                words.w[i : i + 1 + n] = [mark] * (1 + n)
                words.kind[i : i + 1 + n] = [kind] * (1 + n)
                break


def _is_number(words: Words, i: int) -> bool:
    return i < len(words.w) and (words.kind[i] == "n" or words.w[i] in number_words())


@cache
def number_words() -> frozenset[str]:
    """Every single word for a number."""
    return frozenset(str(w) for names in book()["numbers"].values() for w in names if " " not in str(w))


@cache
def spoken_marks() -> dict[str, list[tuple[tuple[str, ...], str]]]:
    """The marks that dictation may write out, by the first word of their name."""
    found: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    for mark, names in book()["spoken_marks"].items():
        for name in names:
            first, *rest = name.split()
            found.setdefault(first, []).append((tuple(rest), "\n" if mark == "line" else mark))
    return found


def _thumbs(words: Words) -> None:
    """Writes out what thumbs shorten: "any1", "4 his tea", "too" and "to" written 2, "1 of the pups"."""
    w, kind = words.w, words.kind
    short, too, uncounted = thumbs(), _TOO_BEFORE, _NOT_COUNTED
    root = lexicon().root
    for i in range(len(w)):
        word = w[i]
        if word in short:
            if i and kind[i - 1] == "n" and words.start[i] == words.end[i - 1]:
                continue  # "22nd": the nd of a figure is no "and"
            if len(word) > 1 or (kind[i] == "w" and 0 < i < len(w) - 1) or word == "&":
                w[i], kind[i] = short[word], "w"
        elif word in ("2", "4") and 0 < i < len(w) - 1 and kind[i - 1] == "w" and kind[i + 1] == "w":
            after = w[i + 1]
            if word == "2" and after in too:
                w[i], kind[i] = "too", "w"
            elif i + 2 < len(w) and "pupw" in root.get(w[i + 2], {}).get("", {}):
                pass  # "4 live pups": pups are counted
            elif after in uncounted or (after not in root and not after.endswith("s") and len(after) > 2):
                w[i], kind[i] = ("to" if word == "2" else "for"), "w"
        elif word == "t" and i + 1 < len(w) and kind[i + 1] == "n" and _body_heat(w[i + 1]):
            w[i] = "temp"  # "Sarge: T 101.9"
        elif word == "1" and i + 1 < len(w) and w[i + 1] == "of":
            w[i], kind[i] = "one", "w"


def _body_heat(said: str) -> bool:
    """True for a figure with its decimal that a thermometer can show, a slip of it too ("131.1" for 103.1)."""
    head, point, tail = said.replace(",", ".").partition(".")
    return bool(point) and head.isdigit() and len(tail) == 1 and (33 <= int(head) <= 43 or 90 <= int(head) <= 199)


@cache
def contractions() -> dict[str, str]:
    """Contractions that would read as another word without their apostrophe ("she'd" is no "shed")."""
    return dict(book()["contractions"])


@cache
def thumbs() -> dict[str, str]:
    """What thumbs write for one other word."""
    return {k: v for k, v in book()["thumbs"].items() if " " not in v}


def tidy(text: str) -> str:
    """The text in composed form, without what cannot be seen, cut to the longest message a person can send."""
    text = unicodedata.normalize("NFC", text[:MAX_CHARS]).replace("\u2212", "-")  # the minus that is no hyphen
    return _UNSEEN.sub("", text)[:MAX_CHARS]


_KINDS = {
    "code": "e",
    "texted": "w",
    "word": "w",
    "number": "n",
    "digits": "n",
    "fraction": "f",
    "line": "l",
    "stop": "s",
    "mark": "p",
    "other": "e",
}


def _without_apostrophes(word: str) -> tuple[str, bool]:
    """The word without its apostrophes, and whether it ended in 's or s'."""
    for mark in "’`´":
        word = word.replace(mark, "'")
    word = contractions().get(word, word)
    owner = word.endswith("'s") or (word.endswith("s'") and len(word) > 2)
    return word.replace("'", ""), owner


_DRAWN_OUT = re.compile(r"([^\W\d_])\1{2,}")


def _shortened(word: str) -> str:
    """'pleeeease' as "please", "goooood" as "good": a letter drawn out is one or two."""
    if not _DRAWN_OUT.search(word):
        return word
    once, twice = _DRAWN_OUT.sub(r"\1", word), _DRAWN_OUT.sub(r"\1\1", word)
    return twice if twice in lexicon().root and once not in lexicon().root else once


def _joins_letters(text: str, i: int) -> bool:
    """True for a hyphen between two letters."""
    return 0 < i < len(text) - 1 and text[i - 1].isalpha() and text[i + 1].isalpha()


def cut(text: str, known: Container[str] = ()) -> Words:
    """The words of a message with their meanings. Never raises, whatever the text.

    Args:
        known: names, in which no typing slip is looked for.
    """
    words = Words(tidy(text))
    for m in _TOKEN.finditer(words.text):
        group = m.lastgroup or "other"
        kind = _KINDS[group]
        word = m.group()
        owner = False
        if kind == "w":
            word = _shortened(word.casefold())
            if not word.isalpha():
                word, owner = _without_apostrophes(word)
        elif word == "-" and _joins_letters(words.text, m.start()):
            continue  # "twenty-first", "half-up", "Penny-Lou": two words
        if len(words.w) >= MAX_WORDS:
            break
        words.w.append(word)
        words.kind.append(kind)
        words.start.append(m.start())
        words.end.append(m.end())
        words.owner.append(owner)
    _line_numbers(words)
    _spoken_marks(words)
    _thumbs(words)
    spelling.mend(words.w, words.kind, lambda i: words.text[words.start[i] : words.end[i]], known)
    trie = lexicon()
    root = trie.root
    for i, word in enumerate(words.w):
        tags: Tags = {}
        if word in root:
            trie.at(words.w, i, tags, words.owner)
        elif words.owner[i] and word[:-1] in root and word.endswith("s"):
            # "the vet's": the owner's word itself; the s was cut with the apostrophe
            if trie.root.get(word[:-1], {}).get(""):
                tags.update({k: (v, 1) for k, v in trie.root[word[:-1]][""].items()})
        words.tags.append(tags)
    return words
