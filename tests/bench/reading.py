"""How fast the reader is and how much it finds, beside general-purpose extractors on the same messages.

Run `python -m tests.bench.reading [FOLDER …]` for the tables; without a folder, on the labelled kennels of this
project. Times are processor time on one core, each message read five times and the middle one counted, so that a busy
machine does not show. An extractor that is not installed is passed over with a line.

What is found, each kind counted once a message however many dogs it is for:
- quantities: the expected weights, bowls in cups or grams, temperatures and heights. A tool has found one where it
  gives that value in any unit, two neighbouring masses (pounds and ounces) added up, or a bare figure that is the
  value in any unit of the family: which dog, and whether it happened, is not asked of it. Of the reader it is asked.
- days: the expected days other than the message's own. A tool has found one where it gives that day.
- small talk: how many of the messages that record nothing and ask nothing give the tool such a quantity or a day.
"""

from __future__ import annotations

import platform
import statistics
import subprocess
import sys
import warnings
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from pathlib import Path
from time import process_time

from bot.reading import read
from core import units
from core.entries import Entry, Height, Meal, Temperature, Treat, Weight
from tests.reading.labelled import Folder, Labelled, folders, load, outcomes

ROUNDS = 5
NEAR = 0.005  # a tool's own rounding of a conversion is no fault (own choice)
KG = {"kilogram": 1.0, "gram": 0.001, "pound": units.KG_PER_LB, "ounce": units.KG_PER_OZ, "stone": units.KG_PER_STONE}
CUPS = {
    "cup": 1.0,
    "tablespoon": 1 / units.TBSP_PER_CUP,
    "teaspoon": 1 / units.TSP_PER_CUP,
    "millilitre": 1 / units.ML_PER_CUP,
    "decilitre": 100 / units.ML_PER_CUP,
}
CM = {"centimetre": 1.0, "inch": units.CM_PER_INCH}
# The extractors' names of units, by ours; US spellings and quantulum's own names.
SYNONYMS = {
    "pound-mass": "pound", "centimeter": "centimetre", "milliliter": "millilitre", "cubic centimetre": "millilitre",
    "deciliter": "decilitre", "degree celsius": "celsius", "degree fahrenheit": "fahrenheit", "c": "celsius",
    "f": "fahrenheit", "fluid ounce": "fluid ounce", "dimensionless": "",
}  # fmt: skip

Said = tuple[float, str]  # a figure and our name of its unit, "" for none
Wanted = tuple[str, float]  # kg, cup, g, celsius or cm, and the value


Found = tuple[list[Wanted] | None, list[date] | None]  # None where it is not the tool's job


@dataclass(frozen=True)
class Tool:
    """An extractor: the quantities and the days that it makes of a message."""

    name: str
    job: str
    extract: Callable[[Labelled, Folder], Found]


@dataclass
class Score:
    """What a tool found, and what each message cost in milliseconds."""

    tool: Tool
    quantities: int | None = None
    days: int | None = None
    talk_quantities: int = 0
    talk_days: int = 0
    failed: int = 0
    times: tuple[float, ...] = ()


# --- what is to be found ---------------------------------------------------------------------------------------


def wanted_quantities(line: Labelled) -> set[Wanted]:
    """The measured values that the message must give."""
    found = set()
    for e in line.expected.get("entries", ()):
        if e["kind"] == "weight":
            found.add(("kg", e["kg"]))
        elif e["kind"] in ("meal", "treat") and e.get("unit") in ("cup", "g") and "amount" in e:
            found.add((e["unit"], e["amount"]))
        elif e["kind"] == "temperature":
            found.add(("celsius", e["celsius"]))
        elif e["kind"] == "height":
            found.add(("cm", e["cm"]))
    return found


def wanted_days(line: Labelled, folder: Folder) -> set[date]:
    """The days that the message must give, but for its own."""
    own = folder.kennel.day_of(line.message.sent_at)
    days = {date.fromisoformat(e["on"]) for e in line.expected.get("entries", ()) if not e.get("replaces")}
    return days - {own}


def _near(a: float, b: float) -> bool:
    return abs(a - b) <= NEAR * max(abs(a), abs(b))


def meanings(said: Sequence[Said]) -> list[Wanted]:
    """Every value that these figures may stand for."""
    out: list[Wanted] = []
    for value, unit in said:
        bare = unit == ""
        if bare or unit in KG:
            out += [("kg", value * f) for u, f in KG.items() if bare or u == unit]
            out += [("g", value * f * 1000) for u, f in KG.items() if bare or u == unit]
        if bare or unit in CUPS:
            out += [("cup", value * f) for u, f in CUPS.items() if bare or u == unit]
        if bare or unit in CM:
            out += [("cm", value * f) for u, f in CM.items() if bare or u == unit]
        if bare or unit == "celsius":
            out.append(("celsius", value))
        if bare or unit == "fahrenheit":
            out.append(("celsius", units.celsius(value)))
    for (a, one), (b, other) in pairwise(said):
        if one in KG and (other in KG or other == ""):
            smaller = KG[other] if other else {"stone": KG["pound"], "pound": KG["ounce"]}.get(one, 0.0)
            out.append(("kg", a * KG[one] + b * smaller))
    return out


def found_of(wanted: Iterable[Wanted], got: Sequence[Wanted]) -> int:
    """How many of the wanted values are among those."""
    return sum(any(kind == k and _near(value, v) for k, v in got) for kind, value in wanted)


# --- the reader and the extractors -----------------------------------------------------------------------------


def _fettle(line: Labelled, folder: Folder) -> Found:
    m = line.message
    entries = read(m.text, m.sender, m.sent_at, folder.kennel, line.before).entries
    own = folder.kennel.day_of(m.sent_at)
    return _measured(entries), [e.on for e in entries if e.on != own]


def _measured(entries: Sequence[Entry]) -> list[Wanted]:
    out: list[Wanted] = []
    for e in entries:
        if isinstance(e, Weight):
            out.append(("kg", e.kg))
        elif isinstance(e, Meal | Treat) and e.amount is not None and e.unit in ("cup", "g"):
            out.append((e.unit, e.amount))
        elif isinstance(e, Temperature):
            out.append(("celsius", e.celsius))
        elif isinstance(e, Height):
            out.append(("cm", e.cm))
    return out


def _unit(name: str) -> str:
    low = name.casefold()
    return SYNONYMS.get(low, low)


def _quantulum() -> list[Tool]:
    warnings.filterwarnings("ignore", module="quantulum3")
    from quantulum3 import parser

    def extract(line: Labelled, folder: Folder) -> Found:
        found = parser.parse(line.message.text)
        return meanings([(float(q.value), _unit(q.unit.name)) for q in found]), None

    return [Tool("quantulum3", "quantities", extract)]


def _recognizers() -> list[Tool]:
    from recognizers_date_time import recognize_datetime
    from recognizers_number import recognize_number
    from recognizers_number_with_unit import recognize_dimension, recognize_temperature
    from recognizers_text import Culture

    def quantities(line: Labelled, folder: Folder) -> Found:
        text = line.message.text
        found = [*recognize_dimension(text, Culture.English), *recognize_temperature(text, Culture.English)]
        taken = [(f.start, f.end) for f in found]
        said = [(f.start, f.resolution["value"], _unit(f.resolution["unit"] or "")) for f in found if f.resolution]
        for f in recognize_number(text, Culture.English):
            if not any(a <= f.start <= b for a, b in taken) and f.resolution:
                said.append((f.start, f.resolution["value"], ""))
        said.sort(key=lambda s: s[0])
        return meanings([(float(v), u) for _, v, u in said if v not in (None, "")]), None

    def days(line: Labelled, folder: Folder) -> Found:
        local = folder.kennel.local(line.message.sent_at).replace(tzinfo=None)
        out: list[date] = []
        for f in recognize_datetime(line.message.text, Culture.English, reference=local):
            for value in (f.resolution or {}).get("values", ()):
                written = str(value.get("value") or value.get("start") or "")[:10]
                try:
                    out.append(date.fromisoformat(written))
                except ValueError:
                    continue
        return None, [d for d in out if d != local.date()]

    return [Tool("recognizers-text", "quantities", quantities), Tool("recognizers-text", "days", days)]


def _dateparser() -> list[Tool]:
    from dateparser.search import search_dates

    def extract(line: Labelled, folder: Folder) -> Found:
        local = folder.kennel.local(line.message.sent_at).replace(tzinfo=None)
        order = "DMY" if folder.kennel.day_first else "MDY"
        settings = {"RELATIVE_BASE": local, "PREFER_DATES_FROM": "past", "DATE_ORDER": order}
        found = search_dates(line.message.text, languages=["en"], settings=settings) or []
        return None, [at.date() for _, at in found if at.date() != local.date()]

    return [Tool("dateparser.search", "days", extract)]


# --- measuring -------------------------------------------------------------------------------------------------


def score(tool: Tool, kennels: Sequence[Folder]) -> Score:
    """What the tool finds in all messages, and the middle time of each."""
    out = Score(tool)
    times: list[float] = []
    for folder in kennels:
        for line in folder.lines:
            found: Found = (None, None)
            took: list[float] = []
            for _ in range(ROUNDS):
                start = process_time()
                try:
                    found = tool.extract(line, folder)
                except Exception:
                    out.failed += not took
                took.append((process_time() - start) * 1000)
            times.append(statistics.median(took))
            quantities, days = found
            if quantities is not None:
                out.quantities = (out.quantities or 0) + found_of(wanted_quantities(line), quantities)
                out.talk_quantities += line.is_small_talk and bool(quantities)
            if days is not None:
                out.days = (out.days or 0) + len(wanted_days(line, folder) & set(days))
                out.talk_days += line.is_small_talk and bool(days)
    out.times = tuple(times)
    return out


def speed(found: Score) -> str:
    """One line of the table of speed."""
    ordered = sorted(found.times)
    mean, p50 = statistics.fmean(ordered), statistics.median(ordered)
    p99 = ordered[min(len(ordered) - 1, int(len(ordered) * 0.99))]
    per_second = 1000 / mean
    label = f"{found.tool.name}, {found.tool.job}"
    return f"{label:<30}{per_second:>10.0f}{mean:>8.2f}{p50:>8.2f}{p99:>8.2f}{ordered[-1]:>9.2f}{found.failed:>8}"


def finds(found: Score, quantities: int, days: int, talk: int) -> str:
    """One line of the table of what was found."""

    def share(part: int | None, whole: int) -> str:
        return "-" if part is None else f"{part} of {whole} ({100 * part / max(whole, 1):.0f} %)"

    noise = found.talk_quantities if found.days is None else found.talk_days
    if found.quantities is not None and found.days is not None:
        noise = max(found.talk_quantities, found.talk_days)
    label = f"{found.tool.name}, {found.tool.job}"
    return f"{label:<30}{share(found.quantities, quantities):>20}{share(found.days, days):>18}{noise:>8} of {talk}"


_FIRST = """
import time
start = time.process_time()
from datetime import UTC, date, datetime
from bot.reading import read
from core.roster import Dog, Kennel
kennel = Kennel(name="K", dogs=(Dog(name="Zorvik", sex="m", born=date(2024, 1, 1)),))
assert read("Zorvik 9.4 kg yesterday", "Ottilie", datetime(2026, 7, 8, 9, tzinfo=UTC), kennel).entries
print(time.process_time() - start)
"""


def _first() -> float:
    """Processor seconds from the import to the end of the first message, in a new process: the middle of five."""
    runs = [subprocess.run([sys.executable, "-c", _FIRST], capture_output=True, check=True) for _ in range(5)]
    return statistics.median(float(run.stdout) for run in runs)


def _most_megabytes() -> float:
    """The most memory that this process has held; Linux only, as `ru_maxrss` would count the parent's too."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmHWM")) / 1024


def _memory(paths: Sequence[str]) -> float:
    """Megabytes at most in a process that reads all of the messages and nothing else."""
    command = [sys.executable, "-m", "tests.bench.reading", "--memory", *paths]
    return float(subprocess.run(command, capture_output=True, check=True).stdout)


def _read_all(kennels: Iterable[Folder]) -> None:
    for folder in kennels:
        for line in folder.lines:
            _fettle(line, folder)


def main(paths: Sequence[str]) -> None:
    """Prints the tables."""
    if paths[:1] == ["--memory"]:
        _read_all(load(Path(p)) for p in paths[1:])
        print(_most_megabytes())
        return
    at = list(paths) or [str(p) for p in folders()]
    kennels = [load(Path(p)) for p in at]
    lines = [(line, folder) for folder in kennels for line in folder.lines]
    tools = [Tool("Fettle", "everything", _fettle)]
    for name, make in (("quantulum3", _quantulum), ("recognizers-text", _recognizers), ("dateparser", _dateparser)):
        try:
            tools += make()
        except ImportError:
            print(f"{name} is not installed: passed over")
    _read_all(kennels)  # what is made once is made now
    scores = [score(tool, kennels) for tool in tools]
    talk = sum(line.is_small_talk for line, _ in lines)
    quantities = sum(len(wanted_quantities(line)) for line, _ in lines)
    days = sum(len(wanted_days(line, folder)) for line, folder in lines)
    exact = sum(o.exact for folder in kennels for o in outcomes(folder))
    print(f"Python {platform.python_version()}; {len(lines)} messages of {len(kennels)} kennels, {talk} of them talk")
    print(f"Fettle reads {exact} of {len(lines)} exactly ({100 * exact / len(lines):.1f} %)")
    print(f"import and first message {_first():.2f} s; memory {_memory(at):.0f} MB")
    print(f"\n{'milliseconds a message':<30}{'a second':>10}{'mean':>8}{'p50':>8}{'p99':>8}{'slowest':>9}{'failed':>8}")
    print("\n".join(speed(found) for found in scores))
    print(f"\n{'found':<30}{'quantities':>20}{'days':>18}{'in small talk':>15}")
    print("\n".join(finds(found, quantities, days, talk) for found in scores))


if __name__ == "__main__":
    main(sys.argv[1:])
