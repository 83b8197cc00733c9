"""A start loads what it needs to listen, and no more: on a small machine the rest takes another second or two."""

from __future__ import annotations

import subprocess
import sys

LATER = ("bot.conversation", "bot.reading", "bot.enrolment", "bot.replies.charts", "bot.replies.papers",
         "bot.replies.reminders", "matplotlib", "fpdf", "dateparser", "rapidfuzz", "pint", "icalendar",
         "sqlalchemy.dialects.postgresql", "prometheus_client", "bot.chat.webhook")  # fmt: skip


def test_what_a_message_a_picture_or_a_round_needs_is_loaded_with_it() -> None:
    script = (
        "import sys\n"
        "import bot.commands.serve\n"
        "from bot.scheduling.rounds import Rounds\n"
        "from bot.storage import Database\n"
        "from bot.turn import Turns\n"
        "database = Database('sqlite://').open()\n"
        "Turns(database), Rounds(database)\n"
        f"print(*[name for name in {LATER!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], check=True, capture_output=True, text=True, timeout=120)
    assert done.stdout.split() == []
