"""Make large submissions for the benchmarks: many rows, few thousand distinct texts, as in life."""

from __future__ import annotations

import csv
import random
from pathlib import Path

HEADINGS = (
    *("occurrenceID", "Species", "Grid Ref", "Date", "Site", "Recorder"),
    *("Leaves", "Stem", "Photo", "Comments", "Habitat"),
)
_NAMES = (
    ["Dactylorhiza × grandis", "D. fuchsii x praetermissa", "Dactylorhiza x venusta"] * 2
    + ["Dactylorhiza praetermissa", "Dactylorhiza fuchsii", "Southern Marsh-orchid"] * 3
    + ["Dactylorhiza × transiens", "Dactylorhiza incarnata", "Geum × intermedium"]
    + ["Ranunculus acris", "Filipendula ulmaria", "Carex flacca"] * 2
)
_LEAVES = ["", "", "spotted", "unmarked", "ring spots", "transverse bars", "not looked at"]
_STEMS = ["", "", "hollow", "solid", "partly hollow", "not tested"]
_REMARKS = [
    "",
    "",
    "leaves spotted, stem hollow when squeezed; photo taken",
    "lvs unsp., stem hollow",
    "named on flowers alone",
    "by the ditch with ragged robin",
    "leaves not examined",
    "c. {n} spikes along the {n} m ride",
    "lvs with transverse bars, {n} plants",
]


def write_rows(path: Path, rows: int, seed: int = 1) -> None:
    """Write `rows` records: about 2,000 sites, 4,000 days, 2,500 remarks, each seen many times."""
    draw = random.Random(seed)
    sites = [(f"Site {n}", _square(draw)) for n in range(2_000)]
    remarks = [draw.choice(_REMARKS).format(n=n) for n in range(2_500)]
    days = [_day(draw) for _ in range(4_000)]
    people = [f"Recorder {n}" for n in range(300)]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADINGS)
        for number in range(rows):
            site, square = draw.choice(sites)
            photo = f"img_{number}.jpg" if draw.random() < 0.2 else ""
            writer.writerow(
                (
                    f"rec-{seed}-{number}",
                    draw.choice(_NAMES),
                    square,
                    draw.choice(days),
                    site,
                    draw.choice(people),
                    draw.choice(_LEAVES),
                    draw.choice(_STEMS),
                    photo,
                    draw.choice(remarks),
                    draw.choice(("fen", "meadow", "wet heath", "")),
                )
            )


def _square(draw: random.Random) -> str:
    letters = draw.choice(("SU", "SP", "TL", "ST", "SO", "SK"))
    return f"{letters}{draw.randint(0, 999):03d}{draw.randint(0, 999):03d}"


def _day(draw: random.Random) -> str:
    return f"{draw.randint(1, 28):02d}/{draw.randint(5, 8):02d}/{draw.randint(1975, 2025)}"
