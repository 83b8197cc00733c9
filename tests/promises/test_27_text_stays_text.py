"""Promise 27: text stays text: kept and shown as it is, or asked about; never a command to a database, a chat, a
spreadsheet or a log.

That every query is bound to its kennel and takes its values as parameters is in `tests/storage/test_kennels_apart.py`
and in the lint rule S608; here hostile words travel the whole road.
"""

from __future__ import annotations

import csv
import io
import json
import logging
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from bot.settings import Settings, set_up_log
from bot.storage import Database
from bot.storage.export import export
from core.entries import Weight
from core.roster import Dog, Person
from core.turns import Post
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.serving import MAYA, TOM, Serving, kennel
from tests.storage.conftest import DAY, said

HOSTILE = ["'); DROP TABLE entry;--", "<b>Bold</b>", "@all", '=HYPERLINK("http://x","y")', "+1+1", "-2", "*bold* _x_",
           "a\nb", "\u202egnop", "Nug\u200bget", "Nuggеt", "{name}", "%s%n", "{0.__class__}"]  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_kept_and_exported_as_it_is(tmp_path: Path, name: str) -> None:
    with Database(f"sqlite:///{tmp_path / 'a.db'}") as database:
        number = database.create_kennel(kennel(Dog(name=name, born=date(2025, 3, 8))))
        with database.writing(number) as store:
            store.post((Post(entry=Weight(dog=name, on=DAY, kg=9.4, said=name)),), (), said(name))
            store.keep_message(said(name))
        with database.reading(number) as store:
            assert store.load_kennel().dogs[0].name == name
            assert [w.kg for w in store.load_book().entries(name, Weight)] == [9.4]
            kept = store.find_message("family", "1")
            assert kept is not None and kept.text == name
        folder = export(database, number, tmp_path / "out").folder
    rows = [json.loads(line) for line in (folder / "records.jsonl").read_text(encoding="utf-8").splitlines()]
    assert [r["row"]["dog"] for r in rows if r["table"] == "entry"] == [name]
    for sheet in folder.glob("*.csv"):
        cells = [c for row in csv.reader(io.StringIO(sheet.read_text(encoding="utf-8"), newline="")) for c in row]
        # OWASP, "CSV Injection": no cell of text begins as a formula.
        assert not [c for c in cells if c[:1] in ("=", "+", "@", "\t", "\r") or c.startswith("-2")]


@pytest.mark.parametrize("words", HOSTILE)
async def test_what_is_said_has_no_markup_and_the_log_no_words(
    tmp_path: Path, words: str, caplog: pytest.LogCaptureFixture
) -> None:
    """Passed on to the breeder as it was written, without a parse mode; nothing of it in the log."""
    dog = Dog(name="Teasel", born=date(2025, 3, 8), home="Ana", sex="f")
    caplog.set_level(logging.INFO)  # as it is set up without a word of the operator's
    async with BotApi() as api, Serving(api, tmp_path / "a.db", None) as serving:
        home = kennel(dog)
        ana = Person(name="Ana", role="buyer", dogs=("Teasel",))
        number = serving.settle(replace(home, people=(*home.people, ana)))
        serving.database.bind_account("telegram", str(TOM.id), number, "Ana")
        api.world.write(api.world.private(TOM), TOM, f"can I ask: {words} is that normal for Teasel?")
        await api.until(lambda: any(s.chat == MAYA.id for s in api.world.sent))
        told = next(s.text for s in api.world.sent if s.chat == MAYA.id)
    assert " ".join(words.split()) in " ".join(told.split())
    assert not [given for _, given in api.calls if "parse_mode" in given]
    ours = [r.getMessage() for r in caplog.records if r.name.startswith("bot")]
    assert ours and words not in "".join(ours)


def test_a_record_of_the_log_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = logging.getLogger().handlers[:]
    try:
        set_up_log(Settings(database_url="", data_dir=tmp_path))
        logging.getLogger("bot").info("%s", "a\nERROR bot: forged\r\nmore")
        assert len(capsys.readouterr().err.splitlines()) == 1
    finally:
        logging.getLogger().handlers[:] = before
