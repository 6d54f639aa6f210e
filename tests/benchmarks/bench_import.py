"""Time what everybody waits for first: `import crossproof` and `crossproof --help`.

    python tests/benchmarks/bench_import.py [--repeats 15]

Against a bare `python -c pass` in the same run, so that what is the interpreter's own is seen.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import time

COMMANDS = {
    "python -c pass": ("-c", "pass"),
    "import crossproof": ("-c", "import crossproof"),
    "crossproof --help": ("-m", "crossproof", "--help"),
}


def seconds(command: tuple[str, ...]) -> float:
    begun = time.perf_counter()
    subprocess.run([sys.executable, *command], check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begun


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--repeats", type=int, default=15)
    repeats = parser.parse_args().repeats
    taken: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for _ in range(repeats):
        for name, command in COMMANDS.items():
            taken[name].append(seconds(command))
    bare = statistics.median(taken["python -c pass"])
    for name, times in taken.items():
        median = statistics.median(times)
        print(f"{name:<18} {median * 1000:6.0f} ms, {(median - bare) * 1000:+5.0f} ms beyond bare")


if __name__ == "__main__":
    main()
