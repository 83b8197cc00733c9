"""What `hear` keeps and says for readings made by hand: marks, doubts, corrections, edits, undo, second bowls."""

from __future__ import annotations

from datetime import date

from core.entries import Doubt, Entry, Meal, Progesterone, Question, Reading, Weight
from tests.conversation.hand_read import Hand, marks, told, words

ON = date(2026, 3, 14)


def weight(dog: str, kg: float, replaces: bool = False) -> Weight:
    return Weight(dog=dog, on=ON, kg=kg, replaces=replaces)


def today(hand: Hand, dog: str, *kinds: type[Entry]) -> list[Entry]:
    return [p.entry for p in hand.house.ledger.of(dog, *kinds, since=ON)]


def test_a_record_gets_one_mark_and_no_word() -> None:
    hand = Hand()
    turn = hand.says("Maya", "w", told(weight("Nugget", 9.4)))
    assert marks(turn) == 1 and not words(turn)
    assert today(hand, "Nugget", Weight) == [weight("Nugget", 9.4)]


def test_small_talk_gets_nothing() -> None:
    turn = Hand().says("Wren", "who's getting milk", Reading())
    assert turn.out == () and turn.posts == () and not turn.memory


def test_half_understood_is_no_mark_and_one_question() -> None:
    hand = Hand()
    doubt = Doubt(about="value", entry=weight("Nugget", 94), choices=("9.4",))
    turn = hand.says("Wren", "w", Reading(entries=(weight("Juniper", 8.1),), doubts=(doubt,)))
    assert marks(turn) == 0
    assert words(turn) == [("family", "Nugget, 9.4 kg?")]
    assert len(words(turn)[0][1].split()) < 8
    assert today(hand, "Juniper", Weight) and not today(hand, "Nugget", Weight)
    turn = hand.says("Wren", "", presses="yes")
    assert marks(turn) == 1 and today(hand, "Nugget", Weight) == [weight("Nugget", 9.4)]


def test_a_typed_yes_works_as_the_button_does_and_only_once() -> None:
    hand = Hand()
    hand.says("Wren", "w", Reading(doubts=(Doubt(about="value", entry=weight("Nugget", 94), choices=("9.4",)),)))
    assert marks(hand.says("Wren", "yes")) == 1
    assert hand.says("Wren", "yes").out == ()
    assert len(today(hand, "Nugget", Weight)) == 1


def test_another_person_does_not_answer_by_talking() -> None:
    hand = Hand()
    hand.says("Wren", "w", Reading(doubts=(Doubt(about="value", entry=weight("Nugget", 94), choices=("9.4",)),)))
    assert hand.says("Tom", "yes").out == ()


def test_which_dog_is_answered_by_name() -> None:
    hand = Hand()
    turn = hand.says("Wren", "9.4", Reading(doubts=(Doubt(about="dog", entry=weight("", 9.4), choices=("Nugget",)),)))
    assert words(turn) == [("family", "Which dog?")]
    hand.readings["Nugget 9.4"] = told(weight("Nugget", 9.4))
    assert marks(hand.says("Wren", "nug")) == 1
    assert today(hand, "Nugget", Weight) == [weight("Nugget", 9.4)]


def test_a_blood_test_without_unit_is_kept_and_asked_about() -> None:
    hand = Hand()
    turn = hand.says("Maya", "p", told(Progesterone(dog="Sorrel", on=ON, value=5.8)))
    assert words(turn) == [("family", "ng/ml?")] and marks(turn) == 0
    assert marks(hand.says("Maya", "yes")) == 1
    assert next(e for e in today(hand, "Sorrel", Progesterone) if isinstance(e, Progesterone)).unit == "ng/ml"
    assert len(today(hand, "Sorrel", Progesterone)) == 1


def test_a_correction_takes_the_place_of_the_last_value() -> None:
    hand = Hand()
    hand.says("Wren", "a", told(weight("Nugget", 9.4)))
    assert marks(hand.says("Wren", "b", told(weight("Nugget", 9.2, True)))) == 1
    assert [e.kg for e in today(hand, "Nugget", Weight) if isinstance(e, Weight)] == [9.2]


def test_meant_another_dog_moves_the_entry() -> None:
    hand = Hand()
    hand.says("Wren", "a", told(weight("Nugget", 8.4)))
    hand.says("Wren", "b", told(weight("Juniper", 8.4, True)))
    assert not today(hand, "Nugget", Weight)
    assert [e.kg for e in today(hand, "Juniper", Weight) if isinstance(e, Weight)] == [8.4]


def test_swapping_two_weights_replaces_both() -> None:
    hand = Hand()
    hand.says("Wren", "a", told(weight("Nugget", 8.1), weight("Juniper", 9.4)))
    hand.says("Wren", "b", told(weight("Nugget", 9.4, True), weight("Juniper", 8.1, True)))
    assert [e.kg for e in today(hand, "Nugget", Weight) if isinstance(e, Weight)] == [9.4]
    assert [e.kg for e in today(hand, "Juniper", Weight) if isinstance(e, Weight)] == [8.1]


def test_undo_takes_back_the_senders_last_message_whole_and_restores_what_it_corrected() -> None:
    hand = Hand()
    hand.says("Wren", "a", told(weight("Nugget", 9.4), weight("Juniper", 8.1)))
    hand.says("Tom", "t", told(weight("Bramble", 9.0)))
    hand.says("Wren", "b", told(weight("Nugget", 9.2, True)))
    undo = Reading(questions=(Question(about="undo"),))
    turn = hand.says("Wren", "undo", undo)
    assert words(turn) == [("family", "Taken back: Nugget 9.2 kg. It is Nugget 9.4 kg again.")]
    assert [e.kg for e in today(hand, "Nugget", Weight) if isinstance(e, Weight)] == [9.4]
    turn = hand.says("Wren", "undo", undo)
    assert words(turn) == [("family", "Taken back: Nugget 9.4 kg and Juniper 8.1 kg.")]
    assert today(hand, "Bramble", Weight) and not today(hand, "Nugget", Weight)


def test_an_edit_keeps_replaces_and_withdraws() -> None:
    hand = Hand()
    hand.says("Wren", "a", told(weight("Nugget", 9.4), weight("Juniper", 8.1)))
    before = {p.id for p in hand.house.ledger.of("Juniper", Weight, since=ON)}
    turn = hand.says("Wren", "a2", told(weight("Nugget", 9.2), weight("Juniper", 8.1)), edits="1")
    assert marks(turn) == 1 and len(turn.posts) == 1 and turn.posts[0].replaces is not None
    assert {p.id for p in hand.house.ledger.of("Juniper", Weight, since=ON)} == before
    turn = hand.says("Wren", "never mind", Reading(), edits="1")
    assert len(turn.withdrawn) == 3 and marks(turn) == 0  # the value before the first edit too
    assert words(turn) == [("family", "Taken back: Nugget 9.2 kg and Juniper 8.1 kg.")]
    assert not today(hand, "Nugget", Weight) and not today(hand, "Juniper", Weight)


def test_an_edit_that_changes_nothing_is_silent() -> None:
    hand = Hand()
    hand.says("Wren", "a", told(weight("Nugget", 9.4)))
    turn = hand.says("Wren", "a!", told(weight("Nugget", 9.4)), edits="1")
    assert turn.out == () and not turn.posts and not turn.withdrawn


def test_a_second_bowl_is_asked_about_before_it_is_kept() -> None:
    hand = Hand()
    bowls = told(Meal(dog="Nugget", on=ON), Meal(dog="Juniper", on=ON))
    turn = hand.says("Wren", "i fed the dogs", bowls)
    assert words(turn) == [("family", "Tom fed Nugget and Juniper at 07:06. Did you put food down too?")]
    assert not turn.posts and marks(turn) == 0
    count = len(today(hand, "Nugget", Meal))
    turn = hand.says("Wren", "no just said")
    assert marks(turn) == 1 and not turn.posts and len(today(hand, "Nugget", Meal)) == count


def test_a_real_second_bowl_is_kept_and_told_to_the_breeder_alone() -> None:
    hand = Hand()
    hand.says("Wren", "i fed nugget", told(Meal(dog="Nugget", on=ON)))
    turn = hand.says("Wren", "", presses="yes")
    assert len(turn.posts) == 1 and marks(turn) == 1
    assert [room for room, _ in words(turn)] == ["breeder"]


def test_an_answer_about_what_was_left_is_no_second_bowl() -> None:
    hand = Hand()
    turn = hand.says("Wren", "left some", told(Meal(dog="Nugget", on=ON, meal="breakfast", eaten="some")))
    assert marks(turn) == 1 and len(turn.posts) == 1


def test_a_forwarded_message_is_nobodys_note() -> None:
    hand = Hand()
    from dataclasses import replace

    from core.messages import Message

    message = Message(key="1", room="family", sender="Maya", sent_at=hand.house.now, text="w")
    assert hand.house.hear(replace(message, quoted=True)).out == ()
