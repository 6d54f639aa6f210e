"""What judging costs beside reading: `python tests/benchmarks/bench_judge.py [ROWS]`.

Reading a record is what leads from the file to what the judge weighs: cells, then names, places,
dates and remarks. Judging looks each distinct combination up; it must cost less than a tenth of
that. Exits with 1 where it costs more. Times are of the processor, on one core.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from time import process_time

from generate import write_rows

from crossproof.options import Options
from crossproof.vetter import Vetter

LARGEST_SHARE = 0.1


def main(rows: int) -> int:
    """Read, parse and judge `rows` records, and say what each took."""
    with tempfile.TemporaryDirectory() as home:
        path = Path(home) / "records.csv"
        write_rows(path, rows)
        reading, parsing, judging, judged, distinct = measured(path)
    share = judging / (reading + parsing)
    print(f"{judged:,} rows, {distinct:,} distinct combinations judged")
    print(f"reading  {reading:7.2f} s  the file into chunks of cells")
    print(f"         {parsing:7.2f} s  cells into cases: names, places, dates, remarks")
    print(f"judging  {judging:7.2f} s  {share:.1%} of both (at most {LARGEST_SHARE:.0%})")
    return 0 if share < LARGEST_SHARE else 1


def measured(path: Path) -> tuple[float, float, float, int, int]:
    """Seconds of reading, parsing and judging; rows; distinct combinations."""
    vetter = Vetter(Options())
    reading = parsing = judging = 0.0
    rows = 0
    chunks = vetter.chunks(path)
    while True:
        start = process_time()
        chunk = next(chunks, None)
        reading += process_time() - start
        if chunk is None:
            return reading, parsing, judging, rows, len(vetter._judge._known)
        start = process_time()
        records = vetter._reader.read(chunk)
        parsing += process_time() - start
        start = process_time()
        verdicts = records.cases.map(vetter._judge)
        judging += process_time() - start
        rows += len(verdicts)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000))
