"""The storage's own fixtures: a database file and the number of the invented kennel in it."""

from tests.storage.conftest import database, kennel_id

__all__ = ["database", "kennel_id"]
