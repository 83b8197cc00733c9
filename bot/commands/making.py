"""A file that the words of the conversation name, made from the database when it is sent."""

from __future__ import annotations

from bot.replies import documents
from bot.storage import Database


def make_document(database: Database, kennel_id: int, room: str, what: str) -> tuple[str, bytes]:
    """The name of the file and the file, from the whole book and through the eyes of the room.

    Raises:
        ValueError: no such file, or none that the room may have. StorageError: the database could not do it.
    """
    with database.reading(kennel_id) as store:
        kennel, book = store.load_kennel(), store.load_book()
    return documents.make(what, kennel, book, room)
