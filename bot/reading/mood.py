"""How a clause is meant: told, asked, planned, wished, denied, joked; of a dog here, a dog elsewhere or a person."""

from __future__ import annotations

import itertools

from bot.reading.clause import SAYING, Clause, is_last
from bot.reading.lexicon import words_of
from bot.reading.mention import Mention
from bot.reading.tokens import Words

_ANYONE_DID = words_of("cues", "anyone_did")
_ASKING_LEADS = words_of("cues", "asking_leads")
_ASKED_FOR = frozenset({"how", "whether", "what", "when", "which"})
_LONGEST_LEAD = 6  # words of "permit me to enquire" (own choice)
_WEE = words_of("cues", "wee_words")
_ADDRESSED = words_of("cues", "addressed")
_ASKING_OF_DOGS = words_of("cues", "asking_of_dogs")
_BEFORE_QUESTION = words_of("cues", "before_question")
_BEGGING_VERBS = words_of("cues", "begging_verbs")
_DID_DOG_TOLD = words_of("cues", "did_dog_told")
_RELATIVE_WORDS = words_of("cues", "relative_words")
_STRANGERS_DOG = words_of("cues", "strangers_dog")
_TELLING_AFTER_DID = words_of("cues", "telling_after_did")
_WHO = words_of("cues", "asked_whom")
_AUX = words_of("cues", "asking_verbs")
_HABITUAL = words_of("cues", "habitual")
_HOW_MUCH = words_of("cues", "how_much")
_THIS_CENTURY = 2015  # no dog of a kennel's book is as old as that (own choice)
_WRITINGS = words_of("cues", "writings")
_NONE_OF_IT = words_of("cues", "none_of_it")
_OVER_VALUE = (":", "-", "=", "–")
_YOU_WROTE = words_of("cues", "you_wrote")
_CROSSES = words_of("cues", "crosses")
_OPEN = words_of("cues", "question_openers")


def look(words: Words, c: Clause) -> None:
    """Mood, people and what is said, from the words of one clause."""
    names: list[str] = []
    newborns: list[str] = []
    for m in c.mentions:
        if m.kind in ("name", "group") and names and _not_those(words, m):
            continue  # "fed the pups not the big dogs"
        if m.kind in ("name", "group"):
            names += [n for n in m.names if n not in names]
            newborns += m.newborns
            if m.kind == "group":
                c.group = m.group
        elif m.kind == "pronoun":
            c.pronoun = c.pronoun or m
        elif m.kind == "unsure":
            c.unsure = True
    c.dogs = c.named = tuple(names)
    c.newborns = tuple(newborns)
    if names or newborns:
        c.how = "own"
    phrase = 0  # words inside an eaten or sign phrase carry no mood of their own ("not interested")
    in_mention = {i for m in c.mentions for i in range(m.i, m.end)}
    for i in range(c.lo, c.hi):
        tags = words.tags[i]
        if not tags or i in in_mention:
            continue
        if SAYING.intersection(tags):
            if not c.saying:
                c.first_saying = i
            c.saying = True
            for meaning in ("eaten", "sign", "ribs", "tooth", "earp", "weigh", "groom", "dose", "season", "whelp"):
                if meaning in tags and tags[meaning][1] > 1:
                    phrase = max(phrase, i + tags[meaning][1])
        if "late" in tags:
            phrase = max(phrase, i + tags["late"][1])
            continue
        if i < phrase and "plan" not in tags:
            continue
        if i < phrase and any("late" in words.tags[j] and j + words.tags[j]["late"][1] > i for j in range(c.lo, i)):
            continue
        if "neg" in tags and c.neg_at < 0:
            c.neg_at = i
        if "plan" in tags and c.plan_at < 0 and not _later_on(words, i):
            c.plan_at = i
        if "day" in tags and tags["day"][0] > 0 and c.plan_at < 0:
            c.plan_at = i
        if ("wish" in tags and words.w[i] != "if") or (words.w[i] == "if" and i <= c.lo + 2):
            c.wish = True if c.first_saying < 0 else c.wish
        if "near" in tags and words.w[i - 1 : i] != ["vet"] and not (c.saying and words.w[i] in ("nearly", "almost")):
            if words.w[i] not in ("nearly", "almost") or not _near_number(words, i):
                c.near = True
        if "quote" in tags and not (c.saying and not c.amounts):
            c.quote = True  # "won't stop scratching, dad says it's the midges" was seen, not read
        if "joke" in tags:
            c.joke = True
        if i in in_mention:
            continue
        if "otherdog" in tags and words.w[i] not in ("her", "his", "their"):
            c.other = True
        if "self" in tags or "kin" in tags or "person" in tags:
            c.human = True
            if words.owner[i] and "self" not in tags and i + 1 < c.hi and words.w[i + 1] in _STRANGERS_DOG:
                c.other = True
        if "else" in tags:
            c.elsewhere = True
    habit = words.w[c.lo] in ("when", "whenever") and any(
        m.end < c.hi and words.w[m.end] in _HABITUAL for m in c.mentions if m.i == c.lo + 1
    )
    if words.w[c.hi - 1] in _CROSSES or (words.w[c.hi : c.hi + 1] and words.w[c.hi] in _CROSSES):
        c.near = True  # "Major ✘"
    if c.hi - c.lo > 1 and words.w[c.hi - 1] in _NONE_OF_IT and words.has(c.hi - 2, "sign"):
        c.near = True  # "cough none, limp no"
    if c.hi - c.lo > 2 and words.w[c.lo] in ("you", "u", "youve") and words.says(c.lo + 1, c.lo + 3, _YOU_WROTE):
        c.quote = True  # "you have put 8.1"
    if habit:
        c.near = True  # "when Nugget has his bath he shivers"
    if "sign" in c.meanings and any(words.w[m.i - 1] == "thought" for m in c.mentions if m.i > c.lo):
        c.near = True  # "thought Jet was having a fit"
    for w in c.whens:
        if w.ahead and c.plan_at < 0:
            c.plan_at = w.i
    if not c.saying:
        _pair_said(words, c)
    c.also = says_so(words, c)
    c.saying = c.saying or c.also
    if c.amounts:
        c.saying = True
        if c.first_saying < 0 or c.amounts[0].i < c.first_saying:
            c.first_saying = c.amounts[0].i


def says_so(words: Words, c: Clause) -> bool:
    """'… and so has Saffy': what was said before, of another dog too."""
    if not c.named or "so" not in words.w[c.lo : c.lo + 2]:
        return False
    said = [i for i in range(c.lo, c.hi) if words.kind[i] == "w" and not c.mentioned_at(i)]
    return (
        bool(c.named)
        and len(said) == 2
        and words.w[said[0]] == "so"
        and words.w[said[1]] in _AUX
        and said[1] == said[0] + 1
        and c.named_at(said[1] + 1)
    )


def _not_those(words: Words, m: Mention) -> bool:
    lead = m.i - 2 if m.i > 1 and words.w[m.i - 1] == "the" else m.i - 1
    return lead >= 0 and words.w[lead] == "not"


def _pair_said(words: Words, c: Clause) -> None:
    """A verb and its thing ("did … teeth") say something together."""
    seen: dict[str, int] = {}
    for i in range(c.lo, c.hi):
        for meaning in words.tags[i]:
            if meaning[:3] in ("gv ", "go "):
                seen.setdefault(meaning, i)
    for meaning, i in seen.items():
        if meaning[:3] == "gv " and "go " + meaning[3:] in seen:
            c.saying, c.first_saying = True, min(i, seen["go " + meaning[3:]])
            return


def _near_number(words: Words, i: int) -> bool:
    return any(i + k < len(words) and (words.kind[i + k] in "nf" or "num" in words.tags[i + k]) for k in (1, 2)) or (
        words.has(i + 1, "earp")
    )


def _later_on(words: Words, i: int) -> bool:
    """'later on': only when it was, no plan."""
    return words.w[i] == "later" and i + 1 < len(words) and words.w[i + 1] == "on"


def asks(words: Words, lo: int, hi: int) -> bool:
    """True where the words from lo start like a question ("how much …", "has anyone …")."""
    i = lo
    while i < hi and (words.kind[i] != "w" or words.w[i] in _BEFORE_QUESTION or "person" in words.tags[i]):
        i += 1
    if i + 2 < hi and words.has(i, "kin") and words.w[i + 1] in _AUX and words.w[i + 2] in _ADDRESSED:
        i += 1  # "mum has anyone fed jet"
    how = next((k for k in range(i, min(i + 4, hi - 1)) if words.w[k : k + 1] == ["how"]), i)
    if how > i and words.w[how + 1] in _HOW_MUCH and not any(words.tags[k] for k in range(i, how)):
        i = how  # "fr tho how big is moose gonna get"
    lead = next((k for k in range(i, min(i + _LONGEST_LEAD, hi - 1)) if words.w[k] in _ASKING_LEADS), -1)
    if lead >= 0 and words.says(lead + 1, min(hi, lead + 3), _ASKED_FOR):
        return True  # "permit me to enquire how much Grete may be given"
    if i >= hi:
        return False
    if "late" in words.tags[i]:
        return False  # "would you believe …" tells
    w = words.w[i]
    if (
        w in _RELATIVE_WORDS
        and lo > 0
        and words.w[lo - 1] in (",", "(", "of")
        and ("?" not in words.text[words.start[i] :])
    ):
        return False  # ", which was 25 g": a relative clause
    if w in ("anyone", "anybody") and i + 1 < hi and words.w[i + 1] in _ANYONE_DID:
        return True
    if (
        w == "when"
        and i + 1 < hi
        and words.has(i + 1, "dog", "self", "kin")
        and "?" not in words.text[words.start[i] :]
    ):
        return False  # "when Storm lies on my legs he weighs a ton"
    if w in _OPEN:
        return not (w == "what" and i + 1 < hi and words.w[i + 1] in ("a", "an"))  # "what a lump"
    if w in _AUX and i + 1 < hi:
        if w in _ASKING_OF_DOGS:
            j = i + 1
            while j + 1 < hi and words.w[j] in _WEE:
                j += 1
            if j > i + 1 and words.has(j, "dog", "dogs") and j + 1 < hi:
                return True  # "is wee Distel on track"
        nxt = words.w[i + 1]
        if any(m in words.tags[i + 1] for m in ("sign", "earp", "season", "dose")) and nxt in ("the", "a"):
            return False  # "… and has the runs"
        if nxt in _WHO or "person" in words.tags[i + 1]:
            return not (w in ("did", "do") and nxt in _TELLING_AFTER_DID) or (
                "?" in words.text[words.start[hi - 1] :][:40]
            )
        if ("dog" in words.tags[i + 1] or "dogs" in words.tags[i + 1]) and w in _ASKING_OF_DOGS:
            return i == lo or words.w[i - 1] != "so" or i + 2 < hi  # "… and so has Saffy"
        if "dog" in words.tags[i + 1] and w == "did":
            # "did nug eat" asks, "did nuggets teeth" and "did red 476" tell
            k = i + 1 + words.tags[i + 1]["dog"][1]
            if k >= hi or words.owner[k - 1] or words.kind[k] != "w" or words.w[k] in _DID_DOG_TOLD:
                return False
            return not any(
                m in ("groom", "dose", "day", "num", "s half", "dog", "dogs") or m[:3] == "go " for m in words.tags[k]
            )
    return False


def _anothers(words: Words, c: Clause, clauses: list[Clause]) -> bool:
    """'at my brother's we met his dog Balder': his, where a person was spoken of."""
    if c.named or "otherdog" not in c.meanings:
        return False
    i = c.meanings["otherdog"]
    spoken = any(o.human and o.sentence == c.sentence and o.number < c.number for o in clauses)
    return spoken and words.w[i] in ("his", "her", "their")


def _long_ago_or_read_out(words: Words, clauses: list[Clause]) -> None:
    """'In 1968 my mother had nine pups', 'the book: "normal is 38.3"': history, and what somebody else wrote."""
    marks = [i for i, w in enumerate(words.w) if w == '"']
    years = {
        c.sentence
        for c in clauses
        for i in range(c.lo + 1, c.hi)
        if words.w[i - 1] in ("in", "since") and words.w[i].isdigit() and 1900 <= int(words.w[i]) < _THIS_CENTURY
    }
    for c in clauses:
        if c.sentence in years:
            c.near = True
        opened = [m for m in marks if m <= c.lo]
        read_out = len(opened) % 2 == 1 and words.says(max(0, opened[-1] - 6), opened[-1], _WRITINGS)
        if read_out and not c.named:
            c.quote = True


def number_sentences(words: Words, clauses: list[Clause]) -> None:
    """Numbers the sentences, and lets questions, wishes and other people reach over their clauses."""
    number = 0
    for k, c in enumerate(clauses):
        if k and c.sep in ("stop", "line", "ask"):
            number += 1
        c.sentence = number
    _long_ago_or_read_out(words, clauses)
    for left, right in itertools.pairwise(clauses):
        if right.sep in _OVER_VALUE and right.hi - right.lo == 1 and words.w[right.lo] in _NONE_OF_IT:
            left.near = True  # "Cough: none"
        if _anothers(words, left, clauses):
            left.other = True
        if (
            left.other
            and right.sentence == left.sentence
            and not right.named
            and (right.pronoun is None or not right.pronoun.sex)
        ):
            right.other = True
    # a question mark asks back to where the question starts
    for k, c in enumerate(clauses):
        if c.ask:
            j = k
            while j > 0 and clauses[j - 1].sentence == c.sentence and not asks(words, clauses[j].lo, clauses[j].hi):
                if (
                    clauses[j - 1].amounts
                    and clauses[j - 1].named
                    and not asks(words, clauses[j - 1].lo, clauses[j - 1].hi)
                ):
                    break  # "Pepper 7.6 kg this morning, is she too heavy?"
                j -= 1
                clauses[j].ask = True
    for k, c in enumerate(clauses):
        if (
            not c.ask
            and asks(words, c.lo, c.hi)
            and (c.sep in ("start", "stop", "line", "ask", ",", ":", "-", "and") or k == 0)
        ):
            c.ask = True
            begs = words.w[c.lo] in _BEGGING_VERBS
            for later in clauses[k + 1 :]:
                listed = (
                    later.sep == "and"
                    and bool(c.mentions)
                    and is_last(words, c, c.mentions[-1])
                    and later.number == k + 1
                )
                if later.sentence != c.sentence or later.sep not in ("and", ","):
                    break
                if later.named and not (begs or listed):
                    break
                later.ask = True
    # "if …" and "I wish …" reach to the end of the sentence; so does what is planned over a plain list
    for k, c in enumerate(clauses):
        if (c.wish and words.w[c.lo] in ("if", "when", "unless")) or (c.wish and c.first_saying < 0):
            for later in clauses[k + 1 :]:
                if later.sentence != c.sentence or later.sep == "but":
                    break
                later.wish = True
