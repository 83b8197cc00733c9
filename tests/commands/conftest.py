"""The storage's own fixtures."""

from tests.storage.conftest import database, kennel_id

__all__ = ["database", "kennel_id"]
