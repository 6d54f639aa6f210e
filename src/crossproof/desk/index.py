"""The tables of an output folder as a SQLite file, so that fifty thousand rows answer at once.

It holds nothing of its own: it may be removed at any time, and is made again when they change.
"""

from __future__ import annotations

import json
import os
import re
import sqlite3
import tempfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, closing
from itertools import groupby
from pathlib import Path
from typing import Any

from crossproof.darwincore.ruled import BEFORE, unruled_rows
from crossproof.rulings.records import OutputRecord, records, table
from crossproof.spreadsheet import unguard

NAME = ".desk-index.sqlite"
_VERSION = 4  # of what this module writes
_HOME = Path(__file__).parent
_TABLES = (
    *("verdicts.csv", "findings.csv", "returned.csv", BEFORE),
    *(f"dwca/{name}.csv" for name in ("occurrence", "identification", "measurementorfact")),
    "dwca/multimedia.csv",
)
CHILDREN = {
    "identification": "dwca/identification.csv",
    "evidence": "dwca/measurementorfact.csv",
    "photo": "dwca/multimedia.csv",
}
_AT_ONCE = 2_000
_GRID = re.compile(r"([A-Z]{1,2})((?:\d\d){1,5})(?:[A-Z]{1,2})?")
_YEAR = re.compile(r"\d{4}")


def signature(folder: Path) -> str:
    """What tells that the tables are those that were indexed: their sizes and times."""
    told: list[object] = [_VERSION]
    for name in _TABLES:
        try:
            stat = (folder / name).stat()
        except FileNotFoundError:
            continue
        told.append([name, stat.st_size, stat.st_mtime_ns])
    return json.dumps(told)


def is_fresh(folder: Path) -> bool:
    """Whether the index is there and of the tables as they are."""
    path = folder / NAME
    if not path.is_file():
        return False
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as known:
            row = known.execute("SELECT signature FROM about").fetchone()
    except sqlite3.Error:  # of a version long gone, or damaged
        return False
    return row is not None and row[0] == signature(folder)


def build(folder: Path) -> None:
    """Make the index anew, beside the old one, and put it in its place when it is whole.

    Raises:
        OutputError: the folder is no output of `vet`.
    """
    of = signature(folder)
    handle, name = tempfile.mkstemp(prefix=NAME, dir=folder)
    os.close(handle)
    try:
        with closing(sqlite3.connect(name, isolation_level=None)) as made:
            made.execute("PRAGMA journal_mode = OFF")
            made.execute("PRAGMA synchronous = OFF")
            made.executescript((_HOME / "index.sql").read_text(encoding="utf-8"))
            made.execute("BEGIN")
            made.execute("INSERT INTO about VALUES (?)", (of,))
            _fill(made, folder)
            made.execute("COMMIT")
            made.executescript((_HOME / "index_after.sql").read_text(encoding="utf-8"))
        Path(name).replace(folder / NAME)
    finally:
        Path(name).unlink(missing_ok=True)


def _fill(made: sqlite3.Connection, folder: Path) -> None:
    children = {kind: _Grouped(unruled_rows(folder, name)) for kind, name in CHILDREN.items()}
    findings = _findings(folder)
    words: list[tuple[int, str]] = []
    details: list[tuple[int, bytes]] = []
    reasons: list[tuple[str, int]] = []

    def flush() -> None:
        made.executemany("INSERT INTO word VALUES (?, ?)", words)
        made.executemany("INSERT INTO detail VALUES (?, ?)", details)
        made.executemany("INSERT OR IGNORE INTO reason VALUES (?, ?)", reasons)
        for waiting in (words, details, reasons):
            waiting.clear()

    rows: list[tuple[object, ...]] = []
    marks = ", ".join("?" * 19)
    for number, record in enumerate(records(folder), start=1):
        verdict = record.verdict
        place = (verdict["source_file"], verdict["source_sheet"], verdict["source_row"])
        detail = {
            "verdict": verdict,
            "cells": record.occurrence or record.returned,
            "finding": findings.get(place, []),
            **{kind: rows_of.take(record.id) for kind, rows_of in children.items()},
        }
        rows.append(_row(number, record))
        words.append((number, _searched(record)))
        details.append((number, pack(detail)))
        reasons += [(code, number) for code in verdict["reasons"].split(";") if code]
        if number % _AT_ONCE == 0:
            made.executemany(f"INSERT INTO record VALUES ({marks})", rows)
            rows.clear()
            flush()
    made.executemany(f"INSERT INTO record VALUES ({marks})", rows)
    flush()


class _Grouped:
    """The rows of a table that belong to one record after another, in the records' own order."""

    def __init__(self, rows: Iterator[dict[str, str]]) -> None:
        self._groups = groupby(rows, key=lambda row: row["occurrenceID"])
        self._next = next(self._groups, None)

    def take(self, identifier: str) -> list[dict[str, str]]:
        """The rows of this record; none if the next rows are another's."""
        if self._next is None or self._next[0] != identifier:
            return []
        rows = [{name: cell for name, cell in row.items() if cell} for row in self._next[1]]
        self._next = next(self._groups, None)
        return rows


def pack(detail: Mapping[str, object]) -> bytes:
    """All that is known of one record, small."""
    return zlib.compress(json.dumps(detail, ensure_ascii=False).encode("utf-8", "surrogatepass"), 1)


def unpack(packed: bytes) -> dict[str, Any]:
    """The way back."""
    found: dict[str, Any] = json.loads(zlib.decompress(packed).decode("utf-8", "surrogatepass"))
    return found


def _row(number: int, record: OutputRecord) -> tuple[object, ...]:
    verdict, cells = record.verdict, record.occurrence
    claimed = verdict["claimed_name"] or verdict["claim"]
    date = cells.get("eventDate") or cells.get("verbatimEventDate", "")
    year = _YEAR.search(cells.get("year", "") or date)
    latitude = _number(cells.get("decimalLatitude", ""))
    longitude = _number(cells.get("decimalLongitude", ""))
    grid = cells.get("verbatimCoordinates", "")
    return (
        *(number, record.id, record.content),
        *(verdict["source_file"], verdict["source_sheet"], int(verdict["source_row"] or 0)),
        *(verdict["claim"], verdict["outcome"], verdict["reasons"], claimed),
        *(cells.get("recordedBy", ""), date, year.group() if year else ""),
        *(cells.get("locality", ""), grid, _square(grid, latitude, longitude)),
        *(latitude, longitude, verdict["determined_name"]),
    )


def _searched(record: OutputRecord) -> str:
    verdict, cells = record.verdict, record.occurrence
    grid = cells.get("verbatimCoordinates", "")
    texts = (
        *(record.id, verdict["claim"], verdict["claimed_name"], verdict["determined_name"]),
        *(cells.get("recordedBy", ""), cells.get("eventDate", ""), cells.get("locality", "")),
        cells.get("habitat", ""),
        *(grid, grid.replace(" ", ""), cells.get("occurrenceRemarks", "")),
        *record.returned.values(),
    )
    return "\n".join(filter(None, texts)).casefold()


def _square(grid: str, latitude: float | None, longitude: float | None) -> str:
    """The 10 km square of a grid reference; a tenth of a degree where there is none."""
    if match := _GRID.fullmatch(re.sub(r"[\s.]", "", grid).upper()):
        letters, digits = match.groups()
        return f"{letters}{digits[0]}{digits[len(digits) // 2]}"
    if latitude is None or longitude is None:
        return ""
    north, east = "NS"[latitude < 0], "EW"[longitude < 0]
    return f"{abs(latitude):.1f}° {north} {abs(longitude):.1f}° {east}"


def _findings(folder: Path) -> dict[tuple[str, str, str], list[dict[str, str]]]:
    path = folder / "findings.csv"
    found: dict[tuple[str, str, str], list[dict[str, str]]] = {}
    if not path.is_file():
        return found
    with ExitStack() as stack:
        for guarded in table(stack, path):
            row = {name: unguard(cell) for name, cell in guarded.items() if cell}
            if "row" in row:
                place = (row["file"], row.get("sheet", ""), row["row"])
                found.setdefault(place, []).append(row)
    return found


def _number(text: str) -> float | None:
    try:
        return float(text) if text else None
    except ValueError:
        return None
