"""A conversation small enough to be read at a glance, for tests of what surrounds it.

"Nugget 9.4" records a weight; an edit takes back what the message gave and says it anew; a reply corrects; "undo"
takes back the newest message's entries; "ask" is answered; "tip" says a tip; "boom" raises. Everything kept is marked.
"""

from __future__ import annotations

from core.entries import Weight
from core.messages import TIP, Mark, Message, Say
from core.turns import Post, Scene, Turn


def hear(message: Message, scene: Scene) -> Turn:
    """All that comes of the message."""
    words = message.text.split()
    here = scene.ledger.of_message(message.room, message.key)
    withdrawn = [p.id for p in here]
    posts: list[Post] = []
    out: list[Say | Mark] = []
    if message.text == "boom":
        raise RuntimeError("a reader that raises")
    if message.text == "undo":
        newest = max(scene.ledger, key=lambda p: p.id, default=None)
        if newest is not None:
            withdrawn = [p.id for p in scene.ledger.of_message(newest.room, newest.message)]
    elif message.text in ("ask", "tip"):
        priority = TIP if message.text == "tip" else 1
        key = f"{message.text} {message.room} {message.key} {message.edit}"
        out.append(Say(key=key, room=message.room, text=f"about {message.key}", priority=priority))
    elif len(words) == 2 and scene.kennel.dog(words[0]):
        entry = Weight(dog=words[0], on=scene.kennel.day_of(message.sent_at), kg=float(words[1]))
        target = [
            p.id
            for p in scene.ledger.history()
            if message.reply_to and (p.room, p.message) == (message.room, message.reply_to)
            if p.counts or p.replaced_by in withdrawn
        ]
        posts.append(Post(entry=entry, replaces=target[0] if target else None))
    if posts or withdrawn:
        out.insert(0, Mark(room=message.room, message=message.key))
    return Turn(posts=tuple(posts), withdrawn=tuple(withdrawn), out=tuple(out))
