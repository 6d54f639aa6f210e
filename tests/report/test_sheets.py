"""The tables that people open."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from crossproof.findings import finding
from crossproof.model import BrokenRow, Chunk, Evidence, Table
from crossproof.options import Options
from crossproof.report.sheets import (
    FINDING_COLUMNS,
    VERDICT_COLUMNS,
    FindingSheet,
    Returned,
    ReturnedSheet,
    VerdictSheet,
    evidence_cells,
)
from crossproof.vetter import Vetter

FIELDS = {"scientificName": "Species", "leaf": "Leaves", "eventDate": "Date", "locality": "Site"}
TABLE = Table("r.csv", "2019", tuple(FIELDS.values()), 1, FIELDS)
ROWS = [("D. x grandis", "rings", "2019", "Fen"), ("Bellis perennis", "", "2019", "Fen")]


def read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def batch():
    chunk = Chunk(TABLE, [2, 5], [list(column) for column in zip(*ROWS, strict=True)])
    return Vetter(Options()).vet(chunk)


@pytest.mark.parametrize(
    ("broken", "rows"),
    [([], [2, 5]), ([3], [2, 3, 5]), ([1, 3, 4, 6], [1, 2, 3, 4, 5, 6]), ([6, 7], [2, 5, 6, 7])],
)
def test_verdicts_stand_in_file_order(tmp_path: Path, batch, broken, rows) -> None:
    with VerdictSheet(tmp_path / "v.csv") as sheet:
        sheet.add(batch.judged, batch.photo, [BrokenRow(n, ("x",), "why") for n in broken])
    found = read(tmp_path / "v.csv")
    assert [int(row["source_row"]) for row in found] == rows
    assert tuple(found[0]) == VERDICT_COLUMNS
    for row in found:
        assert (row["source_file"], row["source_sheet"]) == ("r.csv", "2019")
        if int(row["source_row"]) in broken:
            rest = {k: v for k, v in row.items() if v and not k.startswith("source_")}
            assert rest == {"outcome": "returned", "reasons": "row_broken"}
        else:
            assert row["claim"] in ("D. x grandis", "Bellis perennis")
            assert row["occurrenceID"]


def test_only_broken_rows(tmp_path: Path) -> None:
    empty = Vetter(Options()).vet(Chunk(TABLE, [], [[] for _ in FIELDS]))
    with VerdictSheet(tmp_path / "v.csv") as sheet:
        sheet.add(empty.judged, empty.photo, [BrokenRow(2, ("x",), "why")])
    assert [row["outcome"] for row in read(tmp_path / "v.csv")] == ["returned"]


LEAF = Evidence("leaf", "ring_spots", "column", "rings")


@pytest.mark.parametrize(
    ("evidence", "cells"),
    [
        ((), ["not_recorded", "", "not_recorded", "", "not_recorded", "", ""]),
        ((LEAF,), ["ring_spots", "column: rings", *["not_recorded", ""] * 2, ""]),
        (
            (LEAF, Evidence("leaf", "unmarked", "remark", "plain", weight="faint")),
            [
                "ring_spots and unmarked (faint)",
                "column: rings | remark: plain",
                *["not_recorded", ""] * 2,
                "",
            ],
        ),
        ((LEAF, LEAF), ["ring_spots", "column: rings", *["not_recorded", ""] * 2, ""]),
        (
            (Evidence("leaf_width", "17", "measurement", "17 mm"),),
            [*["not_recorded", ""] * 3, "leaf_width: 17"],
        ),
    ],
)
def test_what_is_stated(evidence, cells) -> None:
    assert evidence_cells(evidence) == cells


def test_findings(tmp_path: Path) -> None:
    with FindingSheet(tmp_path / "f.csv") as sheet:
        sheet.add([finding("name_missing", row=n, file="r.csv") for n in (2, 9, 10)])
        sheet.add([])
        sheet.add([finding("heading_unknown", file="b.csv")])
    found = read(tmp_path / "f.csv")
    assert [row["row"] for row in found] == ["2", "9", "10", ""]
    assert tuple(found[0]) == FINDING_COLUMNS
    assert all(row["message"] and row["remedy"] and row["severity"] for row in found)


def returned(number: int, cells: dict[str, str], table: Table = TABLE) -> Returned:
    return Returned(table, number, cells, "name_missing", "Species: no name")


def test_returned_rows_of_different_tables_stand_under_all_headings(tmp_path: Path) -> None:
    path = tmp_path / "returned.csv"
    with ReturnedSheet(path) as sheet:
        sheet.add([returned(2, {"Species": "", "Note": 'a "b"\nc'})])
        sheet.add([returned(3, {"Taxon": "?", "Note": "x"}), returned(4, {"Species": " "})])
        assert sheet.rows == 3
    found = read(path)
    assert [*found[0]] == [*ReturnedSheet.LEAD, "Species", "Note", "Taxon"]
    cells = [(row["Species"], row["Note"], row["Taxon"]) for row in found]
    assert cells == [("", 'a "b"\nc', ""), ("", "x", "?"), (" ", "", "")]
    assert [*tmp_path.iterdir()] == [path]


def test_a_returned_file_that_comes_back_keeps_its_columns(tmp_path: Path) -> None:
    with ReturnedSheet(tmp_path / "returned.csv") as sheet:
        sheet.add([returned(9, {"source_row": "4", "Species": ""})])
    (row,) = read(tmp_path / "returned.csv")
    assert (row["source_row"], row["source_row (submitted)"]) == ("9", "4")


def test_thousands_of_widths_need_few_open_files(tmp_path: Path) -> None:
    with ReturnedSheet(tmp_path / "returned.csv") as sheet:
        sheet.add(returned(n, {"Species": "", f"cell {n % 7}": str(n)}) for n in range(3_000))
        assert len([*tmp_path.iterdir()]) == 1
    assert len(read(tmp_path / "returned.csv")) == 3_000


def test_a_failed_run_joins_nothing(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="full"), ReturnedSheet(tmp_path / "returned.csv"):
        raise OSError("full")
    assert not (tmp_path / "returned.csv").exists()
