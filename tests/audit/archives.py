"""Small archives for the audit's tests, with what is in them known."""

from __future__ import annotations

import csv
import random
from collections.abc import Sequence
from pathlib import Path

HEADINGS = ("occurrenceID", "species", "Grid Ref", "Date", "Recorder", "Leaves", "Stem", "Photo")
NAMES = (
    "D. x grandis",
    "Dactylorhiza × venusta",
    "D. praetermissa",
    "D. fuchsii",
    "Bellis perennis",
)
PEOPLE = ("Mab Thornley", "Thornley, Mab", "Oswin Carrow", "")
Row = tuple[str, ...]


def rows(count: int, seed: int = 1) -> list[Row]:
    """Rows as people write them, every one with a plant; identifiers are unique."""
    draw = random.Random(seed)
    return [
        (
            f"id-{seed}-{i}",
            draw.choice(NAMES),
            draw.choice(("SU 123 456", "SU1245", "TL99", "51.2, -1.8", "by the gate")),
            f"{draw.randint(1, 28)}/6/{draw.randint(1980, 2024)}",
            draw.choice(PEOPLE),
            draw.choice(("", "ring spots", "transverse bars", "unmarked")),
            draw.choice(("", "hollow", "partly hollow")),
            draw.choice(("", f"img_{i}.jpg", "no")),
        )
        for i in range(count)
    ]


def write(path: Path, table: Sequence[Row], headings: Row = HEADINGS) -> Path:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([headings, *table])
    return path


def read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def contents(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
