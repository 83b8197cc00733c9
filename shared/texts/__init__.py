"""Every text that a person can read, by subject: one YAML file each, with named places to fill.

A text is found as `subject.name` (`doubts.which_dog` is `which_dog` in `doubts.yaml`). The files hold no logic;
a second language is a second set of the same files in a folder of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import yaml

_FOLDER = Path(__file__).parent
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@cache
def texts() -> Mapping[str, str]:
    """All texts under their full names.

    Raises:
        ValueError: a file that is not a table of texts, named with the place.
    """
    found: dict[str, str] = {}
    for path in sorted(_FOLDER.glob("*.yaml")):
        table = yaml.load(path.read_text(encoding="utf-8"), Loader=_LOADER) or {}
        _gather(path.stem, table, found)
    return found


def text(key: str, /, **values: object) -> str:
    """The text of that name with its places filled.

    Raises:
        KeyError: no such text, or a place without a value.
    """
    return texts()[key].format_map(values)


def listed(items: list[str] | tuple[str, ...]) -> str:
    """Several words as a person says them: "a", "a and b", "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return text("units.list", first=", ".join(items[:-1]), last=items[-1])


def _gather(prefix: str, node: Any, found: dict[str, str]) -> None:
    if isinstance(node, str):
        found[prefix] = node.strip("\n")
    elif isinstance(node, dict):
        for name, below in node.items():
            _gather(f"{prefix}.{name}", below, found)
    else:
        raise ValueError(f"{prefix}: a text or a table of texts, not {node!r}")
