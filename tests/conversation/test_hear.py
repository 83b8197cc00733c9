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


def test_a_newborn_that_lost_is_said_in_the_same_minute_with_figures_and_the_vet() -> None:
    """Green was born with 318 g: 303 g is −4.7 %, past the −4 % line of Mila et al. 2015 in her first days."""
    hand = Hand()
    turn = hand.says("Tom", "green 303", told(weight("Green", 0.303)))
    said = dict(words(turn))
    assert "GREEN 303 g" in said["family"] and "−4.7% since birth" in said["family"]
    assert "RING THE VET NOW: Larkrise Vets 01632 960" in said["family"]
    assert said["breeder"] == said["family"]
    assert marks(turn) == 1


def test_a_newborn_that_gains_gets_the_mark_alone() -> None:
    hand = Hand()
    turn = hand.says("Tom", "blue 495", told(weight("Blue", 0.495)))
    assert marks(turn) == 1 and not words(turn)


def test_who_of_a_litter_was_not_weighed_is_named() -> None:
    hand = Hand()
    four = told(*(weight(d, g / 1000) for d, g in (("Red", 470), ("Blue", 495), ("White", 450), ("Yellow", 440))))
    turn = hand.says("Tom", "weights", four)
    assert marks(turn) == 1 and words(turn) == [("family", "Green not weighed.")]


def test_red_words_come_first_and_what_was_read_is_kept() -> None:
    hand = Hand()
    turn = hand.says("Wren", "nugget swallowed my sock", told(weight("Nugget", 9.4)))
    assert words(turn)[0][1].startswith("Nugget: RING THE VET NOW: Larkrise Vets")
    assert words(turn)[1][0] == "breeder" and marks(turn) == 0 and len(turn.posts) == 1


def test_a_death_said_by_the_breeder_stops_everything_without_a_mark_and_can_be_undone() -> None:
    hand = Hand()
    turn = hand.says("Maya", "green died 3am", Reading())
    assert marks(turn) == 0 and "sorry" in words(turn)[0][1]
    dog = hand.house.kennel.dog("Green")
    assert dog is not None and dog.gone == "died"
    hand.says("Maya", "undo", Reading(questions=(Question(about="undo"),)))
    dog = hand.house.kennel.dog("Green")
    assert dog is not None and dog.gone == ""


def test_a_death_said_by_another_is_confirmed_by_the_breeder_in_private() -> None:
    hand = Hand()
    turn = hand.says("Tom", "green died in the night", Reading())
    assert [r for r, _ in words(turn)] == ["family", "breeder"]
    dog = hand.house.kennel.dog("Green")
    assert dog is not None and dog.gone == ""
    hand.says("Maya", "", presses="yes", room="breeder")
    dog = hand.house.kennel.dog("Green")
    assert dog is not None and dog.gone == "died"


def test_jokes_about_dying_are_no_loss() -> None:
    for said in ("nugget died laughing", "the battery died, nugget ate it", "dead tired after Nugget's walk"):
        turn = Hand().says("Wren", said, Reading())
        assert not any("sorry" in t for _, t in words(turn))
