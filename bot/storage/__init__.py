"""The database: inbox, roster, ledger, outbox. The only rooms that know SQLAlchemy.

The types of core come in and go out, nothing else. Instants are aware; the time is always passed in.

```python
with Database("sqlite:///fettle.db") as database:       # checked, at today's schema; StorageError says what to do
    kennel_id = database.create_kennel(kennel)
    database.bind_room("telegram", chat, kennel_id, FAMILY); database.room_of("telegram", chat)  # Room | None
    database.bind_account("telegram", user, kennel_id, "Maya"); database.person_of("telegram", user, kennel_id)

    with database.reading(kennel_id) as store:           # KennelStore: one transaction, one kennel
        kennel = store.load_kennel()
        ledger = store.load_ledger(today)
    with database.writing(kennel_id) as store:           # whole or not at all
        store.save_kennel(old, new); store.post(posts, withdrawn, message)
        store.say([Say(...), Mark(...)], at=now)         # a known key is never added twice
        store.looked_at(); store.set_looked_at(now)      # the agenda's rounds

    database.inbox.take([Update(...)])                   # on the disk when it returns; repeats are ignored
    database.inbox.waiting("telegram")                   # oldest first; then bot.turn.Turns.take(..., inbox_id=row.id)

    database.outbox.recover(now)                         # at a start: what a crash left "sending"
    for parcel in database.outbox.claim(now, platform="telegram"):
        ...                                              # send parcel.out to parcel.chat, then one of:
        database.outbox.sent(parcel.id, now, sent_key)   # arrived
        database.outbox.put_off(parcel.id, until, error) # did not arrive, try again then
        database.outbox.unclear(parcel.id, now, error)   # the answer was lost: once more, or dropped if a tip
        database.outbox.refuse(parcel.id, now, error)    # can never go
        database.move_room(...); database.shut_room(...) # moved, or shut
```
"""

from bot.storage.database import Database
from bot.storage.errors import StorageError
from bot.storage.inbox import Update, Waiting
from bot.storage.outbox import Parcel
from bot.storage.rooms import Room
from bot.storage.stamps import Stamp
from bot.storage.store import KennelStore

__all__ = ["Database", "KennelStore", "Parcel", "Room", "Stamp", "StorageError", "Update", "Waiting"]
