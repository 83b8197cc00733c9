"""Who comes in and into which room, with the real database behind the door."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from bot.__main__ import main
from bot.chat.codes import shown
from bot.chat.door import PLATFORM, Door, Verdict
from bot.chat.updates import Me, translate
from bot.commands.telegram_book import TelegramBook
from bot.storage import Database
from bot.storage.codes import code_of
from core.messages import Say
from core.roster import BREEDER, FAMILY, Kennel, Person
from core.turns import Invite
from shared.texts import text
from tests.stand_ins.world import Chat, User, World

AT = datetime(2026, 7, 5, 6, 30, tzinfo=UTC)
SECRET = b"a secret for tests"
ME = Me(id=4242, username="fettle_test_bot")
MAYA = User(id=11, first="Maya")
TOM = User(id=12, first="Tom", username="tommo")
ANA = User(id=13, first="Ana")
ZED = User(id=14, first="Zed", username="zed")

KENNEL = Kennel(
    name="Larkrise",
    people=(
        Person(name="Maya", role="breeder"),
        Person(name="Tom", role="partner"),
        Person(name="Gran", role="gran", also=("Ruth",)),
        Person(name="Ana", role="buyer", dogs=("Juniper",)),
    ),
)


class House:
    """A door with a database behind it and a world before it."""

    def __init__(self, database: Database, *, deaf: bool = False) -> None:
        self.database = database
        self.world = World()
        self.book = TelegramBook(database)
        self.door = Door(self.book, deaf=deaf)
        self.at = AT

    def last(self) -> Verdict:
        """What the door says to the newest update."""
        came = translate(self.world.updates[-1], ME)
        assert came is not None
        return self.door.admit(came, self.at)

    def write(self, chat: Chat, user: User, text: str, **more: Any) -> Verdict:
        """Somebody writes; what the door says."""
        self.world.write(chat, user, text, **more)
        return self.last()

    def claim(self) -> Verdict:
        """Maya starts the bot with the code that `fettle serve` printed."""
        code = self.database.invites.claim_code(None, AT, SECRET)
        return self.write(self.world.private(MAYA), MAYA, f"/start {code}")

    def settled(self) -> int:
        """A kennel whose breeder and family group are bound; its number."""
        kennel = self.database.create_kennel(KENNEL)
        self.database.bind_account(PLATFORM, "11", kennel, "Maya")
        self.database.bind_room(PLATFORM, "11", kennel, BREEDER)
        self.world.group("Family", chat=-100)
        self.database.bind_room(PLATFORM, "-100", kennel, FAMILY)
        return kennel


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    """An empty Fettle."""
    with Database(f"sqlite:///{tmp_path / 'fettle.db'}") as database:
        yield House(database)


def test_the_code_claims_the_kennel(house: House) -> None:
    verdict = house.claim()
    assert verdict.kennel is not None and verdict.message is not None
    assert (verdict.message.room, verdict.message.sender, verdict.message.text) == (BREEDER, "Maya", "/start")
    breeder = house.book.kennel(verdict.kennel).breeder
    assert breeder is not None and breeder.name == "Maya"


@pytest.mark.parametrize("words", ["join {}", "{}", "Join: {}.", "code {}"])
def test_the_code_may_be_typed(house: House, words: str) -> None:
    code = shown(house.database.invites.claim_code(None, AT, SECRET))
    verdict = house.write(house.world.private(MAYA), MAYA, words.format(code.lower()))
    assert verdict.message is not None and verdict.message.text == "/start"


def test_without_the_code_nobody_claims(house: House) -> None:
    for words in ("/start", "hello", "/start abc", "join 123456"):
        assert house.write(house.world.private(MAYA), MAYA, words).stranger
    assert house.write(house.world.group("Family", chat=-100), MAYA, "/start").leave
    assert not house.database.kennels()


def test_a_bare_start_is_told_where_the_code_is(house: House) -> None:
    assert house.write(house.world.private(MAYA), MAYA, "/start").line == text("telegram.unclaimed")


def test_a_code_claims_once_and_ends_the_codes_of_other_starts(house: House) -> None:
    first, second = (house.database.invites.claim_code(None, AT, SECRET) for _ in range(2))
    house.write(house.world.private(MAYA), MAYA, f"/start {second}")
    for code in (first, second):
        verdict = house.write(house.world.private(ZED), ZED, f"/start {code}")
        assert verdict.stranger and verdict.line == text("invites.no_such")
    assert len(house.database.kennels()) == 1


def test_a_claim_that_was_cut_off_is_finished(house: House) -> None:
    """Killed after its one commit: the same message, seen again, ends in the same state."""
    verdict = house.claim()
    again = house.last()
    assert again.message == verdict.message and again.kennel == verdict.kennel
    assert len(house.database.kennels()) == 1


def test_a_kennel_from_a_file_is_claimed_by_its_own_code(house: House) -> None:
    kennel = house.database.create_kennel(KENNEL)
    code = house.database.invites.claim_code(kennel, AT, SECRET)
    verdict = house.write(house.world.private(User(id=77, first="M.")), User(id=77, first="M."), f"/start {code}")
    assert verdict.kennel == kennel and verdict.message is not None and verdict.message.sender == "Maya"


def test_the_breeder_opens_the_family_room(house: House) -> None:
    house.claim()
    house.world.group("Family", chat=-100, by=MAYA)
    verdict = house.last()
    assert [(s.room, s.text) for s in verdict.say] == [
        (FAMILY, text("telegram.hello")), (BREEDER, text("telegram.opened", group="Family"))
    ]
    room = house.database.room_of(PLATFORM, "-100")
    assert room is not None and room.room == FAMILY and not verdict.leave


def test_in_privacy_mode_the_breeder_is_told_how_to_mend_it() -> None:
    with Database("sqlite://") as database:
        house = House(database, deaf=True)
        house.claim()
        house.world.group("Family", chat=-100, by=MAYA)
        assert text("telegram.deaf") in [s.text for s in house.last().say if s.room == BREEDER]


def test_a_group_that_somebody_else_opens_is_left(house: House) -> None:
    house.settled()
    house.world.group("Strangers", chat=-200, by=ZED)
    verdict = house.last()
    assert verdict == Verdict(line=text("telegram.not_ours"), leave=True, stranger=True)
    assert house.write(house.world.chats[-200], ZED, "how is Nugget?").leave
    assert house.database.room_of(PLATFORM, "-200") is None


def test_a_second_group_of_the_breeder_takes_the_place_of_the_first(house: House) -> None:
    kennel = house.settled()
    house.world.group("New family", chat=-300, by=MAYA)
    house.last()
    assert [r.chat for r in house.database.rooms_of(kennel) if r.room == FAMILY] == ["-300"]


def test_a_helper_is_known_by_first_name_and_from_then_on_by_account(house: House) -> None:
    kennel = house.settled()
    family = house.world.chats[-100]
    verdict = house.write(family, TOM, "Nugget 9.4 kg")
    assert verdict.message is not None and (verdict.message.room, verdict.message.sender) == (FAMILY, "Tom")
    renamed = User(id=12, first="Thomas the Great")
    verdict = house.write(family, renamed, "Nugget 9.4 kg")
    assert verdict.message is not None and verdict.message.sender == "Tom"
    assert house.database.accounts_of(PLATFORM, kennel) == {"11": "Maya", "12": "Tom"}


def test_another_of_the_same_name_is_not_the_same_person(house: House) -> None:
    house.settled()
    family = house.world.chats[-100]
    house.write(family, TOM, "fed everyone")
    verdict = house.write(family, User(id=99, first="Tom"), "fed everyone")
    assert verdict.message is None and verdict.stranger and verdict.say[0].room == BREEDER


@pytest.mark.parametrize("name", ["Maya", "Ana"])
def test_a_name_alone_never_makes_a_breeder_or_a_buyer(house: House, name: str) -> None:
    house.settled()
    verdict = house.write(house.world.chats[-100], User(id=99, first=name), "Nugget 9.4 kg")
    assert verdict.message is None and verdict.stranger


def test_somebody_unknown_in_the_group_is_asked_about_with_buttons(house: House) -> None:
    kennel = house.settled()
    family = house.world.chats[-100]
    verdict = house.write(family, ZED, "Nugget 9.4 kg")
    assert verdict.message is None and verdict.stranger and not verdict.line and not verdict.leave
    (asked,) = verdict.say
    assert asked.buttons == ("Tom", "Gran", "Ana", text("telegram.nobody"))
    assert "Zed (@zed)" in asked.text and "9.4" not in asked.text
    assert house.write(family, ZED, "and again").say[0].key == asked.key  # once: the outbox takes a key once

    _said(house, kennel, asked, "11/5")
    private = house.world.private(MAYA)
    markup = {"inline_keyboard": [[{"text": b, "callback_data": str(i)} for i, b in enumerate(asked.buttons)]]}
    private.messages[5] = {"message_id": 5, "date": 1, "chat": private.json(), "text": asked.text,
                           "from": house.world.bot.json(), "reply_markup": markup}
    house.world.press(private, 5, "Gran", MAYA)
    verdict = house.last()
    assert verdict.message is None and [s.text for s in verdict.say] == [text("telegram.known", who="Gran")]
    verdict = house.write(family, ZED, "Nugget 9.4 kg")
    assert verdict.message is not None and verdict.message.sender == "Gran"


def _press(house: House, asked: Say, label: str) -> Verdict:
    """The breeder presses a button of a question that stands in her line."""
    private = house.world.private(MAYA)
    markup = {"inline_keyboard": [[{"text": b, "callback_data": str(i)} for i, b in enumerate(asked.buttons)]]}
    private.messages[5] = {"message_id": 5, "date": 1, "chat": private.json(), "text": asked.text,
                           "from": house.world.bot.json(), "reply_markup": markup}
    house.world.press(private, 5, label, MAYA)
    return house.last()


def test_an_old_question_gives_nobody_a_second_account(house: House) -> None:
    """Ana came in by her link meanwhile; the old button would give a stranger her line, and each saying twice."""
    kennel = house.settled()
    (asked,) = house.write(house.world.chats[-100], ZED, "hello").say
    _said(house, kennel, asked, "11/5")
    house.database.bind_account(PLATFORM, "13", kennel, "Ana")
    assert house.write(house.world.private(ANA), ANA, "hi").message is not None
    assert [s.text for s in _press(house, asked, "Ana").say] == [text("telegram.known_already", who="Ana")]
    assert house.database.accounts_of(PLATFORM, kennel) == {"11": "Maya", "13": "Ana"}
    assert house.write(house.world.private(ZED), ZED, "how is Juniper?").stranger
    assert [s.text for s in _press(house, asked, "Gran").say] == [text("telegram.known", who="Gran")]
    assert [s.text for s in _press(house, asked, "Gran").say] == [text("telegram.known", who="Gran")]  # the same press
    assert [s.text for s in _press(house, asked, "Tom").say] == [text("telegram.known_as", who="Gran")]
    assert house.database.accounts_of(PLATFORM, kennel) == {"11": "Maya", "13": "Ana", "14": "Gran"}


def test_a_room_is_one_chat(house: House) -> None:
    """Bound to another chat it is no more the first: what is said there is said once."""
    kennel = house.settled()
    for chat in ("13", "1300"):
        house.database.bind_room(PLATFORM, chat, kennel, "Ana")
    house.database.bind_room("terminal", "1 Ana", kennel, "Ana")
    with house.database.writing(kennel) as store:
        store.say([Say(key="s", room="Ana", text="hello")], at=AT)
    assert [p.chat for p in house.database.outbox.claim(AT, PLATFORM)] == ["1300"]
    assert house.database.room_of(PLATFORM, "13") is None and house.database.room_of("terminal", "1 Ana") is not None


@pytest.mark.parametrize("words", ["/start {}", "join {}", "{}"])
def test_an_invitation_of_another_kennel_is_no_call_for_help(house: House, words: str) -> None:
    """A chat has one room: the guest is told so, the breeder who invited too, and the link stays good."""
    house.settled()
    assert house.write(house.world.private(MAYA), MAYA, "hi").message is not None
    other, code = _other_kennel(house)
    verdict = house.write(house.world.private(MAYA), MAYA, words.format(code))
    assert verdict.message is None and verdict.line == text("invites.other_kennel", breeder="Bo") and verdict.stranger
    assert verdict.kennel == other and [s.room for s in verdict.say] == [BREEDER]
    found = house.database.invites.find(code, AT)
    assert found is not None and found.state == "open"
    verdict = house.write(house.world.private(ZED), ZED, f"/start {code}")  # from an account without a kennel it works
    assert house.database.person_of(PLATFORM, "14", other) == "Cleo"


def test_who_is_known_in_one_kennels_group_alone_may_come_into_another(house: House) -> None:
    kennel = house.settled()
    assert house.write(house.world.chats[-100], TOM, "hi").message is not None
    other, code = _other_kennel(house)
    house.write(house.world.private(TOM), TOM, f"/start {code}")
    assert house.database.homes_of(PLATFORM, "12") == ((kennel, "Tom"), (other, "Cleo"))
    assert house.write(house.world.chats[-100], TOM, "Nugget 9.4 kg").kennel == kennel
    assert house.write(house.world.private(TOM), TOM, "how is Bran?").kennel == other


def _other_kennel(house: House) -> tuple[int, str]:
    """Another kennel, and the code of an open invitation into it for a buyer."""
    people = (Person(name="Bo", role="breeder"), Person(name="Cleo", role="buyer", dogs=("Bran",)))
    number = house.database.create_kennel(Kennel(name="Fenmoor", people=people))
    with house.database.writing(number) as store:
        return number, code_of(SECRET, store.invite(Invite(person="Cleo", role="buyer"), AT, SECRET))


def _said(house: House, kennel: int, asked: Say, key: str) -> None:
    """The outbox as it is after the question went out."""
    with house.database.writing(kennel) as store:
        store.say([asked], at=AT)
    (parcel,) = house.database.outbox.claim(AT, platform=PLATFORM)
    house.database.outbox.sent(parcel.id, AT, key)


def test_a_person_who_joins_is_asked_about_before_they_write(house: House) -> None:
    house.settled()
    house.world.join(house.world.chats[-100], ZED, by=MAYA)
    assert [s.key for s in house.last().say] == ["who 14"]
    house.world.join(house.world.chats[-100], TOM, by=MAYA)
    assert house.last() == Verdict()


def test_who_came_by_the_groups_link_is_not_known_by_a_name(house: House) -> None:
    """A leaked link of the group and a borrowed first name open nothing: the breeder says who it is."""
    kennel = house.settled()
    house.world.join(house.world.chats[-100], TOM)
    (asked,) = house.last().say
    assert asked.key == "who 12" and "Tom" in asked.buttons
    with house.database.writing(kennel) as store:
        store.say([asked], at=AT)
    verdict = house.write(house.world.chats[-100], TOM, "Nugget 9.4 kg")
    assert verdict.message is None and verdict.stranger
    house.database.bind_account(PLATFORM, "12", kennel, "Tom")
    assert house.write(house.world.chats[-100], TOM, "Nugget 9.4 kg").message is not None


def test_strangers_in_private_get_one_line_a_day(house: House) -> None:
    house.settled()
    private = house.world.private(ZED)
    lines = []
    for hours in (0, 1, 2, 24):
        house.at = AT + timedelta(hours=hours)
        for words in ("how is Nugget?", "/start"):
            verdict = house.write(private, ZED, words)
            assert verdict.stranger and verdict.message is None and not verdict.say
            lines.append(verdict.line)
        house.door = Door(house.book)  # a restart forgets nothing
    assert [bool(line) for line in lines] == [True, False, False, False, False, False, True, False]
    with house.database.transaction(writes=False) as connection:
        assert len(connection.exec_driver_sql("SELECT account FROM turned_away").all()) == 1  # of that day alone


def test_a_buyer_who_starts_is_asked_about_and_then_has_a_line_of_their_own(house: House) -> None:
    kennel = house.settled()
    private = house.world.private(ANA)
    verdict = house.write(private, ANA, "/start")
    assert verdict.stranger and verdict.line and [s.key for s in verdict.say] == ["who 13"]
    house.database.bind_account(PLATFORM, "13", kennel, "Ana")
    verdict = house.write(private, ANA, "how is Juniper?")
    assert verdict.message is not None and (verdict.message.room, verdict.message.sender) == ("Ana", "Ana")


def test_access_that_ended_ends_the_private_line(house: House) -> None:
    kennel = house.settled()
    private = house.world.private(ANA)
    house.database.bind_account(PLATFORM, "13", kennel, "Ana")
    assert house.write(private, ANA, "hi").message is not None
    house.database.unbind_account(PLATFORM, "13", kennel)
    assert house.write(private, ANA, "how is Juniper?").stranger


def test_an_upgraded_group_is_the_same_room(house: House) -> None:
    house.settled()
    new = house.world.upgrade(house.world.chats[-100], -100200, TOM)
    for update in house.world.updates[-2:]:
        came = translate(update, ME)
        assert came is not None
        house.door.admit(came, AT)
    verdict = house.write(new, TOM, "fed everyone")
    assert verdict.message is not None and verdict.message.room == FAMILY
    assert verdict.message.key.startswith("-100200/")


def test_removed_and_let_in_again(house: House) -> None:
    kennel = house.settled()
    family = house.world.chats[-100]
    house.world.remove_bot(family, TOM)
    verdict = house.last()
    assert [s.room for s in verdict.say] == [BREEDER] and "Tom" in verdict.say[0].text
    assert house.database.room_of(PLATFORM, "-100").shut  # type: ignore[union-attr]
    house.world.group("Family", chat=-100, by=TOM)
    house.last()
    assert [r.shut for r in house.database.rooms_of(kennel)] == ["", ""]


def test_start_in_a_kennel_that_is_set_up_asks_for_help(house: House) -> None:
    house.settled()
    verdict = house.write(house.world.private(MAYA), MAYA, "/start")
    assert verdict.message is not None and verdict.message.text == text("telegram.start_means")


def test_a_press_is_dated_by_its_arrival(house: House) -> None:
    house.settled()
    family = house.world.chats[-100]
    markup = {"inline_keyboard": [[{"text": "yes", "callback_data": "0"}]]}
    number = house.world.post(family, {"text": "Nugget?", "reply_markup": markup})["message_id"]
    house.world.press(family, number, "yes", TOM)
    verdict = house.last()
    assert verdict.message is not None and verdict.message.sent_at == AT and verdict.message.pressed == "yes"


def test_a_further_kennel_is_begun_by_a_code_of_its_own(house: House, capsys: pytest.CaptureFixture[str]) -> None:
    """`fettle open`, while the bot runs; by another account, for a chat has one room."""
    kennel = house.settled()
    assert house.database.file is not None
    assert main(["open", "--db", str(house.database.file)]) == 0
    code = re.search(r"join (\S+)", capsys.readouterr().out)[1]  # type: ignore[index]
    told = house.write(house.world.private(MAYA), MAYA, f"join {code}")
    assert told.message is None and told.line == text("invites.other_kennel_own")
    begun = house.write(house.world.private(ZED), ZED, f"join {code}")
    assert begun.message is not None and (begun.message.room, begun.message.text) == (BREEDER, "/start")
    assert begun.kennel not in (None, kennel) and len(house.database.kennels()) == 2
    breeder = house.book.kennel(begun.kennel or 0).breeder
    assert breeder is not None and breeder.name == "Zed"
    assert house.write(house.world.private(TOM), TOM, f"join {code}").kennel is None  # once
