"""What is said goes out through the real library over HTTP; the server's refusals come back sorted."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest
import telegram

from bot.chat.connecting import make_bot
from bot.chat.errors import BadToken, Moved, Passing, Refused, SendError, Shut
from bot.chat.sending import ALLOWED_MARKS, TelegramSender
from core.messages import Mark, Say
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.faults import Broken, Drop, Fault, Late, Status
from tests.stand_ins.world import Chat, User

MAYA = User(id=11, first="Maya")
PNG = b"\x89PNG\r\n\x1a\n" + b"0" * 100


@pytest.fixture
def sender(bot: telegram.Bot) -> TelegramSender:
    """The sender under test; it draws any chart as the same small picture."""
    return TelegramSender(bot, draw=lambda chat, what: PNG)


@pytest.fixture
def group(api: BotApi) -> Chat:
    """A group in which Maya has written message 1."""
    chat = api.world.group("Larkrise", chat=-100)
    api.world.write(chat, MAYA, "Nugget 9.4 kg")
    return chat


def _say(text: str = "Two meals a day.", **more: Any) -> Say:
    return Say(key="k", room="family", text=text, **more)


async def test_a_mark_is_a_reaction(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    assert await sender.send("-100", Mark(room="family", message="-100/1"), None) == ""
    assert [(m.chat, m.message, m.mark) for m in api.world.marks] == [(-100, 1, "✍")]
    assert api.world.sent == []


def test_our_mark_is_one_that_telegram_allows() -> None:
    """Bot API, ReactionTypeEmoji: 73 emoji; a tick is not among them."""
    assert Mark(room="family", message="").mark in ALLOWED_MARKS
    assert "✅" not in ALLOWED_MARKS and len(ALLOWED_MARKS) == 73


async def test_where_reactions_are_refused_the_mark_is_a_short_reply(
    api: BotApi, sender: TelegramSender, group: Chat
) -> None:
    group.reactions = False
    key = await sender.send("-100", Mark(room="family", message="-100/1"), None)
    assert [(s.text, s.reply_to) for s in api.world.sent] == [("✍", 1)] and key == "-100/2"


async def test_a_mark_outside_the_allowed_list_is_a_short_reply(
    api: BotApi, sender: TelegramSender, group: Chat
) -> None:
    await sender.send("-100", Mark(room="family", message="-100/1", mark="✅"), None)
    assert [(s.text, s.reply_to) for s in api.world.sent] == [("✅", 1)] and api.world.marks == []


async def test_a_mark_for_a_deleted_message_is_nothing(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    assert await sender.send("-100", Mark(room="family", message="-100/99"), None) == ""
    assert api.world.sent == [] and api.world.marks == []


async def test_an_answer_is_a_reply_in_its_topic(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    assert await sender.send("-100", _say(), "-100/1@7") == "-100/2@7"
    assert [(s.reply_to, s.thread) for s in api.world.sent] == [(1, 7)]


async def test_a_reply_to_a_press_goes_under_its_buttons(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    await sender.send("-100", _say(), "-100/1#9001")
    assert [s.reply_to for s in api.world.sent] == [1]


async def test_a_reply_to_a_deleted_message_is_still_said(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    await sender.send("-100", _say(), "-100/77")
    assert [(s.text, s.reply_to) for s in api.world.sent] == [("Two meals a day.", None)]


async def test_text_is_sent_as_it_is(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    text = "<b>'); DROP TABLE ledger;--</b> *_[x](y)_* @all ½ cup"
    await sender.send("-100", _say(text), None)
    assert api.world.sent[0].text == text
    given = dict(api.calls)["sendMessage"]
    assert "parse_mode" not in given and given["link_preview_options"] == {"is_disabled": True}


async def test_buttons_come_back_as_their_labels(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    long = "The big one with the white foot that we call Nugget of the north-eastern meadow, 9.4 kg"
    await sender.send("-100", _say("Which?", buttons=("Nugget", "Juniper")), None)
    await sender.send("-100", _say("Which?", buttons=(long, "no")), None)
    assert [s.buttons for s in api.world.sent] == [("Nugget", "Juniper"), (long, "no")]
    rows = [m["reply_markup"]["inline_keyboard"] for m in list(group.messages.values())[1:]]
    assert [len(r) for r in rows] == [1, 2]  # short labels side by side, long ones each in a row


async def test_a_long_answer_comes_in_parts_with_the_buttons_last(
    api: BotApi, sender: TelegramSender, group: Chat
) -> None:
    text = "\n".join(f"line {n} " + "🐾" * 40 for n in range(100))
    await sender.send("-100", _say(text, buttons=("ok",)), "-100/1")
    sent = api.world.sent
    assert len(sent) == 3 and "\n".join(s.text for s in sent) == text
    assert [s.buttons for s in sent] == [(), (), ("ok",)] and [s.reply_to for s in sent] == [1, None, None]


async def test_a_part_that_left_is_not_sent_again(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    text = "\n".join(f"line {n} " + "x" * 80 for n in range(100))
    api.fail("sendMessage", None, Status(429, "Too Many Requests: retry after 3", {"retry_after": 3}))
    with pytest.raises(Passing):
        await sender.send("-100", _say(text), None)
    await sender.send("-100", _say(text), None)
    assert "\n".join(s.text for s in api.world.sent) == text


async def test_a_chart_is_a_picture_with_its_caption(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    chart = _say("Nugget, 9 weeks of weights.", picture="growth:Nugget", buttons=("ok",))
    key = await sender.send("-100", chart, "-100/1")
    assert [(s.photo, s.text, s.reply_to, s.buttons) for s in api.world.sent] == [
        (PNG, "Nugget, 9 weeks of weights.", 1, ("ok",))
    ]
    assert key == "-100/2"


async def test_a_kept_photo_is_sent_by_its_name(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    api.world.photos["AgACAg"] = PNG
    await sender.send("-100", _say("Nugget, 9 weeks.", picture="photo:AgACAg"), None)
    assert [(s.photo, s.text) for s in api.world.sent] == [(PNG, "Nugget, 9 weeks.")]


async def test_a_photo_that_is_gone_keeps_no_words_back(api: BotApi, sender: TelegramSender, group: Chat) -> None:
    await sender.send("-100", _say("Nugget, 9 weeks.", picture="photo:gone"), None)
    assert [(s.photo, s.text) for s in api.world.sent] == [(b"", "Nugget, 9 weeks.")]


async def test_a_picture_that_cannot_be_drawn_keeps_no_words_back(
    api: BotApi, bot: telegram.Bot, group: Chat
) -> None:
    def draw(chat: str, what: str) -> bytes:
        raise ValueError(what)

    await TelegramSender(bot, draw=draw).send("-100", _say("Nugget, 9 weeks.", picture="growth:Nugget"), None)
    assert [(s.photo, s.text) for s in api.world.sent] == [(b"", "Nugget, 9 weeks.")]


async def test_words_too_long_for_a_caption_follow_the_picture(
    api: BotApi, sender: TelegramSender, group: Chat
) -> None:
    api.fail("sendMessage", Status(500))
    with pytest.raises(Passing):
        await sender.send("-100", _say("x" * 1025, picture="growth:Nugget"), None)
    await sender.send("-100", _say("x" * 1025, picture="growth:Nugget"), None)
    assert [(bool(s.photo), len(s.text)) for s in api.world.sent] == [(True, 0), (False, 1025)]


@pytest.mark.parametrize(
    ("fault", "kind", "more"),
    [
        (Status(429, "Too Many Requests: retry after 7", {"retry_after": 7}), Passing,
         {"retry_after": 7.0, "unclear": False}),
        (Status(500), Passing, {"retry_after": None, "unclear": False}),
        (Status(502, "Bad Gateway"), Passing, {"unclear": False}),
        (Drop(), Passing, {"unclear": True}),
        (Drop(done=True), Passing, {"unclear": True}),
        (Broken(), Passing, {"unclear": True}),
        (Status(403, "Forbidden: bot was blocked by the user"), Shut, {}),
        (Status(403, "Forbidden: bot was kicked from the supergroup chat"), Shut, {}),
        (Status(403, "Forbidden: user is deactivated"), Shut, {}),
        (Status(403, "Forbidden: bot can't initiate conversation with a user"), Shut, {}),
        (Status(403, "Forbidden: something new"), Refused, {}),
        (Status(400, "Bad Request: chat not found"), Shut, {}),
        (Status(400, "Bad Request: TOPIC_CLOSED"), Refused, {}),
        (Status(400, "Bad Request: group chat was upgraded to a supergroup chat", {"migrate_to_chat_id": -100200}),
         Moved, {"new_chat": "-100200"}),
        (Status(401, "Unauthorized"), BadToken, {}),
    ],
)
async def test_each_refusal_is_sorted_by_what_to_do_next(
    api: BotApi, sender: TelegramSender, group: Chat, fault: Fault, kind: type[SendError], more: dict[str, Any]
) -> None:
    api.fail("sendMessage", fault)
    with pytest.raises(kind) as caught:
        await sender.send("-100", _say(), None)
    assert {name: getattr(caught.value, name) for name in more} == more
    assert TOKEN not in str(caught.value)


async def test_an_answer_that_does_not_come_leaves_it_open(api: BotApi, group: Chat) -> None:
    async with make_bot(TOKEN, api.url) as bot:
        bot.request._client.timeout.read = 0.2  # type: ignore[attr-defined]
        api.fail("sendMessage", Late(0.6))
        with pytest.raises(Passing) as caught:
            await TelegramSender(bot).send("-100", _say(), None)
    assert caught.value.unclear and len(api.world.sent) == 1


async def test_a_server_that_is_not_there_surely_got_nothing() -> None:
    async with BotApi() as gone:
        url = gone.url
    bot = make_bot(TOKEN, url)
    await bot.request.initialize()
    with pytest.raises(Passing) as caught:
        await TelegramSender(bot).send("-100", _say(), None)
    assert not caught.value.unclear and TOKEN not in str(caught.value)
    await bot.request.shutdown()


async def test_after_an_upgrade_the_old_group_says_where_to_go(
    api: BotApi, sender: TelegramSender, group: Chat
) -> None:
    api.world.upgrade(group, -100200, MAYA)
    with pytest.raises(Moved) as caught:
        await sender.send("-100", _say(), "-100/1")
    assert await sender.send(caught.value.new_chat, _say(), "-100/1")
    assert [(s.chat, s.reply_to) for s in api.world.sent] == [(-100200, None)]


async def test_presses_are_answered_and_buttons_taken_away_as_far_as_can_be(
    api: BotApi, sender: TelegramSender, group: Chat
) -> None:
    key = await sender.send("-100", _say("Which?", buttons=("Nugget",)), None)
    api.fail("answerCallbackQuery", None, Status(400, "Bad Request: query is too old"))
    for press in ("1", "2"):
        await sender.answer_press(press)
    await sender.take_buttons_away(key)
    await sender.take_buttons_away(key)  # "message is not modified": no matter
    assert api.world.answered == ["1"] and "reply_markup" not in group.messages[2]


async def test_rooms_are_sent_to_side_by_side(api: BotApi, sender: TelegramSender) -> None:
    for n in range(10):
        api.world.group(f"g{n}", chat=-n - 1)
    api.fail("sendMessage", *[Late(0.3)] * 10)
    started = asyncio.get_running_loop().time()
    await asyncio.gather(*[sender.send(str(-n - 1), _say(), None) for n in range(10)])
    assert asyncio.get_running_loop().time() - started < 1.5


PDF = b"%PDF-1.3 a paper"


async def test_a_paper_is_a_file_with_its_caption(api: BotApi, bot: telegram.Bot, group: Chat) -> None:
    """The file goes up with its name; the words are its caption, and the answer is a reply."""
    sender = TelegramSender(bot, make=lambda chat, what: (f"{what}.pdf", PDF))
    key = await sender.send("-100", _say("Nugget's page for the vet.", document="vet-page", buttons=("ok",)), "-100/1")
    assert [(s.file, s.file_name, s.text, s.reply_to, s.buttons) for s in api.world.sent] == [
        (PDF, "vet-page.pdf", "Nugget's page for the vet.", 1, ("ok",))
    ]
    assert key == "-100/2"


async def test_words_too_long_for_a_caption_follow_the_file_once(
    api: BotApi, bot: telegram.Bot, group: Chat
) -> None:
    """After a failure between the two only the words are sent again."""
    sender = TelegramSender(bot, make=lambda chat, what: ("sheet.pdf", PDF))
    api.fail("sendMessage", Status(429, "Too Many Requests: retry after 3", {"retry_after": 3}))
    say = _say("A long sheet. " * 100, document="sheet")
    with pytest.raises(Passing):
        await sender.send("-100", say, None)
    await sender.send("-100", say, None)
    assert [(s.file, s.text) for s in api.world.sent] == [(PDF, ""), (b"", say.text)]


async def test_where_the_file_cannot_be_made_the_words_say_so(api: BotApi, bot: telegram.Bot, group: Chat) -> None:
    """Nobody is told that a paper is there while it is not."""
    def make(chat: str, what: str) -> tuple[str, bytes]:
        raise ValueError(what)

    await TelegramSender(bot, make=make).send("-100", _say("The vet's page.", document="vet"), None)
    assert [(s.file, s.text) for s in api.world.sent] == [
        (b"", "The vet's page.\nI could not make the paper. Please ask once more.")
    ]
