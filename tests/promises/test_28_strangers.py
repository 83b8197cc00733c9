"""Promises 28 and 29: strangers get nothing; who is in the group but not known is not recorded."""

from __future__ import annotations

from shared.texts import text
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.serving import MAYA, TOM, ZED, Serving


async def test_somebody_unknown_is_not_recorded_and_asked_about_once(
    api: BotApi, serving: Serving, number: int
) -> None:
    for words in ("Nugget 9.4 kg", "Nugget 9.5 kg", "how is Nugget?"):
        api.world.write(serving.family, ZED, words)
    api.world.write(serving.family, TOM, "Juniper 8 kg")
    await api.until(lambda: api.world.marks and api.world.sent)
    assert [(s.chat, s.buttons) for s in api.world.sent] == [(MAYA.id, ("Tom", "Gran", text("telegram.nobody")))]
    assert serving.weights(number) == [("Tom", "Juniper", 8.0, True)]
    assert "9.5 kg" not in _everything(serving)  # not even in the inbox
    api.world.press(serving.line, api.world.sent[0].message, "Gran", MAYA)
    await api.until(lambda: len(api.world.sent) == 2)
    api.world.write(serving.family, ZED, "Nugget 9.6 kg")
    await api.until(lambda: len(serving.weights(number)) == 2)
    assert serving.weights(number)[1] == ("Gran", "Nugget", 9.6, True)


def _everything(serving: Serving) -> str:
    """Every row of every table as text."""
    with serving.database.transaction(writes=False) as connection:
        driver = connection.connection.driver_connection
        assert driver is not None
        return "\n".join(driver.iterdump())


async def test_a_strange_group_gets_one_line_and_is_left(api: BotApi, serving: Serving, number: int) -> None:
    other = api.world.group("Others", chat=-200, by=ZED)
    await api.until(lambda: api.world.left)
    assert [(s.chat, s.text) for s in api.world.sent] == [(-200, text("telegram.not_ours"))] and other.shut


async def test_a_stranger_in_private_gets_one_line(api: BotApi, serving: Serving, number: int) -> None:
    private = api.world.private(ZED)
    for words in ("/start", "how is Nugget?", "undo"):
        api.world.write(private, ZED, words)
    await api.until(lambda: not api.world.updates)
    api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks)
    assert [(s.chat, s.text) for s in api.world.sent] == [(ZED.id, text("strangers.one_line"))]
    assert "how is Nugget?" not in _everything(serving)
