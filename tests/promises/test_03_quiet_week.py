"""Promise 3: a quiet week changes nothing, though Telegram's numbers begin anew after it, lower or higher.

Source: Telegram Bot API, `Update.update_id` ("if there are no new updates for at least a week, then identifier of the
next update will be chosen randomly instead of sequentially"), from memory.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.serving import TOM, Serving


@pytest.mark.parametrize("restarted", [False, True])
async def test_lower_and_higher_numbers_are_heard(api: BotApi, serving: Serving, number: int, restarted: bool) -> None:
    kilos = iter((9.1, 9.2, 9.3, 9.4))
    for update in (700_000_001, 12, 1_900_000_000, 13):
        if restarted:
            await serving.stop()
        api.world.next_update = update
        marks = len(api.world.marks)
        api.world.write(serving.family, TOM, f"Nugget {next(kilos)} kg")
        if restarted:
            await serving.start()
        await api.until(lambda m=marks: len(api.world.marks) > m)  # type: ignore[misc]
    assert len(serving.book(number)) == 4


async def test_a_number_given_again_after_a_week_is_another_update(
    api: BotApi, serving: Serving, number: int
) -> None:
    """Housekeeping has forgotten the raw update of old; within the day that Telegram repeats one it has not."""
    api.world.write(serving.family, TOM, "Nugget 9.1 kg")
    await api.until(lambda: api.world.marks)
    assert serving.database.inbox.forget_before(serving.clock.now() + timedelta(days=7)) == 1
    api.world.next_update = 700_000_001
    api.world.write(serving.family, TOM, "Nugget 9.2 kg")
    await api.until(lambda: len(api.world.marks) == 2)
    assert len(serving.book(number)) == 2
