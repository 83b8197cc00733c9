"""Setting up a kennel: by a file (`kennel_file`), or by chat, one question at a time (`setup`), and changing it later
(`changes`).

In come a YAML text or a message of the breeder's in her own line; out go a `Kennel`, or a turn whose kennel is the
changed one. What the family may change of the rota where they write is lent to the conversation. Pure: the caller
reads the file and keeps what comes back.
"""

from bot.enrolment.asking import Asking
from bot.enrolment.clocks import as_figures
from bot.enrolment.enrolling import enrol
from bot.enrolment.heard import clock_said, is_standing, person_said
from bot.enrolment.own_ways import own_ways
from bot.enrolment.rota_changes import rota_change
from bot.enrolment.rota_lines import shown as rota_shown
from bot.enrolment.rota_lines import weekdays_said

__all__ = [
    "Asking", "as_figures", "clock_said", "enrol", "is_standing", "own_ways", "person_said", "rota_change",
    "rota_shown", "weekdays_said",
]  # fmt: skip
