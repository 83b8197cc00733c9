"""Wishes that are questions without a question mark: "graph 4 biscuit pls"."""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work

_DRAWN = words_of("cues", "drawn")
_TELL_HOW = words_of("cues", "tell_how")
_TELL_ME = words_of("cues", "tell_me")
_TELLING = words_of("cues", "telling")
_LOOKED = words_of("cues", "looked_at")
_REQUEST = words_of("cues", "wish_to_see")


def is_wish(work: Work, c: Clause) -> bool:
    """A wish to be shown something is a question too: "graph 4 biscuit pls"."""
    words = work.words
    said = words.w[c.lo : c.hi]
    if work.where(c, "ask chart") >= 0 and not c.named and c.number + 1 < len(work.clauses):
        if any(o.sep == "line" and (o.named or o.how == "list") for o in work.clauses[c.number + 1 :]):
            return False  # "Ear chart, midday:" over a list
    if work.where(c, "ask chart") >= 0 and set(said) & _LOOKED:
        return False
    if work.where(c, "ask chart") >= 0:
        i = work.where(c, "ask chart")
        if words.w[i] in _DRAWN and not (set(said) & _REQUEST):
            return False
        return bool(set(said) & _REQUEST) or len(said) <= 5
    if work.where(c, "ask summary") >= 0 and set(said) & {"catch", "fill", "bring"} and set(said) & {"me", "us"}:
        return True
    if (
        said[:2] in (["give", "me"], ["send", "me"], ["gimme", "the"], ["gimme", "a"])
        and work.where(c, "ask summary") >= 0
    ):
        return True
    if set(said) & _TELL_ME and not (words.has(c.hi - 3, "person") and said[-2:] == ["show", "me"]):
        return (
            work.where(c, "ask summary", "ask due", "ask ration", "ask weight", "ask growth", "ask ears", "ask fed")
            >= 0
            and (set(said) & _TELL_HOW) != set()
            and not (set(said) & {"tell", "remind"} and not {"me", "us"} & set(said))
            and _not_telling(words.w, c)
        )
    if said[:1] in (["any"], ["anything"]) or said[:2] == ["time", "for"]:
        return c.ask
    return False


def _not_telling(w: list[str], c: Clause) -> bool:
    said = w[c.lo : c.hi]
    return not any(x in said for x in _TELLING) and not ("dont" in said and "know" in said and ("why" in said))
