"""Cups as they are written in a set-up: eighths, mixed numbers and decimals."""

from __future__ import annotations

import re

_GLYPHS = {"⅛": 1 / 8, "¼": 1 / 4, "⅜": 3 / 8, "½": 1 / 2, "⅝": 5 / 8, "¾": 3 / 4, "⅞": 7 / 8, "⅓": 1 / 3, "⅔": 2 / 3}
_MIXED = re.compile(r"(?:(\d{1,2})[ -]+)?(\d{1,2})/(\d{1,2})", re.ASCII)
_DECIMAL = re.compile(r"\d{1,2}(?:[.,]\d{1,3})?", re.ASCII)
_GLYPHED = re.compile(f"(\\d{{1,2}})? ?([{''.join(_GLYPHS)}])", re.ASCII)


def cups_said(text: str) -> float | None:
    """Level cups of "3/4", "1 1/2", "1½" or "0.75"; None where it is no number of cups."""
    said = text.strip()
    if found := _MIXED.fullmatch(said):
        whole, top, bottom = (int(n or 0) for n in found.groups())
        return whole + top / bottom if bottom else None
    if found := _GLYPHED.fullmatch(said):
        return int(found[1] or 0) + _GLYPHS[found[2]]
    if _DECIMAL.fullmatch(said):
        return float(said.replace(",", "."))
    return None
