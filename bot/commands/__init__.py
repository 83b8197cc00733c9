"""One module for each command of `fettle`: `add_arguments(parser)` and `run(args) -> int`, the exit status.

Here the parts are wired: settings, database, clock, chat. A `Trouble` is let through; `bot.__main__` prints it.
"""
