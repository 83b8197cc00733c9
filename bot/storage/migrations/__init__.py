"""How older databases become new ones: numbered Alembic revisions, all that are pending in one transaction.

A new revision: a file `versions/NNNN_what_it_does.py`, its number at the end of `KNOWN`, and the same change in
`bot/storage/tables.py`; `tests/storage/test_migrations.py` compares the two.
"""

# Every schema that there ever was, oldest first. Kept here as well as in the revisions themselves, so that a
# start on a database of today need not import Alembic (0.6 s).
KNOWN = ("0001", "0002", "0003")
HEAD = KNOWN[-1]
