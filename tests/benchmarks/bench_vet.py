"""Time `crossproof vet` against reading and writing the same file with the csv module.

    python tests/benchmarks/bench_vet.py [--rows 100000] [--repeats 3]

Both run in processes of their own, in turn, so that a busy machine is busy for both. Prints the
median of wall and of processor seconds of each, their ratios, and the peak memory of `vet`.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

from generate import write_rows

COPY = """
import csv, sys
with open(sys.argv[1], encoding="utf-8", newline="") as given:
    with open(sys.argv[2], "w", encoding="utf-8", newline="") as copy:
        csv.writer(copy).writerows(csv.reader(given))
"""


def run(*command: str | Path) -> tuple[float, float, float]:
    """Run a command to its end: wall and processor seconds, peak memory in MB (10**6 bytes)."""
    begun = time.perf_counter()
    nowhere = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)]
    words = [sys.executable, *map(str, command)]
    process = os.posix_spawn(sys.executable, words, os.environ, file_actions=nowhere)
    _, status, usage = os.wait4(process, 0)
    if status:
        raise SystemExit(f"{words} failed with {os.waitstatus_to_exitcode(status)}")
    unit = 1 if sys.platform == "darwin" else 1024  # ru_maxrss is in bytes there, in kB elsewhere
    wall = time.perf_counter() - begun
    return wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss * unit / 1e6


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rows", type=int, default=100_000)
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("options", nargs="*", help="further options of vet, after --")
    chosen = parser.parse_args()
    copies: list[tuple[float, float, float]] = []
    vets: list[tuple[float, float, float]] = []
    with tempfile.TemporaryDirectory() as home:
        source, out = Path(home, "records.csv"), Path(home, "out")
        write_rows(source, chosen.rows)
        for _ in range(chosen.repeats):
            copies.append(run("-c", COPY, source, Path(home, "copy.csv")))
            vets.append(run("-m", "crossproof", "vet", source, "--out", out, *chosen.options))
        summary = json.loads((out / "summary.json").read_text("utf-8"))
        size = sum(path.stat().st_size for path in out.rglob("*") if path.is_file())
        megabytes = source.stat().st_size / 1e6
    assert summary["rows"] == chosen.rows
    print(f"{chosen.rows:,} rows, {megabytes:.1f} MB in, {size / 1e6:.1f} MB out")
    print(f"median of {chosen.repeats}      csv module   crossproof vet   ratio")
    for name, which in (("wall", 0), ("processor", 1)):
        copy, vet = (statistics.median(taken[which] for taken in all_) for all_ in (copies, vets))
        print(f"{name:<12} {copy:10.2f} s {vet:14.2f} s {vet / copy:7.1f}")
    print(f"peak memory of vet: {max(taken[2] for taken in vets):.0f} MB")


if __name__ == "__main__":
    main()
