"""A whole audit of an archive whose truth is known: agreement, time and memory.

    python tests/benchmarks/bench_truth.py [ROWS]

The truth of a claim is the table of `tests/audit/test_truth.py`, which owes nothing to the
rulebook. Each record's identifier begins with the number of its kind, so that the verdicts can be
held against the truth kind by kind. One record in a hundred stands twice, one in a thousand names
no plant.
"""

from __future__ import annotations

import csv
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from itertools import product
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "audit"))
from test_truth import LEAVES, NAMES, STEMS, truth

from crossproof.audit.run import audit_to

HEADINGS = (
    *("occurrenceID", "Species", "Grid Ref", "Date", "Site", "Recorder"),
    *("Leaves", "Stem", "Photo", "Comments", "Habitat"),
)
PLANT_WITHOUT_CLAIM = ("Dactylorhiza fuchsii", "Ranunculus acris", "Filipendula ulmaria")
KINDS = [*product(LEAVES, STEMS, (True, False))]


def rows(count: int, seed: int = 1) -> Iterator[tuple[str, ...]]:
    """Records whose evidence stands in columns, or in a remark, in several wordings."""
    draw = random.Random(seed)
    last: tuple[str, ...] = ()
    for number in range(count):
        if number % 100 == 99:
            yield last
            continue
        place = f"SU{draw.randint(0, 999):03d}{draw.randint(0, 999):03d}"
        day = f"{draw.randint(1, 28):02d}/{draw.randint(6, 7):02d}/{draw.randint(1985, 2025)}"
        around = (place, day, f"Site {number % 977}", f"Recorder {draw.randint(1, 400)}")
        if number % 1000 == 500:
            last = (f"none-{number}", "", *around, *[""] * 4, "fen")
        elif draw.random() < 0.5:
            last = (f"plain-{number}", draw.choice(PLANT_WITHOUT_CLAIM), *around, *[""] * 4, "fen")
        else:
            kind = draw.randrange(len(KINDS))
            leaf, stem, pictured = KINDS[kind]
            leaves, stems = draw.choice(LEAVES[leaf]), draw.choice(STEMS[stem])
            photo = f"IMG_{number}.jpg" if pictured else ""
            said = (leaves, stems, photo, "")
            if draw.random() < 0.3:
                words = [f"leaves {leaves}" if leaves else "", f"stem {stems}" if stems else ""]
                said = ("", "", photo, ", ".join(filter(None, words)))
            last = (f"{kind}-{number}", draw.choice(NAMES), *around, *said, "meadow")
        yield last


def disagreements(verdicts: Path) -> tuple[Counter[str], int]:
    """The verdicts that are not the truth, by what they are, and how many rows there are."""
    import pyarrow.parquet as pq

    wrong: Counter[str] = Counter()
    total = 0
    for path in sorted(verdicts.glob("*.parquet")):
        table = pq.read_table(path, columns=["occurrenceID", "outcome", "reasons"])
        told = zip(*(table[name].to_pylist() for name in table.column_names), strict=True)
        kinds = Counter((each.partition("-")[0], *verdict) for each, *verdict in told)
        for (kind, outcome, reasons), count in kinds.items():
            total += count
            shown = (outcome, {r for r in reasons.split(";") if r})
            if shown != _truth(kind):
                wrong[f"{kind}: {outcome} {reasons}, not {_truth(kind)}"] += count
    return wrong, total


def _truth(kind: str) -> tuple[str, set[str]]:
    if kind == "none":
        return "returned", {"name_missing"}
    return ("no_claim", set()) if kind == "plain" else truth(*KINDS[int(kind)])


def main(count: int) -> None:
    with tempfile.TemporaryDirectory() as home:
        source, out = Path(home) / "known.csv", Path(home) / "out"
        with source.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerow(HEADINGS)
            csv.writer(file).writerows(rows(count))
        begun, worked = time.perf_counter(), time.process_time()
        summary = audit_to([source], out)
        clock, worked = time.perf_counter() - begun, time.process_time() - worked
        status = Path("/proc/self/status").read_text(encoding="ascii")
        peak = int(status.split("VmHWM:")[1].split()[0]) / 1024
        wrong, total = disagreements(out / "verdicts.parquet")
    print(f"{total:,} rows: {clock:.0f} s by the clock, {worked:.0f} s of one core, {peak:.0f} MB")
    print(f"verdicts with the true outcome and reasons: {total - wrong.total():,} of {total:,}")
    print(f"records that stand twice: {summary['duplicates']:,} found, {count // 100:,} made")
    for words, times in wrong.most_common(20):
        print(f"  {times:,} {words}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000_000)
