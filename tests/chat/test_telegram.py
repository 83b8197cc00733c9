"""The whole road over HTTP: python-telegram-bot's own code, the Bot API double, the real database."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator
from datetime import date
from pathlib import Path

import pytest

from bot.chat.errors import AnotherBot, BadToken
from core.entries import Weight
from core.roster import Dog
from shared.texts import text
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.faults import Broken, Drop, Late, Status
from tests.stand_ins.hearing import hear
from tests.stand_ins.serving import GRAN, MAYA, TOM, ZED, Serving, kennel
from tests.stand_ins.world import World

NUGGET = Dog(name="Nugget", sex="m", born=date(2026, 3, 8))
JUNIPER = Dog(name="Juniper", sex="f", born=date(2026, 3, 8))


@pytest.fixture
async def serving(api: BotApi, tmp_path: Path) -> AsyncIterator[Serving]:
    """The bot, running on an empty database with a conversation that can be foretold."""
    async with Serving(api, tmp_path / "fettle.db", hear) as running:
        yield running


@pytest.fixture
def number(serving: Serving) -> int:
    """The number of a kennel with Nugget and Juniper, its rooms bound."""
    return serving.settle(kennel(NUGGET, JUNIPER))


def _weights(serving: Serving, number: int) -> list[tuple[str, str, float, bool]]:
    return [(p.by, p.entry.dog, p.entry.kg, p.counts) for p in serving.book(number) if isinstance(p.entry, Weight)]


async def test_a_line_in_the_group_is_marked_and_in_the_book(api: BotApi, serving: Serving, number: int) -> None:
    written = api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks)
    assert [(m.chat, m.message, m.mark) for m in api.world.marks] == [(-100, written, "✍")]
    assert _weights(serving, number) == [("Tom", "Nugget", 9.4, True)]
    kept = serving.message(number, f"-100/{written}")
    assert kept is not None and kept.text == "Nugget 9.4 kg"
    assert api.world.sent == []  # a mark, and nothing said


async def test_a_question_is_answered_by_a_reply(api: BotApi, serving: Serving, number: int) -> None:
    api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    asked = api.world.write(serving.family, GRAN, "how is Nugget?")
    await api.until(lambda: api.world.sent)
    assert [(s.chat, s.text, s.reply_to) for s in api.world.sent] == [(-100, "Nugget: 9.4 kg.", asked)]


async def test_chatter_costs_nothing(api: BotApi, serving: Serving, number: int) -> None:
    api.world.write(serving.family, TOM, "who is picking up milk?")
    last = api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks)
    assert [m.message for m in api.world.marks] == [last] and api.world.sent == []


async def test_the_breeder_sets_up_in_private_and_opens_the_family_room(api: BotApi, serving: Serving) -> None:
    api.world.write(serving.line, MAYA, "/start")
    await api.until(lambda: api.world.sent)
    assert (api.world.sent[0].chat, api.world.sent[0].text) == (MAYA.id, "Welcome. What is the kennel called?")
    api.world.group("Our family", chat=-777, by=MAYA)
    await api.until(lambda: len(api.world.sent) == 3)
    assert {(s.chat, s.text) for s in api.world.sent[1:]} == {
        (-777, text("telegram.hello")), (MAYA.id, text("telegram.opened", group="Our family"))
    }


async def test_a_button_is_pressed_and_the_buttons_go(api: BotApi, serving: Serving, number: int) -> None:
    api.world.write(serving.family, TOM, "which?")
    await api.until(lambda: api.world.sent)
    press = api.world.press(serving.family, api.world.sent[0].message, "Juniper", TOM)
    await api.until(lambda: len(api.world.sent) == 2 and api.world.answered)
    assert api.world.sent[1].text == "You pressed Juniper." and api.world.answered == [press]
    await api.until(lambda: "reply_markup" not in serving.family.messages[api.world.sent[0].message])


async def test_an_edit_takes_the_place_of_what_it_gave(api: BotApi, serving: Serving, number: int) -> None:
    written = api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    api.world.edit(serving.family, written, "Nugget 9.6 kg", after=4)
    api.world.edit(serving.family, written, "Nugget 9.5 kg", after=4)  # in the same second
    await api.until(lambda: len(_weights(serving, number)) == 3)
    assert [(kg, counts) for _, _, kg, counts in _weights(serving, number)] == [
        (9.4, False), (9.6, False), (9.5, True)
    ]


async def test_somebody_unknown_is_not_recorded_and_asked_about_once(
    api: BotApi, serving: Serving, number: int
) -> None:
    for words in ("Nugget 9.4 kg", "Nugget 9.5 kg", "how is Nugget?"):
        api.world.write(serving.family, ZED, words)
    api.world.write(serving.family, TOM, "Juniper 8 kg")
    await api.until(lambda: api.world.marks and api.world.sent)
    assert [(s.chat, s.buttons) for s in api.world.sent] == [(MAYA.id, ("Tom", "Gran", text("telegram.nobody")))]
    assert _weights(serving, number) == [("Tom", "Juniper", 8.0, True)]
    assert "9.5" not in _everything(serving)  # not even in the inbox
    api.world.press(serving.line, api.world.sent[0].message, "Gran", MAYA)
    await api.until(lambda: len(api.world.sent) == 2)
    api.world.write(serving.family, ZED, "Nugget 9.6 kg")
    await api.until(lambda: len(_weights(serving, number)) == 2)
    assert _weights(serving, number)[1] == ("Gran", "Nugget", 9.6, True)


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


async def test_one_bad_message_stops_no_other(
    api: BotApi, serving: Serving, number: int, caplog: pytest.LogCaptureFixture
) -> None:
    api.world._queue({"update_id": 5, "message": {"message_id": "x", "chat": 7}})
    api.world.write(serving.family, TOM, "break")
    api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks and api.world.sent)
    assert api.world.sent[0].chat == MAYA.id and "break" in api.world.sent[0].text
    assert len(serving.database.inbox.set_aside()) == 2
    assert "broken on purpose" not in caplog.text


async def test_after_an_upgrade_of_the_group_all_goes_on(api: BotApi, serving: Serving, number: int) -> None:
    api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks)
    new = api.world.upgrade(serving.family, -100200, TOM)
    api.world.write(new, TOM, "how is Nugget?")
    await api.until(lambda: api.world.sent)
    assert [(s.chat, s.text) for s in api.world.sent] == [(-100200, "Nugget: 9.4 kg.")]


async def test_an_answer_on_its_way_follows_the_group_that_moved(api: BotApi, serving: Serving, number: int) -> None:
    """The send is refused with the new id, before any update has told of it."""
    api.fail("getUpdates", None)
    serving.family.moved_to = -100200
    api.world.chats[-100200] = api.world.group("Family", chat=-100200, supergroup=True)
    api.world.write(serving.family, TOM, "how is Nugget?")
    await api.until(lambda: api.world.sent)
    assert [(s.chat, s.text) for s in api.world.sent] == [(-100200, "Nugget: no weight yet.")]


async def test_a_photo_counts_with_its_caption(api: BotApi, serving: Serving, number: int) -> None:
    written = api.world.photo(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks)
    kept = serving.message(number, f"-100/{written}")
    assert kept is not None and (kept.picture, kept.text) == ("photo-1280", "Nugget 9.4 kg")


@pytest.mark.parametrize(
    ("fault", "copies"),
    [(Status(500), 1), (Status(429, "Too Many Requests", {"retry_after": 1}), 1), (Drop(), 1),
     (Drop(done=True), 2), (Broken(), 2)],
)
async def test_an_answer_arrives_whatever_happens_to_it_once_more_only_where_nobody_can_know(
    api: BotApi, serving: Serving, number: int, fault: Status | Drop | Broken, copies: int
) -> None:
    api.fail("sendMessage", fault)
    api.world.write(serving.family, TOM, "how is Nugget?")
    await api.until(lambda: len(api.world.sent) == copies)
    await asyncio.sleep(0.1)
    assert [s.text for s in api.world.sent] == ["Nugget: no weight yet."] * copies


async def test_a_slow_answer_holds_up_nobody_else(api: BotApi, serving: Serving, number: int) -> None:
    api.fail("sendMessage", Late(1.0))
    api.world.write(serving.line, MAYA, "how is Nugget?")
    await api.until(lambda: api.world.sent)
    api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: _weights(serving, number), seconds=0.8)


async def test_blocked_is_blocked_and_others_go_on(api: BotApi, serving: Serving, number: int) -> None:
    serving.line.shut = "Forbidden: bot was blocked by the user"
    api.world.write(serving.line, MAYA, "how is Nugget?")
    await api.until(lambda: any(r.shut for r in serving.database.rooms_of(number)))
    api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks)
    serving.line.shut = ""
    api.world.write(serving.line, MAYA, "how is Nugget?")  # she writes: she let it in again
    await api.until(lambda: api.world.sent)


async def test_privacy_mode_is_told_to_the_breeder(tmp_path: Path) -> None:
    async with BotApi(World(privacy=True)) as api:
        serving = Serving(api, tmp_path / "fettle.db", hear)
        serving.database.open()
        serving.settle(kennel(NUGGET))
        async with serving:
            await api.until(lambda: api.world.sent)
            assert [(s.chat, s.text) for s in api.world.sent] == [(MAYA.id, text("telegram.deaf"))]
            await serving.stop()
            serving.family.bot_is_admin = True
            await serving.start()
        assert len(api.world.sent) == 1


async def test_a_bad_token_ends_it_with_one_sentence(api: BotApi, tmp_path: Path) -> None:
    api.token = "1:another"
    serving = Serving(api, tmp_path / "fettle.db", hear)
    serving.database.open()
    await serving.start()
    with pytest.raises(BadToken, match="FETTLE_TOKEN") as caught:
        await serving.stop()
    assert TOKEN not in str(caught.value)


async def test_a_second_bot_ends_the_first_with_one_sentence(
    api: BotApi, serving: Serving, tmp_path: Path
) -> None:
    async with Serving(api, tmp_path / "other.db", hear):
        with pytest.raises(AnotherBot, match="Another bot is running"):
            await serving.stop()
        serving._task = None


async def test_a_token_is_in_no_log(
    api: BotApi, serving: Serving, number: int, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO):
        api.fail("sendMessage", Status(500), Status(403, "Forbidden: odd"))
        api.fail("getUpdates", Status(502), Broken())
        api.world.write(serving.family, TOM, "how is Nugget?")
        await api.until(lambda: ("sendMessage", 403) in api.refused, seconds=8)
    ours = [r for r in caplog.records if r.name.startswith(("bot.", "telegram"))]
    assert ours and not [r for r in ours if TOKEN in r.getMessage() or "Nugget" in r.getMessage()]
