"""The storage's own fixtures (a database, the number of the invented kennel in it), and those of the whole bot."""

from tests.stand_ins.fixtures import api, number, serving
from tests.storage.conftest import database, kennel_id

__all__ = ["api", "database", "kennel_id", "number", "serving"]
