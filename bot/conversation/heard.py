"""Words to Fettle itself: yes and no, why, help, quiet; and words of loss. The lists are in `shared/phrases`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import yaml

import shared

LONGEST = 500  # characters looked at; a longer message is no word to Fettle
SHORT = 7  # words in a short answer
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_FILES = ("conversation.yaml", "record.yaml")
_CALLED = re.compile(r"^(?:hey |hi |ok )?fettle[,:!]? +")


@cache
def phrases() -> Mapping[str, Any]:
    """The phrases as their files list them."""
    folder, loaded = Path(shared.__file__).parent / "phrases", {}
    for name in _FILES:
        loaded.update(yaml.load((folder / name).read_text(encoding="utf-8"), Loader=_LOADER))
    return loaded


@cache
def patterns(name: str) -> tuple[re.Pattern[str], ...]:
    """The patterns of that list, compiled; "order.cue" is `cue` under `order`."""
    node: Any = phrases()
    for part in name.split("."):
        node = node[part]
    return tuple(re.compile(p, re.IGNORECASE) for p in node)


def plain(text: str) -> str:
    """The words in small letters, without marks at either end, spaces single, Fettle's name left off."""
    low = " ".join(text[:LONGEST].casefold().replace("’", "'").split())
    return _CALLED.sub("", low).strip(" .!?,;:…")


def means(name: str, text: str) -> bool:
    """True where the whole message is one of these phrases."""
    return len(text) <= LONGEST and plain(text) in phrases()[name]


def speaks_of(name: str, text: str) -> bool:
    """True where one of these patterns is found in the message."""
    return any(p.search(text[:LONGEST].replace("’", "'")) for p in patterns(name))


def yes_or_no(text: str) -> bool | None:
    """True for a short yes, False for a short no, None for anything else: a yes taken half back is none."""
    low = plain(text)
    if not low or len(low.split()) > SHORT or "?" in text:
        return None
    for name, meant in (("yes", True), ("heard_you", True), ("no", False)):
        opened = next((p for p in phrases()[name] if low == p or low.startswith((p + " ", p + ","))), None)
        if opened is None:
            continue
        rest = re.findall(r"[\w']+", low[len(opened) :])
        if name == "heard_you" and not all(w in phrases()["go_ahead"] for w in rest):
            return None
        return meant if not _turned(rest, meant) else None
    return None


def _turned(rest: list[str], meant: bool) -> bool:
    """True where what stands behind a yes holds it back, or behind a no says yes after all."""
    return any(w in phrases()["held_back" if meant else "yes"] for w in rest)
