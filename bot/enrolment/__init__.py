"""Setting up a kennel: by a file (`kennel_file`), or by chat, one question at a time (`setup`), and changing it later
(`changes`).

In come a YAML text or a message of the breeder's in her own line; out go a `Kennel`, or a turn whose kennel is the
changed one. Pure: the caller reads the file and keeps what comes back.
"""

from bot.enrolment.enrolling import enrol

__all__ = ["enrol"]
