"""Fettle's hands and ears: reading, conversation, replies, storage, chat and scheduling.

The parts meet only in `turn` (a message comes in) and `scheduling` (time passes); `commands` wires
them for the command line.
"""
