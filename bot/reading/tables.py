"""Tables of bars: every row under a heading is written out as the line that it stands for.

"Dog | kg | L ear" over "Pip | 9.4 | up" is read as "Pip 9.4 kg, L ear up". A figure takes the heading's words and
unit, "y" or a tick stands for the heading itself, "n", a cross or an empty cell says nothing. A card, a dog's name over
lines of "key: value", is one such row.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator

from bot.reading.lexicon import book, words_of

_YES = words_of("tables", "yes")
_NO = words_of("tables", "no")
_NAMING = words_of("tables", "naming")
_LEFT = words_of("tables", "left")
_GIVEN = words_of("tables", "given")
_COUNTED = words_of("tables", "counted")
_TOLD = (["done"], ["lost"], ["given"], ["out"], ["cut"])  # last words of a heading that tells by itself
_RULED = re.compile(r"[\s|:+-]*")
_KEYED = re.compile(r"[-•*]?\s*([^\W\d][\w ]{1,24}?)\s*[:=]\s*(\S.{0,60})")
_LONGEST_TITLE = 3  # words of "Bramble health check" (own choice)
_FIGURE = re.compile(r"\d{1,6}(?:[.,]\d{1,3})?", re.ASCII)


def unfold(text: str, names: Container[str]) -> str:
    """The message with its tables written out as lines; the same text where it holds none.

    Args:
        names: every dog's name and nickname, folded.
    """
    if "\n" not in text:
        return text
    text = _cards(text, names)
    if text.count("|") < 2:
        return text
    lines = [line for line in text.split("\n") if "|" not in line or not _RULED.fullmatch(line)]
    rows = [_cells(line) for line in lines]
    out: list[str] = []
    heads: list[str] = []
    for line, cells, following in zip(lines, rows, [*rows[1:], []], strict=True):
        if heads and len(cells) == len(heads):
            if not _is_name(cells[0], names):
                return text  # a row that names nobody: left as it is, and asked about
            out.append(_line(cells, heads))
        elif len(cells) > 1 and len(cells) == len(following) and not _is_name(cells[0], names):
            heads = cells if _is_name(following[0], names) else []
            out += [] if heads else [line]
        else:
            heads = []
            out.append(line)
    return "\n".join(line for line in out if line)


def _cards(text: str, names: Container[str]) -> str:
    """'Skye / BCS: 5/9 / Ribs: easily felt': a name alone on its line over lines of a key and what it is."""
    out: list[str] = []
    lines = text.split("\n")
    k = 0
    while k < len(lines):
        title = lines[k].strip().strip(":").split()
        card = list(_keyed(lines[k + 1 :], names)) if 1 <= len(title) <= _LONGEST_TITLE else []
        if len(card) > 1 and _is_name(title[0], names) and all(w.isalpha() for w in title):
            said = [p for head, cell in card if (p := _cell(cell, head, ""))]
            out.append(f"{title[0]} " + ", ".join(said) if said else lines[k])
            k += 1 + len(card)
        else:
            out.append(lines[k])
            k += 1
    return "\n".join(out)


def _keyed(lines: list[str], names: Container[str]) -> Iterator[tuple[str, str]]:
    """The key and the value of each line, up to the first line that is none or is a dog's own."""
    for line in lines:
        found = _KEYED.fullmatch(line.strip())
        if found is None or _is_name(found[1], names):
            return
        yield found[1], found[2]


def _cells(line: str) -> list[str]:
    if "|" not in line:
        return []
    return [c.strip() for c in line.strip().strip("|").split("|")]


def _is_name(cell: str, names: Container[str]) -> bool:
    return cell.casefold().replace("'", "").replace("’", "").replace("-", " ").strip() in names


def _line(cells: list[str], heads: list[str]) -> str:
    dog, corner = cells[0], heads[0].casefold()
    about = "" if corner in _NAMING or not corner else heads[0] + " "
    given = next((c for h, c in zip(heads[1:], cells[1:], strict=True) if _said(h, _GIVEN)), "")
    parts = [p for h, c in zip(heads[1:], cells[1:], strict=True) if (p := _cell(c, h, given))]
    return f"{dog} {about}" + ", ".join(parts) if parts else ""


def _cell(cell: str, head: str, given: str) -> str:
    low, figure = cell.casefold(), _FIGURE.fullmatch(cell)
    if _said(head, _LEFT) and figure:
        phrases = book()["tables"]["eaten"]
        return str(phrases["all" if float(cell) == 0 else "none" if cell == given else "some"])
    if low in _NO:
        return ""
    if low in _YES:
        return head if head.casefold().split()[-1:] in _TOLD or head.casefold().endswith("ed") else f"{head} done"
    if figure and _said(head, _COUNTED):
        return head if float(cell.replace(",", ".")) else ""
    if not figure:
        return f"{head} {cell}"
    return f"{cell} {head}" if _is_unit(head) else f"{head} {cell}"


def _is_unit(head: str) -> bool:
    units = book()["units"]
    word = head.casefold().split()[0] if head else ""
    return any(word in phrases for phrases in units.values())


def _said(head: str, heard: frozenset[str]) -> bool:
    return not heard.isdisjoint(head.casefold().split())
