"""Has anyone fed? What is not written down is "not written down", never "not fed"."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time, timedelta

from bot.replies import say_units
from bot.replies.answers.asker import Answer, Asker
from core import fed
from core.entries import Question, Treat
from core.fed import Bowl, FedBoard
from shared.texts import listed, text

MOST_NAMES = 6
SOON = timedelta(hours=1)


def answer(question: Question, asker: Asker) -> Answer:
    """The dog's bowls and treats today; without a dog, the latest meal: by whom, when, and who is not written down."""
    board = fed.today(asker.ledger, asker.kennel, asker.at)
    dog = asker.kennel.dog(question.dog)
    if dog is not None:
        return Answer(text=_dog(dog.name, board, asker), why=_why(board.of(dog.name), asker))
    meal = nearest_meal(board, asker)
    if not meal:
        return Answer(text=text("answers.fed.too_early"))
    bowls = board.meal(meal)
    return Answer(text=_meal(meal, bowls, asker), why=_why(bowls, asker))


def nearest_meal(board: FedBoard, asker: Asker) -> str:
    """The meal that a question at this hour is about: the newest begun, or the next where it is due within the hour."""
    clock = asker.kennel.local(asker.at)
    soon = (clock + SOON).time() if (clock + SOON).date() == clock.date() else time.max
    ahead = [b.meal for b in board.bowls if b.state == fed.LATER and b.due and clock.time() < b.due <= soon]
    return ahead[0] if ahead else board.latest_meal


def _meal(meal: str, bowls: Sequence[Bowl], asker: Asker) -> str:
    name = text(f"kept.meal.{meal}")
    name = name[0].upper() + name[1:]
    done = [b for b in bowls if b.state == fed.LOGGED]
    left = [b.dog for b in bowls if b.state != fed.LOGGED]
    if not done:
        turn = next((b for b in bowls if b.who and b.due), None)
        if turn is None or turn.due is None:
            return text("answers.fed.nobody", meal=name)
        later = "nobody_later" if all(b.state == fed.LATER for b in bowls) else "nobody_turn"
        return text(f"answers.fed.{later}", meal=name, who=turn.who, time=say_units.clock(turn.due, asker.kennel))
    said = text("answers.fed.by", meal=name, who=_who(done, asker))
    if not left:
        return text("answers.fed.all", said=said)
    return text("answers.fed.left", said=said, dogs=_named(left))


def _who(bowls: Sequence[Bowl], asker: Asker) -> str:
    """ "Tom at 07:06", or several."""
    seen: dict[tuple[str, str], None] = {}
    for bowl in bowls:
        if bowl.at is not None:
            clock = bowl.put_down[0].entry.clock or bowl.at
            seen.setdefault((bowl.by, say_units.clock(clock, asker.kennel)), None)
    return listed([text("answers.fed.at", who=by, time=when) for by, when in seen][:3])


def _named(dogs: Sequence[str]) -> str:
    return listed(list(dogs)) if len(dogs) <= MOST_NAMES else text("answers.fed.dogs", n=len(dogs))


def _dog(name: str, board: FedBoard, asker: Asker) -> str:
    bowls = board.of(name)
    told = []
    for bowl in bowls:
        meal = text(f"kept.meal.{bowl.meal}")
        if bowl.state == fed.LOGGED:
            said = text("answers.fed.bowl", meal=meal, who=_who([bowl], asker))
            eaten = text(f"kept.eaten.{bowl.eaten}") if bowl.eaten else ""
            told.append(text("answers.fed.eaten", bowl=said, eaten=eaten) if eaten else said)
        elif bowl.state == fed.OPEN:
            told.append(text("answers.fed.bowl_open", meal=meal))
    treats = sum(int(p.entry.amount or 1) for p in board.treats if p.entry.dog == name and isinstance(p.entry, Treat))
    if treats:
        told.append(text("answers.fed.treat" if treats == 1 else "answers.fed.treats", n=treats))
    if not told:
        return text("answers.fed.nothing", dog=name)
    return text("answers.fed.dog", dog=name, what=", ".join(told))


def _why(bowls: Sequence[Bowl], asker: Asker) -> str:
    """The words that said so; in the family room the bowls alone, no treats by name."""
    logs = {p.id: p for b in bowls for p in b.logs}
    seen: dict[str, None] = {}
    for p in logs.values():
        said = p.entry.said or text("answers.fed.no_words")
        shown = text("why.fed_line", who=p.by, time=say_units.clock(p.entry.clock or p.at, asker.kennel), said=said)
        seen.setdefault(shown, None)
    return text("why.fed", lines="; ".join(list(seen)[:3])) if seen else ""
