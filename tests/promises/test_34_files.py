"""Promise 34: files are not trusted: none is opened, none is written under a name that was sent, and none is fetched
but a table that the breeder sends in her own line, and that only as far as a table may be long."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from bot.chat.updates import LONGEST_TABLE
from core.roster import Dog
from shared.texts import text
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.serving import MAYA, TOM, Serving, kennel

NUGGET = Dog(name="Nugget", sex="m", born=date(2025, 11, 8))
ID = {"file_id": "f", "file_unique_id": "u"}
ODD = "../../etc/passwd\u202efdp.exe"
FILES: dict[str, dict[str, Any]] = {
    "a huge document": {"document": ID | {"file_name": "a.pdf", "file_size": 2**40, "mime_type": "application/pdf"}},
    "a document with an odd name": {"document": ID | {"file_name": ODD, "mime_type": "image/png"}},
    "a mistyped picture": {"document": ID | {"file_name": "a.png", "mime_type": "text/html"}},
    "a video": {"video": ID | {"width": 1, "height": 1, "duration": 1, "file_name": ODD}},
    "a voice note": {"voice": ID | {"duration": 1}},
    "a sticker": {
        "sticker": ID | {"type": "regular", "width": 1, "height": 1, "is_animated": False, "is_video": False}
    },
    "a photo of impossible sizes": {"photo": [ID | {"width": 2**31, "height": -1, "file_size": 2**62}]},
    "a photo with an odd handle": {"photo": [{"file_id": ODD * 50, "file_unique_id": "u", "width": 9, "height": 9}]},
    "a contact": {"contact": {"phone_number": "1", "first_name": "x"}},
    "a place": {"location": {"latitude": 1.0, "longitude": 1.0}},
}  # fmt: skip


@pytest.mark.parametrize("what", FILES)
@pytest.mark.parametrize("caption", ["", "Nugget 9.4 kg"])
async def test_a_file_is_never_opened_and_its_caption_is_heard(tmp_path: Path, what: str, caption: str) -> None:
    folder = tmp_path / "house"
    folder.mkdir()
    async with BotApi() as api, Serving(api, folder / "a.db", None) as serving:
        number = serving.settle(kennel(NUGGET))
        before = {p.name for p in tmp_path.rglob("*")}
        message = serving.family.next_message
        fields = FILES[what] | ({"caption": caption} if caption else {})
        api.world._update("message", api.world._message(serving.family, TOM, fields))
        api.world.write(serving.family, TOM, "Nugget 8.8 kg")
        await api.until(lambda: any(m.message == message + 1 for m in api.world.marks))
        assert not api.world.sent and not serving.database.inbox.set_aside()
        assert {m for m, _ in api.calls} <= {"getMe", "deleteWebhook", "getUpdates", "setMessageReaction"}  # no getFile
        kept = [kg for _, _, kg, _ in serving.weights(number)]
        new = {p.name for p in tmp_path.rglob("*")} - before
    assert kept == ([9.4, 8.8] if caption else [8.8])
    assert all(name.startswith("a.db") for name in new)


async def test_a_table_that_is_longer_than_it_says_is_not_taken(tmp_path: Path) -> None:
    async with BotApi() as api, Serving(api, tmp_path / "a.db", None) as serving:
        number = serving.settle(kennel(NUGGET))
        rows = "dog,date,kg\n" + "Nugget,2026-03-01,9.4\n" * (LONGEST_TABLE // 20)
        api.world.document(serving.line, MAYA, "weights.csv", rows.encode())
        message = api.world.updates[-1]["message"]
        message["document"]["file_size"] = 100  # what came with the message says
        await api.until(lambda: api.world.sent)
        assert [s.text for s in api.world.sent] == [text("weight_table.error.fetch")]
        assert not serving.weights(number)
