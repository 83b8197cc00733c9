"""Telegram's update to what happened; the JSON is in the form of core.telegram.org/bots/api, written from memory."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.chat.keys import parse
from bot.chat.updates import Added, Joined, Me, Removed, Upgraded, Wrote, address, translate
from tests.stand_ins.world import User, World

ME = Me(id=4242, username="fettle_test_bot")
MAYA = User(id=11, first="Maya", last="Holt", username="mayah")
TOM = User(id=12, first="Tom")


@pytest.fixture
def world() -> World:
    """A group with the bot in it, and nothing said yet."""
    world = World()
    world.allowed = ("message", "edited_message", "callback_query", "my_chat_member", "chat_member")
    world.group("Larkrise", chat=-100)
    return world


def _came(world: World) -> Any:
    return translate(world.updates[-1], ME)


def test_a_line_in_the_group(world: World) -> None:
    world.write(world.chats[-100], MAYA, "Nugget 9.4 kg")
    came = _came(world)
    assert isinstance(came, Wrote)
    assert (came.place.chat, came.place.private, came.place.title) == ("-100", False, "Larkrise")
    assert came.by.id == "11" and came.by.names() == ("Maya", "Maya Holt", "mayah")
    assert came.message.key == "-100/1" and came.message.text == "Nugget 9.4 kg" and came.message.edit == 0
    assert came.message.sent_at == datetime.fromtimestamp(1_780_000_000, UTC)
    assert came.start is None and not came.message.quoted


def test_an_edit_keeps_the_key_and_has_a_number_that_rises(world: World) -> None:
    chat = world.chats[-100]
    number = world.write(chat, MAYA, "Nugget 9.4 kg")
    seen = []
    for after in (0, 1, 7):
        world.edit(chat, number, f"Nugget 9.{after} kg", after=after)
        seen.append(_came(world).message)
    assert [m.key for m in seen] == ["-100/1"] * 3
    assert 0 < seen[0].edit < seen[1].edit < seen[2].edit
    assert {m.sent_at for m in seen} == {datetime.fromtimestamp(1_780_000_000, UTC)}


def test_a_photo_is_its_largest_size_and_its_caption(world: World) -> None:
    world.photo(world.chats[-100], MAYA, "ears half up")
    message = _came(world).message
    assert (message.picture, message.text) == ("photo-1280", "ears half up")
    world.photo(world.chats[-100], MAYA)
    assert (_came(world).message.picture, _came(world).message.text) == ("photo-1280", "")


def test_a_reply_names_what_it_answers_and_a_topic_is_kept(world: World) -> None:
    chat = world.chats[-100]
    world.write(chat, MAYA, "Nugget?")
    first = dict(chat.messages[1])
    world.write(chat, TOM, "yes", reply_to_message=first, message_thread_id=7, is_topic_message=True)
    message = _came(world).message
    assert message.reply_to == "-100/1@7" and message.key == "-100/2@7"
    assert parse(message.key).thread == 7  # type: ignore[union-attr]
    # In a topic each message "answers" the service line that opened it: that is no reply.
    opened = {**first, "forum_topic_created": {"name": "pups", "icon_color": 1}}
    world.write(chat, TOM, "hi", reply_to_message=opened, message_thread_id=7, is_topic_message=True)
    assert _came(world).message.reply_to is None


def test_forwarded_and_inline_words_are_not_the_sender_s_own(world: World) -> None:
    origin = {"type": "user", "date": 1_780_000_000, "sender_user": TOM.json()}
    world.write(world.chats[-100], MAYA, "Nugget 9.4 kg", forward_origin=origin)
    assert _came(world).message.quoted
    world.write(world.chats[-100], MAYA, "Nugget 9.4 kg", via_bot=User(1, "Other", is_bot=True).json())
    assert _came(world).message.quoted


def test_channels_bots_and_hidden_admins_are_nobody(world: World) -> None:
    chat = world.chats[-100]
    channel = {"id": -500, "type": "channel", "title": "News"}
    for user, more in (
        (User(1087968824, "Group", is_bot=True), {"sender_chat": chat.json()}),
        (User(777000, "Telegram"), {"sender_chat": channel, "is_automatic_forward": True}),
        (User(99, "Other", is_bot=True), {}),
    ):
        world.write(chat, user, "Nugget 9.4 kg", **more)
        assert _came(world) is None
    world._queue({"update_id": 1, "channel_post": {"message_id": 1, "date": 1, "chat": channel, "text": "Nugget 9 kg"}})
    assert _came(world) is None


def test_stickers_and_service_lines_are_nothing(world: World) -> None:
    for more in ({"sticker": {"file_id": "s", "file_unique_id": "s", "type": "regular", "width": 1, "height": 1,
                              "is_animated": False, "is_video": False}}, {"new_chat_title": "Larks"}):
        world.write(world.chats[-100], MAYA, "", **more)
        assert _came(world) is None


@pytest.mark.parametrize(
    ("typed", "text", "start"),
    [
        ("/start", "/start", ""),
        ("/start abc-_9", "/start abc-_9", "abc-_9"),
        ("/start@fettle_test_bot", "/start", ""),
        ("/help@Fettle_Test_Bot", "help", None),
        ("/whats_due today", "whats due today", None),
        ("@fettle_test_bot how is Nugget?", "how is Nugget?", None),
        ("@fettle_test_bot2 how is Nugget?", "@fettle_test_bot2 how is Nugget?", None),
        ("@fettle_test_bot, undo", "undo", None),
    ],
)
def test_commands_and_mentions_lose_the_bot_s_name(world: World, typed: str, text: str, start: str | None) -> None:
    world.write(world.chats[-100], MAYA, typed)
    assert (_came(world).message.text, _came(world).start) == (text, start)


def test_a_command_for_another_bot_is_not_ours(world: World) -> None:
    world.write(world.chats[-100], MAYA, "/start@other_bot")
    assert _came(world) is None


def test_a_press_gives_the_label(world: World) -> None:
    chat = world.chats[-100]
    buttons = [[{"text": "Nugget", "callback_data": "0"}, {"text": "Juniper", "callback_data": "1"}]]
    number = world.post(chat, {"text": "Which?", "reply_markup": {"inline_keyboard": buttons}})["message_id"]
    press = world.press(chat, number, "Juniper", TOM)
    came = _came(world)
    assert came.press == press and came.message.pressed == "Juniper" and came.message.text == ""
    assert came.message.reply_to == "-100/1" and came.message.key == f"-100/1#{press}"


def test_a_press_under_a_message_too_old_to_show_is_nothing(world: World) -> None:
    old = {"chat": world.chats[-100].json(), "message_id": 1, "date": 0}
    world._queue({"update_id": 5, "callback_query": {"id": "1", "from": TOM.json(), "chat_instance": "1",
                                                    "message": old, "data": "1"}})
    assert _came(world) is None


def test_comings_and_goings(world: World) -> None:
    chat = world.group("Fields", chat=-200, by=MAYA)
    came = _came(world)
    assert isinstance(came, Added) and came.place.chat == "-200" and came.by.id == "11"
    world.remove_bot(chat, TOM)
    assert isinstance(_came(world), Removed)
    world.join(chat, TOM)
    came = _came(world)
    assert isinstance(came, Joined) and came.who.first == "Tom"
    world.upgrade(chat, -100200, MAYA)
    assert [translate(u, ME) for u in world.updates[-2:]] == [Upgraded(old="-200", new="-100200")] * 2


def test_what_no_database_can_hold_is_taken_out(world: World) -> None:
    world.write(world.chats[-100], User(id=5, first="A\x00b"), "Nugget\x00 9\ud83d kg")
    came = _came(world)
    assert came.message.text == "Nugget 9? kg" and came.by.first == "Ab"
    came.message.text.encode()


_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(
        ["message", "chat", "id", "from", "text", "date", "photo", "message_id", "type", "edit_date", "data"]),
        inner, max_size=5),
    max_leaves=20,
)


@given(st.sampled_from(["message", "edited_message", "callback_query", "my_chat_member", "chat_member"]), _JSON)
def test_any_json_is_translated_or_refused_with_one_kind_of_error(kind: str, content: Any) -> None:
    address({"update_id": 1, kind: content})
    with suppress(ValueError):
        translate({"update_id": 1, kind: content}, ME)


def test_the_inbox_can_tell_updates_apart(world: World) -> None:
    chat = world.chats[-100]
    number = world.write(chat, MAYA, "Nugget 9.4 kg")
    world.edit(chat, number, "Nugget 9.5 kg", after=5)
    world.edit(chat, number, "Nugget 9.6 kg", after=5)  # a second edit in the same second
    buttons = [[{"text": "Nugget", "callback_data": "0"}]]
    asked = world.post(chat, {"text": "Which?", "reply_markup": {"inline_keyboard": buttons}})["message_id"]
    world.press(chat, asked, "Nugget", TOM)
    world.press(chat, asked, "Nugget", TOM)
    world.join(chat, TOM)
    seen = [address(u) for u in world.updates]
    assert len({(a.chat, a.message, a.edit, a.digest) for a in seen}) == len(seen) == 6
    assert {a.chat for a in seen} == {"-100"}
    assert [a.number for a in seen] == [str(u["update_id"]) for u in world.updates]
    again = address(world.updates[0] | {"update_id": 3})
    assert (again.chat, again.message, again.edit, again.digest) == (
        seen[0].chat, seen[0].message, seen[0].edit, seen[0].digest
    )


@pytest.mark.parametrize(
    ("name", "content", "table"),
    [("weights.csv", b"date,dog,kg\n", True), ("WEIGHTS.TSV", b"x", True), ("scan.pdf", b"x", False),
     ("big.csv", b"x" * 200_001, False), ("empty.csv", b"", False), ("csv", b"x", False)],
)  # fmt: skip
def test_a_table_is_known_by_its_name_and_size(world: World, name: str, content: bytes, table: bool) -> None:
    """A CSV of at most 200 kB is a table; another file without a caption is nothing, with one it is the caption."""
    world.document(world.chats[-100], MAYA, name, content)
    came = translate(world.updates[-1], ME)
    assert (isinstance(came, Wrote) and bool(came.table)) is table
    world.document(world.chats[-100], MAYA, name, content, caption="Nugget 9.4 kg")
    assert _came(world).message.text == "Nugget 9.4 kg" and bool(_came(world).table) is table
