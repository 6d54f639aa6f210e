"""One table, saved in every way that people save tables, always comes out the same.

The files stand in tests/messy/, made by its make.py.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import pytest

from crossproof.read import Unreadable, chunks

MESSY = Path(__file__).parents[1] / "messy"
sys.path.insert(0, str(MESSY))
from make import HEADINGS, ROWS, delimited  # noqa: E402

FIELDS = {
    "scientificName": "Species",
    "gridReference": "Grid Ref.",
    "eventDate": "Date",
    "recordedBy": "Recorder",
    "occurrenceRemarks": "Comments",
    "leaf": "Leaves",
    "individualCount": "No. of plants",
}
EXTRA = {"leaf": ["leaves"]}
FIRST_ROW = {"titles.csv": 4}  # all others have their heading in row 1


def read(path: Path):
    return list(chunks(path, extra_headings=EXTRA))


def rows_of(pieces) -> list[list[str]]:
    return [
        [c.strip() for c in row] for piece in pieces for row in zip(*piece.columns, strict=True)
    ]


@pytest.mark.parametrize("name", sorted([*delimited(), "book.xls", "book.ods"]))
def test_every_dialect_gives_the_same_rows(name: str) -> None:
    pieces = read(MESSY / name)
    assert len(pieces) == 1
    piece = pieces[0]
    assert [row[: len(HEADINGS)] for row in rows_of(pieces)] == [
        [cell.replace("\r\n", "\n") for cell in row] for row in ROWS
    ]
    assert list(piece.table.headings[: len(HEADINGS)]) == HEADINGS
    assert dict(piece.table.fields) == FIELDS
    start = FIRST_ROW.get(name, 2)
    assert list(piece.numbers) == list(range(start, start + len(ROWS)))
    assert not piece.broken


@pytest.mark.parametrize("name", sorted(delimited()))
def test_the_files_are_those_the_script_makes(name: str) -> None:
    assert (MESSY / name).read_bytes() == delimited()[name]


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("comma.csv", {}),
        ("bom.csv", {}),
        ("utf16_le_bom.csv", {}),
        ("utf16_le.csv", {"encoding_assumed": 1}),
        ("windows_1252.csv", {"encoding_assumed": 1}),
        # ×, ×, ë, ë, ° stand in five cells
        ("damaged.csv", {"text_repaired": 5}),
        ("twice_damaged.csv", {"text_repaired": 5}),
        ("entities.csv", {"text_repaired": 5}),
        ("half_and_half.csv", {"encoding_assumed": 1, "text_repaired": 2}),
        ("titles.csv", {"heading_assumed": 1}),
        ("trailing.csv", {"heading_unknown": 1}),
    ],
)
def test_what_is_said_of_each(name: str, expected: dict[str, int]) -> None:
    found = Counter(f.code for piece in read(MESSY / name) for f in piece.findings)
    found["heading_assumed"] -= len(FIELDS)
    assert +found == expected


def test_a_repair_says_where_and_what() -> None:
    repair = next(
        f for c in read(MESSY / "damaged.csv") for f in c.findings if f.code == "text_repaired"
    )
    assert (repair.file, repair.row, repair.column) == ("damaged.csv", 2, "Species")
    assert repair.value == "D. Ã— grandis"
    assert repair.message == "'D. Ã— grandis' was read as 'D. × grandis'"


def test_every_sheet_of_a_workbook() -> None:
    pieces = read(MESSY / "book.xlsx")
    assert rows_of(pieces) == ROWS
    by_sheet = [(p.table.sheet, p.table.heading_row, list(p.numbers)) for p in pieces]
    assert by_sheet == [
        ("Records 2019", 4, [5, 6, 7, 8]),
        ("More", 1, [3]),
        ("More", 1, []),  # carries what is to be said of the sheets after it
    ]
    skipped = [f.sheet for p in pieces for f in p.findings if f.code == "sheet_skipped"]
    assert skipped == ["Read me", "Lists"]
    titles = [f for f in pieces[0].findings if "above" in f.message]
    assert [f.value for f in titles] == ["Hollow Fen survey, 2019"]


def test_a_locked_workbook() -> None:
    with pytest.raises(Unreadable) as refused:
        read(MESSY / "locked.xlsx")
    assert str(refused.value) == (
        "locked.xlsx is locked with a password; open it in a spreadsheet program, save it without "
        "one and give that."
    )
