"""Every text a person can read: none missing, none unused, every place filled, and each one renders."""

from __future__ import annotations

import ast
import re
import string
from collections.abc import Iterator
from pathlib import Path

import pytest

import shared
from bot.commands.texts_page import page
from shared.texts import text, texts

ELSEWHERE = ("terminal.", "telegram.", "setup.", "faults.")  # named by tables of the rooms that say them

ROOT = Path(shared.__file__).parent.parent
CODE = [p for part in ("bot", "core", "shared") for p in sorted((ROOT / part).rglob("*.py"))]


def calls() -> Iterator[tuple[Path, ast.Call]]:
    for path in CODE:
        source = path.read_text(encoding="utf-8")
        if "from shared.texts import" not in source:
            continue
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "text" and node.args:
                yield path, node


def keys(node: ast.expr) -> tuple[set[str], set[str]]:
    """The whole names and the beginnings of names that this expression can be."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return {node.value}, set()
    if isinstance(node, ast.JoinedStr) and isinstance(node.values[0], ast.Constant):
        return set(), {str(node.values[0].value)}
    whole: set[str] = set()
    begun: set[str] = set()
    parts: list[ast.expr] = []
    if isinstance(node, ast.IfExp):
        parts = [node.body, node.orelse]
    elif isinstance(node, ast.Subscript) and isinstance(node.value, ast.Tuple | ast.Dict):
        parts = list(node.value.elts if isinstance(node.value, ast.Tuple) else node.value.values)
    for part in parts:
        more, starts = keys(part)
        whole |= more
        begun |= starts
    return whole, begun


def strings() -> set[str]:
    """Every string constant of the code (a name may be chosen in a variable or a table first)."""
    found = set()
    for path in CODE:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(node.value)
    return found


def places(key: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(texts()[key]) if name}


def test_no_text_is_missing_and_every_place_is_filled() -> None:
    """Where the code names a text, it exists, and the code gives each of its places a value."""
    for path, call in calls():
        whole, begun = keys(call.args[0])
        given = {k.arg for k in call.keywords}
        for key in whole:
            assert key in texts(), f"{path.name}: no text {key}"
            if None not in given:
                assert places(key) <= given, f"{path.name}: {key} wants {places(key) - given}"
        for start in begun:
            assert any(k.startswith(start) for k in texts()), f"{path.name}: no text begins with {start}"


def test_no_text_is_unused() -> None:
    """Each text is named somewhere in the code, whole or by how its name begins."""
    named = strings()
    begun = tuple(s for _, call in calls() for s in keys(call.args[0])[1])
    begun += tuple(s for s in named if s.endswith(".") and s.count(".") >= 1 and " " not in s)
    unused = [k for k in texts() if k not in named and not k.startswith((*begun, *ELSEWHERE))]
    assert not unused


@pytest.mark.parametrize("key", sorted(texts()))
def test_each_text_renders(key: str) -> None:
    """With sample values each text is words: no brace left, no idle space, no doubled mark."""
    shown = text(key, **dict.fromkeys(places(key), "7"))
    assert shown and shown == shown.strip()
    assert "{" not in shown and "}" not in shown and ".." not in shown
    assert "  " not in shown or key.startswith("terminal.")  # the terminal sets out its examples in columns


# Reading age: the grade of Kincaid, Fishburne, Rogers, Chissom 1975 (Navy RBR 8-75; the formula from memory),
# 0.39 words a sentence + 11.8 syllables a word − 15.59; a child of twelve is in about the sixth or seventh grade.

FILLED = {"dog": "Bran", "dogs": "Bran and Moss", "who": "Tom", "breeder": "Maya", "vet": "Dale Vets", "day": "Sunday"}


def grade(said: str) -> float:
    words = re.findall(r"[a-z']+", said.casefold())
    sentences = max(1, len(re.findall(r"[.!?:;](?:\s|$)", said.strip() + " ")))
    syllables = sum(max(1, len(re.findall(r"[aeiouy]+", re.sub(r"(?:es|ed|e)$", "", w)))) for w in words)
    return 0.39 * len(words) / sentences + 11.8 * syllables / max(1, len(words)) - 15.59


def test_a_child_of_twelve_can_read_it() -> None:
    """The texts as a whole, and no long one far above; the terminal, Telegram's set-up and reasons apart."""
    apart = (*ELSEWHERE, "why.", "shows.why", "changed.why")
    long = {}
    for key in texts():
        shown = text(key, **{p: FILLED.get(p, "7") for p in places(key)})
        if len(shown.split()) >= 10 and not key.startswith(apart):
            long[key] = grade(shown)
    assert len(long) > 60
    assert sum(long.values()) / len(long) < 6
    assert {k: round(g, 1) for k, g in long.items() if g > 10} == {}


def test_the_page_of_all_texts_leaves_none_out() -> None:
    """`fettle doctor --texts`: each text stands on it once, with its places to be seen."""
    shown = page().splitlines()
    assert len([line for line in shown if re.match(r"  [\w.]+: ", line)]) == len(texts())
    assert "  which_dog: Which dog?" in shown and "  did_you_mean: ‹dog›, ‹value›?" in shown
    assert "{" not in page()
