"""A table of weights that the breeder sends as a file: shown first, written on her yes, taken back by an undo."""

from __future__ import annotations

from bot.conversation.doubts import ANSWERS, pack, unpack
from bot.conversation.heard import yes_or_no
from bot.conversation.hearing import Hearing
from bot.reading import weight_table
from bot.reading.weight_table import TableError
from bot.replies import weight_tables
from core.roster import BREEDER
from core.turns import Asked
from shared.texts import text

MOST = 1000  # weights of one table in the chat; `fettle import` takes more
SHOWN = 10  # rows of the preview


def answer(hearing: Hearing) -> bool:
    """True where a table came along in the breeder's line; nothing of it is written yet."""
    table = hearing.message.table
    if not table or not hearing.is_breeder or hearing.message.room != BREEDER:
        return False
    try:
        rows = weight_table.read(table, hearing.house, hearing.book(whole=True), hearing.on)
        good = [r for r in rows if not r.wrong]
        if len(good) > MOST:
            raise TableError("long")
    except TableError as wrong:
        hearing.say(text(f"weight_table.error.{wrong.why}"))
        return True
    lines = [weight_tables.Line(**r.facts()) for r in rows]
    # What is left out is what must be looked at, so it stands first.
    lines.sort(key=lambda x: not x.wrong)
    told = [weight_tables.row(x, hearing.house) for x in lines[:SHOWN]]
    if len(lines) > SHOWN:
        told.append(text("weight_table.more", n=len(lines) - SHOWN))
    count = weight_tables.count(lines, hearing.house)
    if not good:
        hearing.say("\n".join([*told, count]))
        return True
    said = "\n".join([*told, text("weight_table.ask", said=count)])
    choices = (text("doubts.yes"), text("doubts.no"))
    hearing.ask("weight table", said, choices, {"rows": [pack(r.entry()) for r in good]})
    return True


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    if meant is None or not hearing.is_breeder:
        return False
    entries = [unpack(facts) for facts in asked.facts.get("rows", ())]
    if not meant:
        hearing.say(text("weight_table.dropped"))
        return True
    for entry in entries:
        hearing.post(entry)
    hearing.mark()
    hearing.say(text("weight_table.kept", n=len(entries)))
    return True


ANSWERS["weight table"] = _answered
