"""One message and all that comes of it, in one transaction. The one place that catches everything.

Its update is on the disk before it is understood, and each try is counted before it begins: a message that raises, or
that kills the process, is tried three times, then set aside with its text, the breeder is told, and the rest go on.
"""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import datetime

from bot.faults import where
from bot.replies import floods
from bot.storage import Database, KennelStore, StorageError, Update, codes
from bot.storage.checkpoints import checkpoint
from bot.storage.errors import KeyReused
from core.codec import from_json, to_json
from core.messages import Mark, Message, Say
from core.roster import BREEDER, Kennel
from core.turns import Scene, Turn
from shared.texts import text

log = logging.getLogger(__name__)

Hear = Callable[[Message, Scene], Turn]

MOST_TRIES = 3  # a passing fault gets a second chance and a third; a fourth never helped
DIRECT = "direct"  # the inbox's word for messages that no platform stored before
_QUOTED = 200  # characters of a set-aside message that the breeder is shown


class Turns:
    """Takes in messages, each once.

    Args:
        hear: what is made of a message; the conversation's own where none is given.
        secret: of which the codes of invitations are made; one of its own where none is given.
    """

    def __init__(self, database: Database, *, hear: Hear | None = None, secret: bytes | None = None) -> None:
        self._database = database
        self._hear = hear or _own_hear
        self._secret = secret or codes.new_secret()

    def take(
        self, message: Message, kennel_id: int, *, inbox_id: int | None = None, now: datetime | None = None
    ) -> Turn | None:
        """All that came of the message, committed; None where nothing did: it was taken before, a newer edit of it
        was, or it was set aside.

        Args:
            inbox_id: the row that holds its update; where None is given it is stored here first.
            now: the instant of the turn; when the message was sent where none is given.

        Raises:
            StorageError: the database could not do it; nothing was changed and the message waits in the inbox.
        """
        message = _storable(message)
        if inbox_id is None:
            inbox_id, trying = self._database.inbox.take_and_try(_update(message, kennel_id), MOST_TRIES)
        else:
            trying = self._database.inbox.begin_try(inbox_id, MOST_TRIES)
        while trying is not None:
            try:
                turn = self._turn(message, kennel_id, inbox_id, now or message.sent_at)
                checkpoint("turn committed")
                if turn is not None and (turn.erase or turn.erase_kennel):
                    self._database.compact()
                return turn
            except KeyReused as error:
                self._database.inbox.failed(inbox_id, str(error))
                raise
            except StorageError:
                # Not the message's fault: the try does not count, if that can be written.
                with suppress(StorageError):
                    self._database.inbox.untry(inbox_id)
                raise
            except Exception as error:
                # The type and place only: what was raised may quote the message, and a log is no place for that.
                log.error("message %s, try %d: %s", inbox_id, trying, where(error))
                log.debug("message %s", inbox_id, exc_info=error)
            trying = self._database.inbox.begin_try(inbox_id, MOST_TRIES)
        if self._database.inbox.spent(inbox_id, MOST_TRIES):
            self._set_aside(message, kennel_id, inbox_id, now or message.sent_at)
        return None

    def resume(self, now: datetime) -> tuple[Turn, ...]:
        """What came of the messages that `take` had stored, and not finished, when the process ended."""
        turns = []
        for row in self._database.inbox.waiting(DIRECT):
            message = from_json(Message, row.raw["message"])
            turns.append(self.take(message, row.raw["kennel"], inbox_id=row.id, now=now))
        return tuple(turn for turn in turns if turn is not None)

    def _turn(self, message: Message, kennel_id: int, inbox_id: int, now: datetime) -> Turn | None:
        with self._database.writing(kennel_id) as store:
            turn = None
            if _is_news(message, store.find_message(message.room, message.key)):
                turn = self._write(store, message, now)
            store.settle_inbox(inbox_id, "done")
            checkpoint("turn written")
        return turn

    def _write(self, store: KennelStore, message: Message, now: datetime) -> Turn:
        kennel = store.load_kennel()
        scene = Scene(
            kennel=kennel,
            ledger=store.load_ledger(kennel.day_of(now), kennel),
            now=now,
            memory=store.memory(),
            recent=store.recent(message.room, message.sent_at, but=message.key),
        )
        turn = self._hear(message, scene)
        checkpoint("turn heard")
        if turn.erase_kennel:
            store.erase_kennel()
            return turn
        traces = store.traces_of(turn.erase.name, turn.erase.also) if turn.erase else None
        store.keep_message(message)
        if turn.kennel is not None:
            store.save_kennel(kennel, _without_weighings(kennel, turn.kennel, turn))
        store.post(turn.posts, turn.withdrawn, message)
        store.remember(turn.memory)
        for person in turn.uninvited:
            store.uninvite(person)
        out = self._with_invite(store, turn, now)
        lately = store.sent_since(message.room, message.sender, message.sent_at - floods.WITHIN, floods.MOST + 1)
        if len(lately) > floods.MOST:
            # What waits of the messages before goes into the one message too, so that nobody waits behind it.
            waiting = store.take_back(message.room, lately)
            out, gathered = floods.thinned([*waiting, *out], message, now)
            for say in gathered:
                store.gather(say, floods.joined, at=now)
        store.say(out, at=now, turn=f"{message.key} {message.edit}")
        if traces is not None:
            store.erase_person(traces, text("erase.somebody"))
        return turn

    def _with_invite(self, store: KennelStore, turn: Turn, now: datetime) -> Sequence[Say | Mark]:
        """What is said, with the invitation that it tells of made."""
        if turn.invite is None:
            return turn.out
        nonce = store.invite(turn.invite, now, self._secret)
        return [replace(o, invite=nonce) if isinstance(o, Say) and o.invite else o for o in turn.out]

    def _set_aside(self, message: Message, kennel_id: int, inbox_id: int, now: datetime) -> None:
        said = message.text or message.pressed
        told = Say(
            key=f"set aside {inbox_id}",
            room=BREEDER,
            text=text("faults.set_aside", who=message.sender, said=said[:_QUOTED]),
            about="fault",
        )
        with self._database.writing(kennel_id) as store:
            store.keep_message(message)
            store.say([told], at=now)
            store.settle_inbox(inbox_id, "failed", "tried and never finished")
        checkpoint("set aside")


def _own_hear(message: Message, scene: Scene) -> Turn:
    # Only when needed: the conversation loads the whole reader.
    from bot.conversation import hear

    return hear(message, scene)


def _is_news(message: Message, before: Message | None) -> bool:
    """True for a message not seen before and for a newer edit of one.

    Raises:
        KeyReused: another message came under the same key.
    """
    if before is None or message.edit > before.edit:
        return True
    same = (message.text, message.pressed, message.picture) == (before.text, before.pressed, before.picture)
    if message.edit < before.edit or same:
        return False
    if message.edit == 0:
        raise KeyReused(f"Two different messages came under the key {message.key!r} in one room.")
    return True  # a second edit within one tick of the platform's clock: the later to arrive counts


def _without_weighings(old: Kennel, new: Kennel, turn: Turn) -> Kennel:
    """The new roster without last weights that this turn posts as entries: the book tells those, and an undo of the
    entry must undo them."""
    posted = {p.entry.dog for p in turn.posts if p.entry.kind == "weight"}
    dogs = tuple(
        replace(d, last_weight=was.last_weight) if d.name in posted and (was := old.dog(d.name)) else d
        for d in new.dogs
    )
    return new if dogs == new.dogs else replace(new, dogs=dogs)


def _storable(message: Message) -> Message:
    """The message without what no database keeps as text: half surrogates and the zero character."""

    def clean(said: str) -> str:
        return said.encode("utf-8", "replace").decode("utf-8").replace("\x00", "")

    return replace(
        message,
        text=clean(message.text),
        sender=clean(message.sender),
        pressed=clean(message.pressed),
        key=clean(message.key),
        room=clean(message.room),
    )


def _update(message: Message, kennel_id: int) -> Update:
    content = "\x00".join((message.text, message.pressed, message.picture))
    return Update(
        platform=DIRECT,
        chat=f"{kennel_id} {message.room}",
        received_at=message.sent_at,
        message=message.key,
        edit=message.edit,
        digest=hashlib.sha256(content.encode()).hexdigest()[:32],
        raw={"kennel": kennel_id, "message": to_json(message)},
    )
