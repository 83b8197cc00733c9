"""The figures: in the open text format, read back by the reference parser; nothing of anybody's records in them."""

from __future__ import annotations

import urllib.error
import urllib.request
from pathlib import Path

import pytest
from prometheus_client.parser import text_string_to_metric_families

from bot.chat.errors import Shut
from bot.commands.metrics import Measures
from bot.settings import SettingsTrouble, Trouble, read_settings
from bot.storage import Database, Update
from bot.storage.nightly import make
from bot.turn import Turns
from core.messages import Say
from tests.promises.small_hear import hear
from tests.scheduling.house import Chat
from tests.storage.conftest import AT, DAY, said


def get(port: int, path: str) -> tuple[int, str]:
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}{path}", timeout=10) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()


def figures(text: str) -> dict[tuple[str, ...], float]:
    return {
        (sample.name, *sample.labels.values()): sample.value
        for family in text_string_to_metric_families(text) for sample in family.samples
    }


async def test_what_is_measured(database: Database, kennel_id: int, tmp_path: Path) -> None:
    """Turns, sends, what waits, the backup's age and the process's memory; no name, no word, no number of a chat."""
    measures = Measures(database, lambda: {"rounds": False}, tmp_path)
    make(database, tmp_path, DAY)
    turns = Turns(database, hear=hear)
    measures.time(turns)
    for n in range(3):
        turns.take(said("Nugget 9.4", key=str(n)), kennel_id)
    words = {"x": "Moss"}
    database.inbox.take([Update(platform="telegram", chat="-100777", update_key="1", received_at=AT, raw=words)])
    chat = Chat()
    sender = measures.count(chat)
    await sender.send("-100777", Say(key="k", room="family", text="hello"), None)
    chat.fails.append(Shut("blocked"))
    with pytest.raises(Shut):
        await sender.send("-100777", Say(key="k", room="family", text="hello"), None)
    with measures.served("127.0.0.1", 0) as port:
        status, text = get(port, "/metrics")
    found = figures(text)
    assert status == 200
    assert found["fettle_turn_seconds_count",] == 3
    assert 0 < found["fettle_turn_seconds_sum",] < 60
    assert found["fettle_sends_total", "sent"] == found["fettle_sends_total", "shut"] == 1
    assert (found["fettle_kennels",], found["fettle_database_up",]) == (1, 1)
    assert (found["fettle_inbox", "new"], found["fettle_inbox", "failed"]) == (1, 0)
    assert found["fettle_outbox", "waiting"] == 3 and found["fettle_outbox", "sending"] == 0
    assert found["fettle_hanging", "rounds"] == 0
    assert found["fettle_backup_timestamp_seconds",] > 1_700_000_000
    assert found["process_resident_memory_bytes",] > 10_000_000
    for private in ("Nugget", "Moss", "Maya", "Tindfjell", "777"):
        assert private not in text


def test_health(database: Database, kennel_id: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Well is 200; a part that hangs, or a database that does not answer, is 503 and said; other paths are not here."""
    hanging = {"rounds": False, "delivery": False}
    measures = Measures(database, lambda: hanging, None)
    with measures.served("127.0.0.1", 0) as port:
        assert get(port, "/health") == (200, "well\n")
        hanging["delivery"] = True
        assert get(port, "/health") == (503, "delivery hangs\n")
        hanging["delivery"] = False
        assert get(port, "/")[0] == get(port, "/metrics/../etc/passwd")[0] == 404
        monkeypatch.setattr(database, "_engine", Database("postgresql://u@/x?host=/nowhere&connect_timeout=1")._engine)
        status, line = get(port, "/health")
        assert status == 503 and "does not answer" in line
        status, text = get(port, "/metrics")
        assert status == 200 and figures(text)["fettle_database_up",] == 0
        with pytest.raises(Trouble, match="cannot be used"), measures.served("127.0.0.1", port):
            pass


def test_the_setting() -> None:
    """A port alone is this machine's own; nonsense is told."""
    assert read_settings({}).metrics is None
    assert read_settings({"FETTLE_METRICS": "9464"}).metrics == ("127.0.0.1", 9464)
    assert read_settings({"FETTLE_METRICS": ":9464"}).metrics == ("127.0.0.1", 9464)
    assert read_settings({"FETTLE_METRICS": "0.0.0.0:9464"}).metrics == ("0.0.0.0", 9464)
    assert read_settings({"FETTLE_METRICS": "[::1]:9464"}).metrics == ("::1", 9464)
    for wrong in ("on", "localhost", "1:", "99999", "0"):
        with pytest.raises(SettingsTrouble, match="FETTLE_METRICS"):
            read_settings({"FETTLE_METRICS": wrong})
