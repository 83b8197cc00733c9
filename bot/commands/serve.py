"""`fettle serve`: the Telegram bot, by long polling or called by a webhook, until it is told to stop.

Wires the parts: what comes in goes through `intake` to a turn; what is said goes through the outbox and its
delivery; the rounds put in what falls due. All of them run side by side and end together.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import logging
import signal
from collections.abc import Coroutine
from contextlib import nullcontext
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bot.chat.connecting import asked_again, connect, make_bot
from bot.chat.door import PLATFORM, Door, deaf
from bot.chat.patience import Patience
from bot.chat.polling import Listener
from bot.chat.sending import TelegramSender
from bot.chat.updates import Me
from bot.commands.alone import alone
from bot.commands.claiming import claiming
from bot.commands.housekeeping import Housekeeping
from bot.commands.intake import Intake
from bot.commands.telegram_book import TelegramBook
from bot.commands.watching import keep_watch
from bot.scheduling.clock import Clock, SystemClock
from bot.scheduling.delivery import Delivery
from bot.scheduling.pace import Pace
from bot.scheduling.rounds import Rounds
from bot.scheduling.standing import Standing
from bot.scheduling.true_time import TrueTime
from bot.scheduling.watch import Watch
from bot.settings import Settings, SettingsTrouble, database_url, read_settings, set_up_log
from bot.storage import Database, StorageError, codes
from bot.turn import Hear, Turns
from core.messages import Say
from core.roster import BREEDER, FAMILY
from shared.texts import text

if TYPE_CHECKING:
    import telegram

    from bot.chat.webhook import Address, Webhook

if TYPE_CHECKING:
    from bot.commands.metrics import Measures

log = logging.getLogger(__name__)

# Longer than each can stand still while it is well: a call waits for news, then, without a network, for five minutes;
# a send waits for its answer; the first round after a long sleep looks at every kennel anew.
_LISTENING_S, _DELIVERY_S, _ROUNDS_S = 420.0, 180.0, 300.0
# A turn is tried three times and writes a large file anew after an erasure; a webhook's call is kept in a moment.
_TURN_S, _CALL_S = 300.0, 60.0


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The database, and the kennel that an empty one begins with; everything else is in the environment."""
    parser.add_argument("--db", metavar="URL", help="the database, instead of FETTLE_DB")
    parser.add_argument("--webhook", metavar="URL", help="the https address that Telegram calls, instead of polling")
    parser.add_argument(
        "--listen", metavar="HOST:PORT", default="127.0.0.1:8080",
        help="where the webhook's calls arrive, behind a proxy that does the encryption (127.0.0.1:8080)",
    )
    parser.add_argument("--kennel", metavar="FILE", type=Path, help="a kennel file, for an empty database")


def run(args: argparse.Namespace) -> int:
    """0 once it was told to stop and everything under way is finished.

    Raises:
        Trouble: it cannot start, or cannot go on; the text says what to do.
    """
    settings = read_settings()
    if not settings.token:
        raise SettingsTrouble("FETTLE_TOKEN is not set; make a bot with BotFather in Telegram and put its token there.")
    set_up_log(settings)
    url = database_url(args.db) if args.db else settings.database_url
    called = _called_at(args.webhook, args.listen) if args.webhook else None
    with Database(url) as database, alone(database.file):
        if args.kennel is not None:
            _fill(database, args.kennel)
        asyncio.run(_until_told(settings, database, called))
    return 0


def _fill(database: Database, file: Path) -> None:
    from bot.commands.kennel_files import fill, read_kennel_file

    fill(database, read_kennel_file(file), SystemClock().now())


def _called_at(url: str, listen: str) -> Address:
    from bot.chat.webhook import address_of  # loads the HTTP server, which polling does without

    return address_of(url, listen)


async def _until_told(settings: Settings, database: Database, called: Address | None) -> None:
    stop = asyncio.Event()
    for sign in (signal.SIGTERM, signal.SIGINT):
        asyncio.get_running_loop().add_signal_handler(sign, stop.set)
    await serve(settings, database, stop, called=called)


async def serve(
    settings: Settings,
    database: Database,
    stop: asyncio.Event,
    *,
    called: Address | None = None,
    clock: Clock | None = None,
    patience: Patience | None = None,
    pace: Pace | None = None,
    hear: Hear | None = None,
) -> None:
    """Serves until `stop` is set, polling, or `called` by a webhook; the other keywords are for tests, which hand in
    other clocks and shorter waits.

    Raises:
        Stopped: the token is not known, or another bot listens with it. Trouble: the webhook cannot be used.
    """
    clock, patience = clock or SystemClock(), patience or Patience()
    true_time = TrueTime(clock)
    bot = make_bot(settings.token, settings.api_url, true_time.heard)
    try:
        hello = await connect(bot, stop, patience, polling=called is None)
        if hello is None:
            return
        secret = codes.secret_of(settings.token, "invitations")
        sender = TelegramSender(
            bot, draw=partial(_draw, database, clock), make=partial(_make, database),
            code=partial(codes.code_of, secret), username=hello.me.username,
        )
        watch = Watch()
        measures = _measures(settings, database, watch, clock)
        delivery = Delivery(database, measures.count(sender) if measures else sender, clock, PLATFORM, pace=pace)
        turns = Turns(database, hear=hear, secret=secret)
        if measures:
            measures.time(turns)
        door = Door(TelegramBook(database), deaf=not hello.hears_all)
        intake = Intake(database, turns, door, sender, clock, hello.me, nudge=delivery.nudge)
        if not hello.hears_all:
            await _tell_that_it_is_deaf(database, sender, hello.me, clock)
        housekeeping = Housekeeping(database, clock, settings.backups)
        standing = Standing(
            Rounds(database), clock, nudge=delivery.nudge, housekeeping=housekeeping.work,
            hold=partial(_is_held, bot, database, clock, true_time),
        )
        listener = _listen(bot, intake, called, settings.token, patience)
        _watch_incoming(watch, listener, clock.monotonic())
        watch.add("turns", lambda: intake.ended, _TURN_S, clock.monotonic(), lambda: intake.busy)
        watch.add("delivery", lambda: delivery.rounds, _DELIVERY_S, clock.monotonic())
        watch.add("rounds", lambda: standing.ended, _ROUNDS_S, clock.monotonic())
        log.info("listening as @%s", hello.me.username)
        for line in await asyncio.to_thread(claiming, database, hello.me.username, clock.now(), secret):
            print(line, flush=True)
        with measures.served(*settings.metrics) if measures and settings.metrics else nullcontext():
            await _together(
                stop,
                patience.stop_s,
                listener.run(stop),
                intake.work(stop),
                delivery.run(stop),
                standing.run(stop),
                housekeeping.begin(stop),
                keep_watch(watch, clock, settings.notify, stop),
            )
    finally:
        await bot.shutdown()


def _listen(
    bot: telegram.Bot, intake: Intake, called: Address | None, token: str, patience: Patience
) -> Listener | Webhook:
    """What brings the updates in."""
    if called is None:
        return Listener(bot, intake.take_in, patience=patience)
    from bot.chat.webhook import Webhook

    return Webhook(bot, intake.take_in, called, codes.secret_of(token, "webhook").hex(), patience=patience)


def _watch_incoming(watch: Watch, listener: Listener | Webhook, now: float) -> None:
    """Polling goes on whether anybody writes or not; a webhook stands still until it is called."""
    if isinstance(listener, Listener):
        watch.add("listening", lambda: listener.calls, _LISTENING_S, now)
    else:
        watch.add("webhook", lambda: listener.ended, _CALL_S, now, lambda: listener.busy)


def _measures(settings: Settings, database: Database, watch: Watch, clock: Clock) -> Measures | None:
    if settings.metrics is None:
        return None
    from bot.commands.metrics import Measures  # its library is loaded only where somebody wants to know

    return Measures(database, lambda: watch.hanging(clock.monotonic()), settings.backups)


def _draw(database: Database, clock: Clock, chat: str, what: str) -> bytes:
    """The PNG of a picture that is sent to that chat, from the book of its kennel."""
    from bot.replies.charts import render  # loaded with the first picture, not at the start

    room = database.room_of(PLATFORM, chat)
    if room is None:
        return b""
    with database.reading(room.kennel) as store:
        kennel = store.load_kennel()
        ledger = store.load_ledger(kennel.day_of(clock.now()), kennel)
    return render(what, kennel, ledger, room.room)


def _make(database: Database, chat: str, what: str) -> tuple[str, bytes]:
    """The file that is sent to that chat, with its name: what its room may see of the kennel's whole book."""
    from bot.commands.making import make_document

    room = database.room_of(PLATFORM, chat)
    if room is None:
        raise ValueError("a file for no room of ours")
    return make_document(database, room.kennel, room.room, what)


async def _is_held(bot: telegram.Bot, database: Database, clock: Clock, true_time: TrueTime) -> bool:
    """True where the machine's clock is far from Telegram's; each breeder is told, once a day."""
    before = true_time.hearings
    if true_time.is_far:  # asked anew: it may have been put right, or the machine slept, since the server last answered
        await asked_again(bot)
    if true_time.is_far and true_time.hearings == before:
        return True  # no network yet: whether it slept or its clock is wrong is told by the next answer
    if true_time.is_far:
        log.error("the machine's clock is off by %s: nothing is announced by it", true_time.off)
        with contextlib.suppress(StorageError):
            await asyncio.to_thread(_tell_of_the_clock, database, clock)
    return true_time.is_far


def _tell_of_the_clock(database: Database, clock: Clock) -> None:
    now = clock.now()
    told = Say(key=f"clock {now.date()}", room=BREEDER, text=text("faults.clock"), about="fault")
    for kennel in database.kennels():
        with database.writing(kennel) as store:
            store.say([told], at=now)


async def _tell_that_it_is_deaf(database: Database, sender: TelegramSender, me: Me, clock: Clock) -> None:
    """Tells each breeder, at most once a day, whose family room the bot cannot hear: privacy mode, and not an admin."""
    today = clock.now().date().isoformat()
    for kennel in await asyncio.to_thread(database.kennels):
        rooms = await asyncio.to_thread(database.rooms_of, kennel)
        groups = [r.chat for r in rooms if r.platform == PLATFORM and r.room == FAMILY and not r.shut]
        if groups and not await sender.is_admin(groups[0], me.id):
            log.warning("privacy mode is on: plain messages of the family group do not arrive")
            with database.writing(kennel) as store:
                store.say([deaf(today)], at=clock.now())


async def _together(stop: asyncio.Event, stop_s: float, *works: Coroutine[Any, Any, None]) -> None:
    """Runs them side by side until `stop` is set or one fails, whose error is raised once the others have ended.

    What has not ended so long after that is cut off: a send whose answer does not come is looked after at the next
    start, as after a crash.
    """
    tasks = [asyncio.create_task(w) for w in works]
    stopping = asyncio.create_task(stop.wait())
    await asyncio.wait([*tasks, stopping], return_when=asyncio.FIRST_COMPLETED)
    stop.set()
    await asyncio.wait(tasks, timeout=stop_s)
    for task in tasks:
        task.cancel()
    ended = await asyncio.gather(*tasks, return_exceptions=True)
    await stopping
    for outcome in ended:
        if isinstance(outcome, Exception):
            raise outcome
