"""A paper as PDF: A4, plain letters of our own set, page numbers; a heading stays with what follows it.

Set by fpdf2 in DejaVu Sans, which comes with Matplotlib under its own free licence and has every fraction of a cup and
every accent of a name. Both are loaded only when a paper is asked for.
"""

from __future__ import annotations

import unicodedata
from datetime import UTC, datetime, time
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bot.replies.papers.model import Facts, Heading, Paper, Part, Points, Table, Words
from shared.texts import text

if TYPE_CHECKING:
    from datetime import date

    from fpdf import FPDF

_LETTERS = "DejaVu"
_SIDE, _TOP, _BOTTOM = 18.0, 16.0, 18.0  # mm of margin; holes are punched at the left
_TITLE, _HEADING, _TEXT, _SMALL = 20.0, 12.5, 10.0, 8.0  # points
_LINE = 5.2  # mm of a line of text
_INK, _SOFT, _RULE, _BAND = (30, 34, 38), (95, 100, 104), (190, 186, 178), (243, 240, 234)
_WITH_HEADING = 24.0  # mm that must be free under a heading, else it goes to the next page
_NARROW = 8  # more columns than this are set in smaller letters, and closer


def render(paper: Paper, printed: date) -> bytes:
    """The PDF; the same paper printed on the same day gives the same bytes."""
    pdf = _new(paper, printed)
    pdf.set_font(_LETTERS, "B", _TITLE)
    pdf.multi_cell(0, 9, _known(paper.title), new_x="LMARGIN", new_y="NEXT", align="L")
    pdf.set_font(_LETTERS, "", _TEXT)
    pdf.set_text_color(*_SOFT)
    pdf.multi_cell(0, _LINE, _known(paper.under), new_x="LMARGIN", new_y="NEXT", align="L")
    pdf.set_text_color(*_INK)
    pdf.ln(1.5)
    for n, part in enumerate(paper.parts):
        _set(pdf, part, paper.parts[n + 1] if n + 1 < len(paper.parts) else None)
    return bytes(pdf.output())


def _new(paper: Paper, printed: date) -> FPDF:
    from fpdf import FPDF  # a third of a second, with the tools for its letters

    class Sheet(FPDF):
        def footer(self) -> None:
            self.set_y(-14)
            self.set_font(_LETTERS, "", _SMALL)
            self.set_text_color(*_SOFT)
            self.cell(0, 4, _known(paper.foot), align="L", new_x="LMARGIN", new_y="TOP")
            # The whole count is filled in at the end.
            self.cell(0, 4, text("papers.page", n=self.page_no(), of="{nb}"), align="R")
            self.set_text_color(*_INK)

    pdf = Sheet(format="A4")
    pdf.set_margins(_SIDE, _TOP, _SIDE)
    pdf.c_margin = 0
    pdf.set_auto_page_break(True, _BOTTOM)
    for style, file in (("", "DejaVuSans.ttf"), ("B", "DejaVuSans-Bold.ttf")):
        pdf.add_font(_LETTERS, style, str(_fonts() / file))
    pdf.set_title(_known(paper.title))
    pdf.set_author(_known(paper.author))
    pdf.set_lang("en")
    pdf.set_creation_date(datetime.combine(printed, time(12), UTC))
    pdf.set_text_color(*_INK)
    pdf.set_draw_color(*_RULE)
    pdf.add_page()
    return pdf


def _set(pdf: FPDF, part: Part, following: Part | None) -> None:
    match part:
        case Heading(said):
            room = _WITH_HEADING + (_LINE * 2 if isinstance(following, Table) else 0)
            if pdf.will_page_break(room):
                pdf.add_page()
            pdf.ln(2.8)
            pdf.set_font(_LETTERS, "B", _HEADING)
            pdf.multi_cell(0, 6.5, _known(said), new_x="LMARGIN", new_y="NEXT", align="L")
            pdf.ln(0.8)
        case Words(said, strong):
            pdf.set_font(_LETTERS, "B" if strong else "", _TEXT)
            _whole(pdf, pdf.epw, _known(said))
            pdf.multi_cell(0, _LINE, _known(said), new_x="LMARGIN", new_y="NEXT", align="L")
            pdf.ln(1.2)
        case Points(lines):
            for line in lines:
                _point(pdf, _known(line))
            pdf.ln(1.2)
        case Facts(rows):
            _facts(pdf, rows)
            pdf.ln(1.2)
        case Table():
            _table(pdf, part)
            pdf.ln(1.2)


def _point(pdf: FPDF, line: str) -> None:
    pdf.set_font(_LETTERS, "", _TEXT)
    _whole(pdf, pdf.epw - 4.5, line)
    pdf.cell(4.5, _LINE, "•")
    pdf.multi_cell(pdf.epw - 4.5, _LINE, line, new_x="LMARGIN", new_y="NEXT", align="L")
    pdf.ln(0.3)


def _whole(pdf: FPDF, width: float, said: str) -> None:
    """A new page where the whole of the words has no room on this one."""
    lines = pdf.multi_cell(width, _LINE, said, dry_run=True, output="LINES", align="L")
    if isinstance(lines, list) and pdf.will_page_break(_LINE * len(lines)):
        pdf.add_page()


def _facts(pdf: FPDF, rows: tuple[tuple[str, str], ...]) -> None:
    pdf.set_font(_LETTERS, "", _TEXT)
    wide = min(60.0, max((pdf.get_string_width(_known(name)) for name, _ in rows), default=0.0) + 5)
    with pdf.table(
        borders_layout="NONE", first_row_as_headings=False, col_widths=(wide, pdf.epw - wide), align="L",
        line_height=_LINE, padding=(0.2, 0, 0.2, 0), text_align="LEFT", v_align="TOP",
    ) as sheet:
        for name, value in rows:
            row = sheet.row()
            row.cell(_known(name), style=_face(_SOFT))
            row.cell(_known(value))


def _table(pdf: FPDF, table: Table) -> None:
    tight = table.tight or len(table.head) > _NARROW
    size = _TEXT - 0.5 if not tight else _SMALL + 0.8 if len(table.head) <= _NARROW else _SMALL
    high, side = (0.25, 1.2) if tight else (0.5, 2.2)
    pdf.set_font(_LETTERS, "", size)
    pdf.set_line_width(0.15)
    aligned = tuple("RIGHT" if n in table.right else "LEFT" for n in range(len(table.head)))
    with pdf.table(
        borders_layout="HORIZONTAL_LINES", col_widths=table.widths or None, text_align=aligned, repeat_headings=1,
        line_height=_LINE - 0.6, padding=(high, side, high, side), v_align="TOP", wrapmode="WORD",
        headings_style=_face(_INK, bold=True, fill=_BAND),
    ) as sheet:
        for cells in (table.head, *table.rows):
            sheet.row([_known(c) for c in cells])


def _face(ink: tuple[int, int, int], bold: bool = False, fill: tuple[int, int, int] | None = None) -> Any:
    from fpdf.fonts import FontFace

    return FontFace(emphasis="BOLD" if bold else None, color=ink, fill_color=fill)


@cache
def _fonts() -> Path:
    """The folder of DejaVu Sans; found without loading Matplotlib, which takes half a second."""
    found = find_spec("matplotlib")
    assert found is not None and found.origin is not None
    return Path(found.origin).parent / "mpl-data" / "fonts" / "ttf"


@cache
def _letters() -> frozenset[int]:
    from fontTools.ttLib import TTFont

    return frozenset(TTFont(_fonts() / "DejaVuSans.ttf", lazy=True).getBestCmap())


def _known(said: str) -> str:
    """The words in letters that the set has: accents put together, small pictures left out, the rest a "?"."""
    known = _letters()
    out = []
    for letter in unicodedata.normalize("NFC", said):
        if letter == "\n" or ord(letter) in known:
            out.append(letter)
        elif unicodedata.category(letter) in ("So", "Sk", "Mn", "Cf", "Cc", "Cn"):
            continue
        else:
            out.append("?")
    return "".join(out).strip()
