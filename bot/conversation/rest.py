"""What a message holds besides the part that was an aside, a plea or an order: it is kept all the same."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.conversation.about import dogs_named
from bot.conversation.hearing import Hearing
from bot.conversation.noted import Noted, note
from core.entries import Entry, Meal, Photo, Reading, Sign
from core.messages import Mark, Say
from shared.texts import text

_CUT = re.compile(r"[,;:!?\n]+|(?<!\d)\.|\.(?!\d)|\band\b|&", re.IGNORECASE)  # where one thing said ends
_SMALL = re.compile(r"(?:[\s,&+]|\b(?:and|at|with|about|of)\b)*", re.IGNORECASE)
# What is said behind a name of the same dog: at once, or as "she" in the next clause.
_GOES_ON = re.compile(r"[ :=-]*\w|[ ,;:=-]*\d|[ ,;:=-]*(?:and\s+)?(?:now\s+)?(?:s?he|her|his|it)\b", re.IGNORECASE)
# What nobody may take for stored where it is not.
_FIGURE, _WISH = re.compile(r"\d+"), re.compile(r"\bremind\s+\w", re.IGNORECASE)


def of_message(hearing: Hearing, made: tuple[Entry, ...] = ()) -> None:
    """Read and keep what stands beside the words that were taken; no mark where any of it is left in doubt.

    `made`: of an edited message, the entries that a step has made of the words that were taken.
    """
    taken, left = _parted(hearing)
    if not any(ch.isalnum() for ch in left) and not hearing.message.edit and not hearing.message.picture:
        return
    asked = any(isinstance(o, Say) and o.room == hearing.message.room and o.about == "doubt" for o in hearing.out)
    before = (*hearing.scene.recent, replace(hearing.message, text=taken))
    noted = note(left, before, hearing, beside=True, made=made)
    if asked:
        unmark(hearing)
    else:
        look_at(left, noted, hearing)


def look_at(left: str, noted: Noted, hearing: Hearing) -> None:
    """Mark the message, or take its mark back, by what came of the words that were left beside a part seen to."""
    reading = noted.reading
    if reading.doubts or (reading.entries and not noted.whole) or _unread(left, reading):
        unmark(hearing)
    elif noted.whole:
        acknowledge(hearing, noted.worried)


def _unread(left: str, reading: Reading) -> bool:
    """True where nothing was made of a figure, or of a wish to be reminded."""
    if _WISH.search(left):
        return True
    said = [*(e.said for e in reading.entries), *(d.said for d in reading.doubts)]
    read = {n for words in said for n in _FIGURE.findall(words)}
    return not reading.questions and any(n not in read for n in _FIGURE.findall(left))


def unmark(hearing: Hearing) -> None:
    """Take the mark back: not everything in the message is stored."""
    hearing.out = [o for o in hearing.out if not isinstance(o, Mark)]


def acknowledge(hearing: Hearing, worried: bool = False) -> None:
    """Say that everything was written down: a mark, or in a buyer's own line a word with whatever else is said.

    To somebody who is `worried` the answer comes first, and signs or bowls left alone are not thanked for.
    """
    if hearing.person.role != "buyer":
        hearing.mark()
    elif not worried:
        only_photo = all(isinstance(p.entry, Photo) for p in hearing.posts)
        hearing.say_with(text("buyers.photo" if only_photo and hearing.posts else "buyers.noted"))
    elif any(not isinstance(p.entry, Sign | Meal | Photo) for p in hearing.posts):
        hearing.say_with(text("buyers.noted_too"), after=True)


def _parted(hearing: Hearing) -> tuple[str, str]:
    """The words that were taken, out to where their clauses end, and the words that are left."""
    said = hearing.message.text
    if not hearing.taken:
        return said, ""
    if hearing.exactly:
        return _cut_out(said, hearing)
    cuts = [m.span() for m in _CUT.finditer(said)]
    first, last = min(a for a, _ in hearing.taken), max(b for _, b in hearing.taken)
    last = first + len(said[first:last].rstrip(" ,;:.!?\n"))
    start = max((b for _, b in cuts if b <= first), default=0)
    end = min((a for a, _ in cuts if a >= last), default=len(said))
    return said[start:end], f"{said[:start].rstrip(' ,;:&')}. {said[end:].lstrip(' ,;:&.!?')}".strip(" .")


def _cut_out(said: str, hearing: Hearing) -> tuple[str, str]:
    """The words that were taken, and the message without them; the name in them stays where more is said behind it."""
    taken, left, at = [], "", 0
    for a, b in _merged(said, hearing.taken):
        taken.append(said[a:b])
        left += said[at:a]
        dogs = dogs_named(said[a:b], hearing)
        more = _GOES_ON.match(said, b) is not None
        left += f" {dogs[0].name}" if len(dogs) == 1 and more else ""
        at = b
    return " ".join(taken), " ".join((left + said[at:]).split(" ")).strip(" ,;:&.!?")


def _merged(said: str, spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """The spans in order, those that overlap or have no word of their own between them as one."""
    merged: list[tuple[int, int]] = []
    for a, b in sorted(spans):
        if merged and (a <= merged[-1][1] or _SMALL.fullmatch(said, merged[-1][1], a)):
            merged[-1] = (merged[-1][0], max(b, merged[-1][1]))
        else:
            merged.append((a, b))
    return merged
