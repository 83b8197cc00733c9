"""A kennel file from the disk: read, bounded, and what is wrong with it told in one sentence."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from bot.enrolment.kennel_file import KennelFile, KennelFileError, parse
from bot.settings import Trouble
from bot.storage import Database

LONGEST = 2_000_000  # bytes of a kennel file; a longer one is no kennel


class KennelFileTrouble(Trouble):
    """A kennel file that can't be used; the text says what to mend."""


def read_kennel_file(path: Path) -> KennelFile:
    """The kennel of that file.

    Raises:
        KennelFileTrouble: it can't be read, or is no kennel.
    """
    try:
        with path.open("rb") as source:
            raw = source.read(LONGEST + 1)
        if len(raw) > LONGEST:
            raise KennelFileTrouble(f"{path} is longer than {LONGEST:,} bytes; that is no kennel file.")
        return parse(raw.decode("utf-8"))
    except UnicodeDecodeError:
        raise KennelFileTrouble(f"{path} is not a text file; a kennel file is plain text in UTF-8.") from None
    except OSError as wrong:
        raise KennelFileTrouble(f"{path} can't be read ({wrong.strerror}); name a kennel file that is there.") from None
    except KennelFileError as wrong:
        raise KennelFileTrouble(str(wrong)) from None


def fill(database: Database, file: KennelFile, now: datetime) -> int:
    """The number of the kennel newly made from the file, with its book as far as it was told before now.

    Raises:
        KennelFileTrouble: the database has a kennel already.
    """
    if database.kennels():
        raise KennelFileTrouble(f"{database.place} already has a kennel; leave --kennel out, or name another database.")
    number = database.create_kennel(file.kennel)
    with database.writing(number) as store:
        store.bring([p for p in file.history if p.at < now])
    return number
