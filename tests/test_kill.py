"""Killed at any moment, the output folder is absent or whole, and the next run goes well.

The moments are drawn at random over the time that a whole run takes here, the seed fixed. To try
it on more rows: `CROSSPROOF_KILL_ROWS=30000 CROSSPROOF_KILLS=15 python -m pytest tests/`.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent / "benchmarks"))
from generate import write_rows

ROWS = int(os.environ.get("CROSSPROOF_KILL_ROWS", "500"))
MOMENTS = int(os.environ.get("CROSSPROOF_KILLS", "6"))
PROMISED = {
    *("verdicts.csv", "returned.csv", "findings.csv", "summary.json", "report.html"),
    *("dwca", "dwca.zip", "dwc-dp", "datapackage.json"),
}


def start(source: Path, out: Path) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "crossproof", "vet", source, "--out", out]
    return subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def is_whole(out: Path, rows: int) -> bool:
    """All that is promised is there, and the summary counts what the tables hold."""
    assert {path.name for path in out.iterdir()} >= PROMISED
    assert json.loads((out / "summary.json").read_text("utf-8"))["rows"] == rows
    with (out / "verdicts.csv").open(encoding="utf-8", newline="") as file:
        assert sum(1 for _ in file) >= rows + 1
    assert not any(out.rglob(".*"))
    return True


@pytest.fixture(scope="module")
def source(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("kill") / "records.csv"
    write_rows(path, ROWS)
    return path


@pytest.fixture(scope="module")
def seconds(source: Path, tmp_path_factory) -> float:
    """How long a whole run takes on this machine."""
    out = tmp_path_factory.mktemp("timing") / "out"
    begun = time.monotonic()
    assert start(source, out).wait() == 0
    assert is_whole(out, ROWS)
    return time.monotonic() - begun


def test_killed_at_random_moments(source: Path, seconds: float, tmp_path: Path) -> None:
    small, stored, out = tmp_path / "small.csv", tmp_path / "stored", tmp_path / "out"
    write_rows(small, 50, seed=2)
    assert start(small, stored).wait() == 0
    draw = random.Random(11)
    killed = 0
    earlier = 0  # rows of the output that stands there; 0 where there is none
    for moment in sorted(draw.uniform(0.05, 1.05) * seconds for _ in range(MOMENTS)):
        if earlier != 50 and draw.random() < 0.5:  # half of them replace an earlier output
            shutil.rmtree(out, ignore_errors=True)
            shutil.copytree(stored, out)
            earlier = 50
        process = start(source, out)
        time.sleep(moment)
        process.send_signal(signal.SIGKILL)
        killed += process.wait() == -signal.SIGKILL
        if out.exists():
            rows = json.loads((out / "summary.json").read_text("utf-8"))["rows"]
            assert rows in (earlier, ROWS)
            assert is_whole(out, rows)
            earlier = rows
        else:
            earlier = 0
    assert killed >= MOMENTS / 2  # or nothing was tried
    assert start(small, out).wait() == 0
    assert is_whole(out, 50)
    assert {path.name for path in tmp_path.iterdir()} == {"out", "small.csv", "stored"}
