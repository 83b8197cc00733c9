"""Files of a spreadsheet: their text, and cells that it takes for words, never for a formula.

A cell that begins with one of these signs is run as a formula by common spreadsheets (OWASP, "CSV Injection"); an
apostrophe before it makes it words again.
"""

from __future__ import annotations

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def safe(cell: str) -> str:
    """The cell's words as they may stand in a CSV."""
    return "'" + cell if cell.lstrip("'").startswith(_FORMULA) else cell


def plain(cell: str) -> str:
    """The words of a cell that `safe` wrote."""
    return cell[1:] if cell.startswith("'") and cell.lstrip("'").startswith(_FORMULA) else cell


def decoded(raw: bytes) -> str:
    """The text of a file: UTF-8, else as older spreadsheets write it (Windows-1252)."""
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", "replace")
