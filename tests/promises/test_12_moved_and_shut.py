"""Promise 12: a moved group is followed; a shut door is not knocked at."""

from __future__ import annotations

import pytest

from core.messages import Say
from core.roster import BREEDER, FAMILY
from shared.texts import text
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.faults import Status
from tests.stand_ins.serving import MAYA, TOM, Serving


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


async def test_blocked_is_blocked_and_others_go_on(api: BotApi, serving: Serving, number: int) -> None:
    serving.line.shut = "Forbidden: bot was blocked by the user"
    api.world.write(serving.line, MAYA, "how is Nugget?")
    await api.until(lambda: any(r.shut for r in serving.database.rooms_of(number)))
    api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks)
    serving.line.shut = ""
    api.world.write(serving.line, MAYA, "how is Nugget?")  # she writes: she let it in again
    await api.until(lambda: api.world.sent)


async def test_an_unknown_refusal_gives_up_one_message_and_no_chat(
    api: BotApi, serving: Serving, number: int
) -> None:
    api.fail("sendMessage", Status(403, "Forbidden: a new reason"))
    api.world.write(serving.line, MAYA, "how is Nugget?")
    await api.until(lambda: ("sendMessage", 403) in api.refused)
    api.world.write(serving.line, MAYA, "how is Juniper?")
    await api.until(lambda: api.world.sent)
    assert [s.text for s in api.world.sent] == ["Juniper: no weight yet."]


@pytest.mark.parametrize(
    ("method", "why"),
    [("shut", "Forbidden: bot was kicked from the group chat"), ("shut", "Forbidden: bot was blocked by the user")],
)
async def test_the_breeder_is_told_of_a_shut_door_and_nobody_knocks_there_again(
    api: BotApi, serving: Serving, number: int, method: str, why: str
) -> None:
    setattr(serving.family, method, why)

    def say(key: str, room: str) -> None:
        with serving.database.writing(number) as store:
            store.say([Say(key=key, room=room, text=key)], at=serving.clock.now())

    def knocks() -> int:
        return sum(method == "sendMessage" and given["chat_id"] == serving.family.id for method, given in api.calls)

    say("breakfast", FAMILY)
    await api.until(lambda: api.world.sent)
    assert [(s.chat, s.text) for s in api.world.sent] == [(MAYA.id, text("rooms.shut", room=FAMILY))]
    assert knocks() == 1
    say("dinner", FAMILY)
    say("for you", BREEDER)
    await api.until(lambda: len(api.world.sent) == 2)
    assert api.world.sent[-1].text == "for you" and knocks() == 1  # told once, and nothing more is tried
