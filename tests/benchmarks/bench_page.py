"""Time the report page at its fullest: `python tests/benchmarks/bench_page.py [--records 5000]`.

Every record has words, place, date and identifier of its own, so that no two share a reasoning's
words: the worst case. The time to write the page is set beside that of writing as many rows with
csv; how long a browser takes to open it is looked at by hand.
"""

from __future__ import annotations

import argparse
import csv
import statistics
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from report.builder import LEAF, STEM, Row
from report.test_page import written


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--records", type=int, default=5000)
    parser.add_argument("--repeats", type=int, default=5)
    chosen = parser.parse_args()
    rows = [
        Row(
            words=f"D. x grandis no. {n}",
            evidence=(replace(LEAF, words=f"rings on {n}"), replace(STEM, words=f"hollow {n}")),
            where={"locality": f"Fen {n}", "verbatimCoordinates": f"SU {n:04} 4567"},
            recorder=f"Recorder {n}",
        )
        for n in range(chosen.records)
    ]
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        page = _median(lambda: written(home, rows), chosen.repeats)
        plain = _median(lambda: _as_csv(home / "rows.csv", rows), chosen.repeats)
    print(
        f"{chosen.records} records: page {page:.2f} s, csv {plain:.3f} s, {page / plain:.0f} times"
    )


def _as_csv(path: Path, rows: list[Row]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([row.words, *row.where.values(), row.recorder] for row in rows)


def _median(run: object, repeats: int) -> float:
    times = []
    for _ in range(repeats):
        started = time.perf_counter()
        run()  # type: ignore[operator]
        times.append(time.perf_counter() - started)
    return statistics.median(times)


if __name__ == "__main__":
    main()
