"""How long an audit takes, against reading and writing the same file, and against two validators.

    python tests/benchmarks/bench_audit.py [ROWS] [RUNS]

Everything runs on one core, each measurement in a process of its own, and the medians are compared.
Seconds are the process's own, so other work on the machine weighs less; memory is the peak of the
whole process. `workers` compares one worker with two by the clock, which needs two idle cores.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from generate import HEADINGS, write_rows

MEASURES = {
    "csv read and write": """
import csv
with open(source, encoding="utf-8", newline="") as a:
    with open(out, "w", encoding="utf-8", newline="") as b:
        csv.writer(b).writerows(csv.reader(a))
""",
    "audit of CSV": """
from pathlib import Path
from crossproof.audit.run import audit_to
audit_to([Path(source)], Path(out))
""",
    "audit of Parquet": """
from pathlib import Path
from crossproof.audit.run import audit_to
audit_to([Path(source).with_suffix(".parquet")], Path(out))
""",
    "frictionless": """
from frictionless import Resource, Schema, system
from pathlib import Path
fields = [{"name": n, "type": "date" if n == "Date" else "string"} for n in headings]
fields = [{**f, "format": "%d/%m/%Y"} if f["type"] == "date" else f for f in fields]
schema = Schema.from_descriptor({"fields": fields, "primaryKey": ["occurrenceID"]})
with system.use_context(trusted=True):
    report = Resource(path=source, schema=schema).validate()
assert report.valid, report.flatten(["note"])[:3]
""",
    "jsonschema": """
import csv
from jsonschema import Draft202012Validator
texts = {n: {"type": "string"} for n in headings}
texts["Date"]["pattern"] = "^[0-9]{2}/[0-9]{2}/[0-9]{4}$"
schema = {"type": "object", "required": list(headings), "properties": texts}
validator = Draft202012Validator(schema)
with open(source, encoding="utf-8", newline="") as file:
    assert all(validator.is_valid(row) for row in csv.DictReader(file))
""",
}
_AROUND = """
import sys, time
source, out, headings = sys.argv[1], sys.argv[2], {headings!r}
begun = time.process_time()
{code}
taken = time.process_time() - begun
# Not getrusage: its peak begins with the memory of the process that started this one.
status = open("/proc/self/status").read()
print(taken, int(status.split("VmHWM:")[1].split()[0]) / 1024)
"""
_WORKERS = """
import sys, time
from pathlib import Path
from crossproof.audit.run import audit_to
from crossproof.scale import cluster
if __name__ == "__main__":
    with cluster(workers=int(sys.argv[3])) as work:
        audit_to([Path(sys.argv[1])], Path(sys.argv[2] + "-warm"), work=work)
        begun = time.perf_counter()
        audit_to([Path(sys.argv[1])], Path(sys.argv[2]), work=work)
        print(time.perf_counter() - begun, 0)
"""


def measure(code: str, *arguments: str) -> tuple[float, float]:
    """Seconds and megabytes of one run in a fresh process on one core."""
    with tempfile.TemporaryDirectory() as home:
        script = Path(home) / "run.py"
        script.write_text(code, encoding="utf-8")
        command = [sys.executable, str(script), arguments[0], f"{home}/out", *arguments[1:]]
        # Modules are compiled once and kept, as they are where the program is installed.
        around = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        told = subprocess.run(command, check=True, capture_output=True, text=True, env=around)
    seconds, megabytes = told.stdout.split()[-2:]
    return float(seconds), float(megabytes)


def _as_parquet(source: Path) -> None:
    import pyarrow.csv as arrow_csv
    import pyarrow.parquet as pq

    options = arrow_csv.ConvertOptions(column_types=dict.fromkeys(HEADINGS, "string"))
    table = arrow_csv.read_csv(source, convert_options=options)
    pq.write_table(table, source.with_suffix(".parquet"), row_group_size=250_000)


def main(rows: int, runs: int) -> None:
    with tempfile.TemporaryDirectory() as home:
        source = Path(home) / "records.csv"
        write_rows(source, rows)
        _as_parquet(source)
        print(f"{rows:,} rows, {source.stat().st_size / 1e6:.0f} MB, medians of {runs}")
        if hasattr(os, "sched_setaffinity"):
            cores = os.sched_getaffinity(0)
            os.sched_setaffinity(0, {max(cores)})
        found: dict[str, list[tuple[float, float]]] = {name: [] for name in MEASURES}
        for _ in range(runs):  # by turns, so that a busy minute strikes all alike
            for name, code in MEASURES.items():
                script = _AROUND.format(headings=HEADINGS, code=code)
                found[name].append(measure(script, str(source)))
        median = {name: statistics.median(s for s, _ in seen) for name, seen in found.items()}
        base = median["audit of CSV"]
        for name, seconds in median.items():
            memory = max(megabytes for _, megabytes in found[name])
            print(f"{name:20} {seconds:8.2f} s {seconds / base:6.2f} × audit {memory:6.0f} MB")
        print(f"audit / csv: {base / median['csv read and write']:.2f}")
        if hasattr(os, "sched_setaffinity"):
            os.sched_setaffinity(0, cores)
        taken: dict[str, list[float]] = {"1": [], "2": []}
        for _ in range(runs):
            for workers, seen in taken.items():
                seen.append(measure(_WORKERS, str(source), workers)[0])
        one, two = map(statistics.median, taken.values())
        print(f"workers: one {one:.1f} s, two {two:.1f} s, {one / two:.2f} × as fast")


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:]]
    main(given[0] if given else 1_000_000, given[1] if len(given) > 1 else 5)
