"""What an output has for those who hold an earlier one, with the rulings that are in force in both.

`since.csv` is written while records are judged, and says of each what it was and whether it still
says the same. Here it is told what was ruled, and the archive of what is new or changed is taken
from the whole one. It can be done again whenever the rulings change.
"""

from __future__ import annotations

import csv
import shutil
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from crossproof.darwincore.excerpt import excerpt
from crossproof.rulings.applying import is_applied
from crossproof.rulings.ruling import Standing
from crossproof.since import COLUMNS, RECORD
from crossproof.spreadsheet import GuardedFile, unguard
from crossproof.tabular import Block

FOLDER = "delta"
STATUSES = ("new", "unchanged", "changed", "withdrawn")
RULINGS = ("kept", "new", "replaced", "taken_back", "look_again", "gone")
RULING = "ruling"  # what has changed, where it is not the record itself
_AT_ONCE = 10_000


def write_delta(
    folder: Path, found: Sequence[Standing], earlier: str, issued: str
) -> dict[str, Any]:
    """Bring `delta/` of an output folder up to its rulings; return the section of the summary.

    Args:
        folder: the output; its tables are written, and the rulings that hold are in its archive.
        found: the rulings that stand, with whether they hold.
        earlier: the name of the earlier output.
        issued: the day for dcterms:modified; none where it is ''.
    """
    home = folder / FOLDER
    standing = {entry.ruling.record: entry for entry in found}
    counts = {kind: Counter[str]() for kind in ("records", "outcomes", "rulings")}
    judged = _judged_names(folder / "verdicts.csv")
    wanted: set[str] = set()
    fresh = home / ".since.csv.ruled"
    waiting: list[list[str]] = []
    with GuardedFile(fresh, COLUMNS) as table:
        for row in _rows(home / "since.csv"):
            name = "" if row["status"] == "withdrawn" else next(judged)
            row |= _ruled(row, standing.get(row["occurrenceID"]), name)
            _count(row, counts)
            if row["status"] in ("new", "changed"):
                wanted.add(row["occurrenceID"])
            waiting.append([row[column] for column in COLUMNS])
            if len(waiting) == _AT_ONCE:
                table.write([Block(COLUMNS, waiting)])
                waiting = []
        if waiting:
            table.write([Block(COLUMNS, waiting)])
    fresh.replace(home / "since.csv")
    shutil.rmtree(home / "dwca", ignore_errors=True)
    excerpt(folder / "dwca", home / "dwca", wanted, issued)
    return {
        "earlier": earlier,
        "records": {status: counts["records"][status] for status in STATUSES},
        "outcomes": dict(sorted(counts["outcomes"].items())),
        "rulings": {kind: counts["rulings"][kind] for kind in RULINGS if counts["rulings"][kind]},
    }


def _ruled(row: Mapping[str, str], entry: Standing | None, judged: str) -> dict[str, str]:
    """The cells of a record that depend on what was ruled of it; `judged` is its verdict's name."""
    before = row["ruling_before"]
    if row["status"] == "withdrawn":
        return {"ruling": "gone" if before or entry else ""}
    applied = entry if entry and is_applied(entry) else None
    after = applied.ruling.uid if applied else ""
    name = applied.ruling.determination.scientific_name if applied else judged
    told = {"ruling": _kind(before, after, entry), "ruling_after": after, "name_after": name}
    if row["status"] == "new":
        return told
    changed = [part for part in row["changed"].split("; ") if part == RECORD]
    changed += [RULING] if before != after else []
    status = "changed" if changed else "unchanged"
    return {**told, "changed": "; ".join(changed), "status": status}


def _kind(before: str, after: str, entry: Standing | None) -> str:
    """What became of a ruling: `before` was in force in the earlier output, `after` is in this."""
    if after:
        return "kept" if before == after else "replaced" if before else "new"
    if entry and entry.state != "holds":
        return "look_again"
    return "taken_back" if before else ""


def _count(row: Mapping[str, str], counts: Mapping[str, Counter[str]]) -> None:
    counts["records"][row["status"]] += 1
    before, after = row["outcome_before"], row["outcome_after"]
    if row["status"] != "withdrawn" and before and before != after:
        counts["outcomes"][f"{before} → {after}"] += 1
    if row["ruling"]:
        counts["rulings"][row["ruling"]] += 1


def _judged_names(verdicts: Path) -> Iterator[str]:
    """What each record that goes out was determined as by its verdict, in their order."""
    return (r["determined_name"] for r in _rows(verdicts) if r["outcome"] != "returned")


def _rows(path: Path) -> Iterator[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            yield {name: unguard(cell) for name, cell in row.items()}
