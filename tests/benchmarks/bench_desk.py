"""Time the desk over a large queue: from the command to the first page, then view by view.

Run it by hand: `python tests/benchmarks/bench_desk.py [RECORDS] [FOLDER]`. A FOLDER that `vet`
wrote is used as it is; without one, RECORDS made-up records (50,000) are vetted first.
"""

from __future__ import annotations

import http.cookiejar
import re
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from generate import write_rows

from crossproof.desk.index import NAME as INDEX

RECORDS = 50_000
TIMES = 5
VIEWS = {
    "open records": "/",
    "all records": "/?state=any",
    "lowered": "/?outcome=lowered",
    "lowered, by reason": "/?outcome=lowered&reason=leaf_missing",
    "one recorder and year": "/?recorder=Recorder+7&year=2019",
    "search": "/?text=site+1+ditch",
    "sorted by place, last page": "/?state=any&sort=place&down=1&page=1000",
    "one record": "/record/{middle}?outcome=lowered",
    "rulings": "/rulings",
}


def main() -> None:
    """Vet if need be, start the desk twice, and print seconds."""
    records = int(sys.argv[1]) if len(sys.argv) > 1 else RECORDS
    with tempfile.TemporaryDirectory() as home:
        folder = Path(sys.argv[2]) if len(sys.argv) > 2 else _vetted(Path(home), records)
        (folder / INDEX).unlink(missing_ok=True)
        for told in ("first opening, index made", "opened again"):
            begun = time.perf_counter()
            desk, browser, base = _open(folder)
            _get(browser, f"{base}/")
            print(f"{told:<32} {time.perf_counter() - begun:6.2f} s from the command to a page")
            if told == "opened again":
                for name, address in VIEWS.items():
                    _time(browser, name, f"{base}{address.format(middle=records // 2)}")
            desk.kill()
            desk.wait()


def _vetted(home: Path, records: int) -> Path:
    write_rows(home / "rows.csv", records)
    command = [sys.executable, "-m", "crossproof", "vet", str(home / "rows.csv"), "--no-quality"]
    subprocess.run([*command, "--out", str(home / "out")], check=True, stdout=subprocess.DEVNULL)
    return home / "out"


def _open(folder: Path) -> tuple[subprocess.Popen[str], urllib.request.OpenerDirector, str]:
    command = [sys.executable, "-m", "crossproof", "desk", str(folder)]
    desk = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert desk.stdout
    found = re.search(r"http://\S+", desk.stdout.readline())
    assert found, "the desk did not open"
    jar = urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar())
    browser = urllib.request.build_opener(jar)
    _get(browser, found.group())
    return desk, browser, found.group().partition("/?")[0]


def _get(browser: urllib.request.OpenerDirector, address: str) -> bytes:
    with browser.open(address) as answer:
        page: bytes = answer.read()
    return page


def _time(browser: urllib.request.OpenerDirector, name: str, address: str) -> None:
    taken = []
    for _ in range(TIMES):
        begun = time.perf_counter()
        page = _get(browser, address)
        taken.append(time.perf_counter() - begun)
    told = f"median {statistics.median(taken):5.3f} s, most {max(taken):5.3f} s"
    print(f"  {name:<30} {told}, {len(page) / 1024:5.0f} kB")


if __name__ == "__main__":
    main()
