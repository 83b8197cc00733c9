"""Promise 31: only people's own words are notes: forwarded, via another bot, from a channel or an anonymous
administrator they are nobody's; a quote in a reply is not said again; a caption counts as the sender's own.

How each looks in Telegram's JSON is in `tests/chat/test_updates.py`; here they travel the whole road with the real
conversation.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from core.roster import Dog
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.serving import FAMILY_CHAT, TOM, Serving, kennel
from tests.stand_ins.world import User

NUGGET = Dog(name="Nugget", sex="m", born=date(2025, 11, 8))
OTHER = {"id": 99, "is_bot": False, "first_name": "Somebody"}
BOT = {"id": 98, "is_bot": True, "first_name": "Gif", "username": "gif_bot"}
CHANNEL = {"id": -1009, "type": "channel", "title": "News"}
GROUP = {"id": FAMILY_CHAT, "type": "supergroup", "title": "Family"}
NOT_OWN: dict[str, dict[str, Any]] = {
    "forwarded from a person": {"forward_origin": {"type": "user", "date": 1, "sender_user": OTHER}},
    "forwarded from somebody hidden": {"forward_origin": {"type": "hidden_user", "date": 1, "sender_user_name": "X"}},
    "forwarded from a channel": {
        "forward_origin": {"type": "channel", "date": 1, "chat": CHANNEL, "message_id": 5}
    },
    "via another bot": {"via_bot": BOT},
    "an anonymous administrator": {"sender_chat": GROUP},
    "a channel that writes in the group": {"sender_chat": CHANNEL},
    "a channel's post in its group": {"sender_chat": CHANNEL, "is_automatic_forward": True},
}


@pytest.mark.parametrize("how", NOT_OWN)
@pytest.mark.parametrize("words", ["Nugget 9.4 kg", "Nugget ate chocolate", "undo", "invite Zed as a helper"])
async def test_words_that_are_not_their_own_make_no_note(tmp_path: Path, how: str, words: str) -> None:
    async with BotApi() as api, Serving(api, tmp_path / "a.db", None) as serving:
        number = serving.settle(kennel(NUGGET))
        serving.database.bind_account("telegram", str(TOM.id), number, "Tom")
        api.world.write(serving.family, TOM, words, **NOT_OWN[how])
        own = api.world.write(serving.family, TOM, "Nugget 8.8 kg")
        await api.until(lambda: api.world.marks)
        assert [m.message for m in api.world.marks] == [own] and not api.world.sent
        assert [kg for _, _, kg, _ in serving.weights(number)] == [8.8]


async def test_another_bot_in_the_group_is_not_heard(tmp_path: Path) -> None:
    async with BotApi() as api, Serving(api, tmp_path / "a.db", None) as serving:
        number = serving.settle(kennel(NUGGET))
        api.world.write(serving.family, User(id=98, first="Tom", is_bot=True), "Nugget 9.4 kg")
        api.world.write(serving.family, TOM, "Nugget 8.8 kg")
        await api.until(lambda: api.world.marks)
        assert [kg for _, _, kg, _ in serving.weights(number)] == [8.8]


async def test_a_quote_is_not_said_again_and_a_caption_is_their_own(tmp_path: Path) -> None:
    async with BotApi() as api, Serving(api, tmp_path / "a.db", None) as serving:
        number = serving.settle(replace(kennel(NUGGET)))
        first = api.world.write(serving.family, TOM, "Nugget 8.8 kg")
        await api.until(lambda: api.world.marks)
        earlier = {k: v for k, v in serving.family.messages[first].items() if k != "reply_to_message"}
        quote = {"reply_to_message": earlier, "quote": {"text": "Nugget 8.8 kg", "position": 0}}
        api.world.write(serving.family, TOM, "lovely", **quote)
        api.world.photo(serving.family, TOM, "Nugget ears half up")
        await api.until(lambda: len(api.world.marks) == 2)
        assert [p.entry.kind for p in serving.book(number)] == ["weight", "ears", "photo"]
