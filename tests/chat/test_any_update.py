"""Whatever a server sends in the shape of the Bot API, the handler settles it, keeps the kennel and goes on."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.chat.door import PLATFORM, Door
from bot.chat.updates import Me
from bot.commands.intake import Intake
from bot.commands.telegram_book import TelegramBook
from bot.scheduling.clock import SetClock
from bot.storage import Database
from bot.turn import Turns
from core.roster import BREEDER, FAMILY
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.fixtures import NUGGET
from tests.stand_ins.hearing import hear
from tests.stand_ins.serving import TOM, Serving, kennel

AT = datetime(2026, 7, 5, 6, 30, tzinfo=UTC)

# Fields of the Bot API's types (core.telegram.org/bots/api, from memory), with values as documented and others.
_odd = st.none() | st.booleans() | st.integers(-(2**70), 2**70) | st.floats() | st.text(max_size=9) | st.just([])
_words = ["Nugget 9.4 kg", "/start", "/start x", "join 12345", "how is Nugget?", "undo", "break", "", "yes", "\ud800",
          "/start@fettle_test_bot", "erase the kennel"]  # fmt: skip
_text = st.sampled_from(_words) | st.text(max_size=30)
_user = st.fixed_dictionaries(
    {"id": st.sampled_from([11, 12, 14, 4242]) | _odd, "is_bot": st.booleans(), "first_name": st.text(max_size=9)},
    optional={"last_name": _odd, "username": _odd, "language_code": _odd},
)
_chat = st.fixed_dictionaries(
    {"id": st.sampled_from([11, 12, 14, -100, -200]) | _odd,
     "type": st.sampled_from(["private", "group", "supergroup", "channel", "sender"]) | _odd},
    optional={"title": _odd, "is_forum": st.booleans()},
)  # fmt: skip
_photo = st.fixed_dictionaries({"file_id": st.text(max_size=5), "file_unique_id": st.text(max_size=5)},
                               optional={"width": _odd, "height": _odd, "file_size": _odd})  # fmt: skip
_content: dict[str, st.SearchStrategy[Any]] = {
    "from": _user, "text": _text, "caption": _text, "photo": st.lists(_photo, max_size=2), "edit_date": _odd,
    "message_thread_id": _odd, "is_topic_message": st.booleans(), "sender_chat": _chat, "via_bot": _user,
    "new_chat_members": st.lists(_user, max_size=2), "migrate_to_chat_id": _odd, "migrate_from_chat_id": _odd,
    "document": _odd, "entities": _odd, "reply_markup": _odd, "forward_origin": _odd,
}  # fmt: skip
_message = st.fixed_dictionaries(
    {"message_id": st.integers(1, 50) | _odd, "date": st.integers(0, 2**33) | _odd, "chat": _chat},
    optional=_content,
)
_member = st.fixed_dictionaries({"user": _user, "status": st.sampled_from(["member", "left", "kicked", "x"]) | _odd})
_changed = st.fixed_dictionaries(
    {"chat": _chat, "from": _user, "date": st.integers(0, 2**33)}
    | dict.fromkeys(("old_chat_member", "new_chat_member"), _member)
)
_pressed = st.fixed_dictionaries(
    {"id": st.text(max_size=5), "from": _user, "chat_instance": st.text(max_size=3)},
    optional={"message": _message, "data": _odd},
)
_update = st.one_of(
    st.fixed_dictionaries({"message": _message}), st.fixed_dictionaries({"edited_message": _message}),
    st.fixed_dictionaries({"callback_query": _pressed}), st.fixed_dictionaries({"my_chat_member": _changed}),
    st.fixed_dictionaries({"chat_member": _changed}), st.dictionaries(st.text(max_size=9), _odd, max_size=3),
)  # fmt: skip


class Silent:
    """A sender that sends nothing."""

    def __getattr__(self, name: str) -> Any:
        async def nothing(*given: Any, **more: Any) -> str:
            return ""

        return nothing


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(_update, min_size=1, max_size=6))
def test_any_update_is_settled_and_the_next_is_heard(updates: list[dict[str, Any]]) -> None:
    asyncio.run(_settled(updates))


async def _settled(updates: list[dict[str, Any]]) -> None:
    with Database("sqlite://") as database:
        number = database.create_kennel(kennel(NUGGET))
        database.bind_account(PLATFORM, "11", number, "Maya")
        database.bind_room(PLATFORM, "11", number, BREEDER)
        database.bind_room(PLATFORM, "-100", number, FAMILY)
        clock = SetClock(AT)
        intake = Intake(
            database, Turns(database, hear=hear), Door(TelegramBook(database)), Silent(), clock,  # type: ignore[arg-type]
            Me(id=4242, username="fettle_test_bot"),
        )
        good = {"message_id": 999, "date": int(AT.timestamp()), "chat": {"id": 11, "type": "private"},
                "from": {"id": 11, "is_bot": False, "first_name": "Maya"}, "text": "Nugget 8.8 kg"}  # fmt: skip
        for n, raw in enumerate((*updates, {"message": good})):
            await intake.take_in({"update_id": n, **raw})
        while await intake._some(asyncio.Event()):
            pass
        assert not database.inbox.waiting(PLATFORM)
        with database.reading(number) as store:
            kept = store.load_kennel()
            posted = store.load_book().history()
        assert kept.breeder is not None and kept.breeder.name == "Maya"
        room = database.room_of(PLATFORM, "11")
        assert room is None or room.kennel == number
        if room is not None and room.room == BREEDER and not room.shut:
            assert any(p.by == "Maya" and p.message.startswith("11/999") for p in posted)
        # Only those who are known are in the book.
        assert {p.by for p in posted} <= {"Maya", "Tom", "Gran"}


async def test_an_answer_stays_in_its_topic(api: BotApi, serving: Serving, number: int) -> None:
    """A supergroup with topics: the reply goes where it was asked; what Fettle starts by itself does not."""
    serving.database.bind_account(PLATFORM, str(TOM.id), number, "Tom")
    asked = api.world.write(serving.family, TOM, "how is Nugget?", message_thread_id=7, is_topic_message=True)
    await api.until(lambda: api.world.sent)
    assert [(s.thread, s.reply_to) for s in api.world.sent] == [(7, asked)]


async def test_a_person_renamed_in_telegram_is_the_same_person(api: BotApi, serving: Serving, number: int) -> None:
    api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks)
    api.world.write(serving.family, replace(TOM, first="Gran", username="somebody_else"), "Nugget 9.5 kg")
    await api.until(lambda: len(api.world.marks) == 2)
    assert [by for by, _, _, _ in serving.weights(number)] == ["Tom", "Tom"]
