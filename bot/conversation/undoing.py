"""Taking back the last thing somebody said, and telling what was written."""

from __future__ import annotations

from datetime import timedelta

from bot.conversation import once, orders, roster_changes
from bot.conversation.corrections import with_older
from bot.conversation.heard import speaks_of
from bot.conversation.hearing import Hearing
from bot.replies import kept, say_units
from core.ledger import Posted
from shared.texts import listed, text

MOST_TOLD = 40  # entries of a message that are named one by one; a table may bring hundreds
MOST_MESSAGES, MOST_PARTS = 5, 4  # told by "what did you write?", and of each of the earlier ones; own choice
BACK = timedelta(hours=12)  # an undo without a reply reaches no further back


def undo(hearing: Hearing) -> None:
    """Withdraw what the sender's last message (or the one replied to) gave, and say in one line what it was."""
    found = _last(hearing, own=not hearing.is_breeder or hearing.message.reply_to is None)
    changed = roster_changes.last_change(hearing)
    if changed and not hearing.message.reply_to and all(p.at <= changed for p in found):
        of_setup = roster_changes.was_setup(hearing)
        restored = roster_changes.take_back(hearing)
        if restored and of_setup:
            # The pups' first weights, told in the same message, go with it.
            hearing.withdrawn.extend(with_older([p for p in found if p.at == changed], hearing.ledger))
            hearing.say(text("changes.setup_back", said=restored[0]))
            return
        if restored:
            # What the same message wrote into the book goes with it: a pup born, its weight, the count.
            same = [p for p in found if p.at == changed]
            hearing.withdrawn.extend(with_older(same, hearing.ledger))
            here = {d.name for d in hearing.house.dogs} | {f.name for f in hearing.house.foods}
            name = "changes.roster_back" if restored[0] in here else "changes.taken_back"
            hearing.say(text(name, what=listed(list(restored))))
            return
    if not found:
        hearing.say(text("changes.nothing_to_undo"))
        return
    rows = set(with_older(found, hearing.ledger))
    if speaks_of("undo_whole", hearing.message.text):
        rows = set(_with_all_before(rows, hearing))
    hearing.withdrawn.extend(sorted(rows))
    if len(found) > MOST_TOLD:
        hearing.say(text("changes.taken_back_many", n=len(found)))
        return
    gone = kept.lines([p.entry for p in found], hearing.kennel, hearing.unit, hearing.on)
    back = [p for p in hearing.ledger.history() if p.replaced_by in rows and p.id not in rows and not p.withdrawn]
    if back:
        again = kept.lines([p.entry for p in back], hearing.kennel, hearing.unit, hearing.on)
        hearing.say(text("changes.back_to", what=listed(gone), before=listed(again)))
    else:
        hearing.say(text("changes.taken_back", what=listed(gone)))


def _with_all_before(rows: set[int], hearing: Hearing) -> set[int]:
    """These entries and all that they took the place of: "delete that" leaves no earlier wording behind."""
    gone = set(rows)
    for posted in reversed(hearing.ledger.history()):
        if posted.replaced_by in gone:
            gone.add(posted.id)
    return gone


def wrote(hearing: Hearing) -> None:
    """Say what is in the book of the message replied to, or of the last few in this room that gave something.

    The newest comes first; an order for cups counts as long as it stands.
    """
    if hearing.message.reply_to:
        replied = _last(hearing, own=False)
        told = [*kept.lines([p.entry for p in replied], hearing.kennel, hearing.unit, hearing.on)]
    else:
        told = _lately(hearing)
    hearing.say(text("changes.wrote", what="\n".join(told)) if told else text("changes.wrote_nothing"))


def _lately(hearing: Hearing) -> list[str]:
    """The newest message in its lines, each earlier one as one line with its time and who it was."""
    since = hearing.at - BACK
    messages: dict[str, list[Posted]] = {}
    for posted in sorted(_here(hearing), key=lambda p: p.id):
        if posted.at >= since:
            messages.setdefault(posted.message, []).append(posted)
    found = [
        (m[0].at, m[0].by, list(kept.lines([p.entry for p in m], hearing.kennel, hearing.unit, hearing.on)))
        for m in messages.values()
    ]
    found += [(at, by, [said]) for at, by, said in (*orders.written(hearing), *once.written(hearing)) if at >= since]
    found = sorted(found, key=lambda f: f[0], reverse=True)[:MOST_MESSAGES]
    told = list(found[0][2]) if found else []
    for at, by, lines in found[1:]:
        what = "; ".join([*lines[:MOST_PARTS], *(["…"] if len(lines) > MOST_PARTS else [])])
        told.append(text("changes.wrote_earlier", time=say_units.clock(at, hearing.kennel), who=by, what=what))
    return told


def _here(hearing: Hearing) -> list[Posted]:
    """What counts of what was written down in this room."""
    return [p for p in hearing.ledger if p.room == hearing.message.room and p.message and not p.brought]


def _last(hearing: Hearing, own: bool) -> list[Posted]:
    here = [p for p in _here(hearing) if not own or p.by == hearing.person.name]
    if hearing.message.reply_to:
        replied = [p for p in here if p.message == hearing.message.reply_to]
        if replied:
            return sorted(replied, key=lambda p: p.id)
    newest = max(here, key=lambda p: (p.at, p.id), default=None)
    if newest is None or hearing.at - newest.at > BACK:
        return []
    return sorted((p for p in here if p.message == newest.message), key=lambda p: p.id)
