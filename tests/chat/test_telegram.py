"""The whole road over HTTP: python-telegram-bot's own code, the Bot API double, the real database."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from bot.chat.errors import AnotherBot
from shared.texts import text
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.faults import Broken, Drop, Late, Status
from tests.stand_ins.hearing import hear
from tests.stand_ins.serving import GRAN, MAYA, TOM, Serving


async def test_a_line_in_the_group_is_marked_and_in_the_book(api: BotApi, serving: Serving, number: int) -> None:
    written = api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks)
    assert [(m.chat, m.message, m.mark) for m in api.world.marks] == [(-100, written, "✍")]
    assert serving.weights(number) == [("Tom", "Nugget", 9.4, True)]
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
    code = serving.database.invites.claim_code(None, serving.clock.now(), b"a secret for tests")
    api.world.write(serving.line, MAYA, f"/start {code}")
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
    await api.until(lambda: len(serving.weights(number)) == 3)
    assert [(kg, counts) for _, _, kg, counts in serving.weights(number)] == [
        (9.4, False), (9.6, False), (9.5, True)
    ]


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
    await api.until(lambda: serving.weights(number), seconds=0.8)


async def test_a_second_bot_ends_the_first_with_one_sentence(
    api: BotApi, serving: Serving, tmp_path: Path
) -> None:
    async with Serving(api, tmp_path / "other.db", hear):
        # The first learns of it by the refusal of its next call; on a busy machine that takes a moment.
        await api.until(lambda: serving._task is not None and serving._task.done())
        with pytest.raises(AnotherBot, match="Another bot is running"):
            await serving.stop()
        serving._task = None
