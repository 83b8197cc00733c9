"""`fettle`: the command line. Loads only the command that is asked for, and prints a trouble as one sentence."""

from __future__ import annotations

import argparse
import importlib
import os
import sys
from collections.abc import Sequence

from bot.settings import Trouble

COMMANDS = {
    "chat": "the terminal room, on a demo kennel",
    "serve": "the Telegram bot",
    "open": "a one-time code that begins another kennel in the same database",
    "read": "JSON lines of messages in, readings out",
    "export": "every record of a kennel as JSON lines and CSV, what is due as a calendar, papers",
    "import": "weights from a CSV, or a whole export into an empty database",
    "backup": "a consistent copy of the database",
    "restore": "a backup in the place of the database",
    "move": "every record into another, empty database",
    "doctor": "checks settings, database, token and clock, and says what to mend",
}

MODULES = {"import": "bring"}  # where a command's module can't bear its name

# As shells report a process that was interrupted (128 + SIGINT).
INTERRUPTED = 130


def main(argv: Sequence[str] | None = None) -> int:
    """The exit status: 0 when all went well, 1 after a trouble, 2 for arguments that are not understood."""
    given = list(sys.argv[1:] if argv is None else argv)
    parser = argparse.ArgumentParser(prog="fettle", description="Keeps the records of a small kennel from its chat.")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    # The command is the first word: only its module is loaded, so that one does not pay for another's libraries.
    asked = next((word for word in given if not word.startswith("-")), None)
    run = None
    for name, line in COMMANDS.items():
        own = commands.add_parser(name, help=line, description=line[0].upper() + line[1:] + ".")
        if name == asked:
            module = importlib.import_module(f"bot.commands.{MODULES.get(name, name)}")
            module.add_arguments(own)
            run = module.run
    args = parser.parse_args(given)
    assert run is not None  # the parser has left by now for anything that is not a command
    try:
        return int(run(args))
    except Trouble as trouble:
        print(f"fettle: {trouble}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # The reader of our output has gone; Python's own flush at exit must not complain about it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1


if __name__ == "__main__":
    sys.exit(main())
