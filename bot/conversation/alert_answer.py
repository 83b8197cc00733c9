"""The breeder's "ok" or "no" under the morning alert: "ok" sets the cups that it suggested, where it suggested any."""

from __future__ import annotations

from datetime import timedelta

from bot.conversation import remarks, roster_changes
from bot.conversation.heard import means
from bot.conversation.hearing import Hearing
from bot.replies.alert import suggestion
from core.portions import order_of
from core.roster import BREEDER
from core.times import instant
from shared.texts import text

ANSWERED_WITHIN = timedelta(hours=12)


def answer(hearing: Hearing) -> bool:
    """True where it answered this morning's alert; "no" changes nothing."""
    said = hearing.message.pressed or hearing.message.text
    ok = said == text("alert.ok") or means("ok", said)
    no = said == text("alert.no") or means("no", said)
    if not hearing.is_breeder or hearing.message.room != BREEDER or not (ok or no):
        return False
    kennel = hearing.scene.kennel
    morning = instant(hearing.on, kennel.alert_at, kennel.tz)
    if not timedelta(0) <= hearing.at - morning <= ANSWERED_WITHIN:
        return False
    found = suggestion(kennel, hearing.scene.ledger, morning)
    if found is None:
        return False
    dog, plan = found
    hearing.mark()
    if not ok or plan.step is None or not plan.step.meals or plan.step.key not in ("less", "more"):
        return True
    ration = order_of({m.meal: m.cups_eighths for m in plan.step.meals})
    hearing.tell_breeder(remarks.of_order(roster_changes.set_ration(hearing, dog, ration), hearing), about="answer")
    return True
