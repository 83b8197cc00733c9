"""The pictures that the README shows, drawn from the demo kennel on its morning: the same at any hour."""

from __future__ import annotations

from datetime import datetime, timedelta
from importlib.resources import files
from pathlib import Path

from bot.commands.chat import DEMO_START
from bot.enrolment.kennel_file import parse
from bot.reading import read
from bot.replies import charts
from core.ledger import Ledger, Posted
from core.roster import BREEDER, FAMILY, Kennel

# What the family writes that morning, read as any message is.
MORNING = (
    ("Maya", "Nugget 9.4 kg, ears half up"),
    ("Maya", "red 472 blue 494 white 451 yellow 443"),
    ("Maya", "green 341"),
)
# Each file, the picture in it, and the room whose view it shows.
PICTURES = {
    "nugget.png": ("weight:Nugget", "", FAMILY),
    "nugget-dark.png": ("weight:Nugget", ":dark", FAMILY),
    "litter.png": ("litter:Heather", "", FAMILY),
    "food.png": ("food:Nugget", ":people", BREEDER),
}


def write(folder: Path) -> tuple[Path, ...]:
    """Draw every picture into the folder, made where it is not there; the paths written."""
    file = parse((files("shared") / "kennels" / "larkrise.yaml").read_text(encoding="utf-8"))
    at = DEMO_START.replace(tzinfo=file.kennel.tz)
    ledger = _after_the_morning(file.kennel, Ledger(file.history), at)
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, (what, more, room) in PICTURES.items():
        path = folder / name
        path.write_bytes(charts.render(f"chart:{what}:{at.date()}{more}", file.kennel, ledger, room))
        written.append(path)
    return tuple(written)


def _after_the_morning(kennel: Kennel, ledger: Ledger, at: datetime) -> Ledger:
    """The book with what the morning's messages tell."""
    told = [
        (who, n, entry)
        for n, (who, said) in enumerate(MORNING)
        for entry in read(said, who, at + timedelta(minutes=n), kennel).entries
    ]
    last = max((p.id for p in ledger.history()), default=0)
    return ledger.added(
        [
            Posted(id=last + k, entry=entry, at=at + timedelta(minutes=n), by=who, message=f"morning-{n}")
            for k, (who, n, entry) in enumerate(told, 1)
        ]
    )
