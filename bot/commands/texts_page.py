"""Every text that a person can read, on one page, to be read aloud: by subject, in the order of its file."""

from __future__ import annotations

import re
from itertools import groupby

from shared.texts import texts

_PLACE = re.compile(r"{(\w+?)_?}")


def page() -> str:
    """The whole page: the place where something is filled in stands as ‹dog›, a new line as a line of its own."""
    told = []
    for subject, keys in groupby(texts(), key=lambda key: key.partition(".")[0]):
        told.append(f"\n{subject.upper().replace('_', ' ')}")
        for key in keys:
            shown = _PLACE.sub(r"‹\1›", texts()[key]).replace("\n", "\n      ")
            told.append(f"  {key.partition('.')[2]}: {shown}")
    return "\n".join(told).strip()
