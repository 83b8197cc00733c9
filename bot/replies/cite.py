"""Where a figure comes from, for "why?"."""

from __future__ import annotations

import re
from collections.abc import Iterable

from shared.tables import sources
from shared.texts import text

MOST = 3  # sources named under an answer
LONGEST = 90  # letters of a source without a year

_TO_YEAR = re.compile(r"^.{3,160}?\b(?:1[89]|20)\d\d\b")


def cite(keys: Iterable[str]) -> str:
    """The sources of these keys as one line, who and when; what is custom, choice or memory says so."""
    known = sources()
    told = []
    for key in dict.fromkeys(keys):
        source = known.get(key)
        if source is None:
            continue
        year = _TO_YEAR.match(source.citation)
        who = year[0] if year else _shortened(source.citation)
        if who.count("(") > who.count(")"):
            who += ")" if year else ""
        seen = source.seen.casefold()
        name = next((n for n in ("memory", "common practice", "own choice") if seen.startswith(n)), "")
        told.append(text(f"why.{name.replace(' ', '_')}", who=who) if name else who)
    return text("why.source", sources="; ".join(told[:MOST])) if told else ""


def _shortened(citation: str) -> str:
    """The citation, a long one cut at a comma and never within a word."""
    if len(citation) > LONGEST:
        head = citation[:LONGEST]
        citation = head[: max(head.rfind(","), head.rfind(" ") if "," not in head else -1)]
    return citation.rstrip(" .;,")


def because(*lines: str, sources: Iterable[str] = ()) -> str:
    """Reasons line by line, the empty ones left out, with where the figures come from at the end."""
    return "\n".join(line for line in (*lines, cite(sources)) if line)
