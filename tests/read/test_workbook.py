from __future__ import annotations

import zipfile
from datetime import date, datetime, time
from pathlib import Path

import pytest
import xlsxwriter

from crossproof.read import Unreadable, chunks
from crossproof.read.workbook import number, text


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (12.0, "12"),
        (-1.5, "-1.5"),
        (0.1 + 0.2, "0.3"),
        (51.209925000000001, "51.209925"),
        (1e-5, "0.00001"),
        (123456789012345.0, "123456789012345"),
        (0.0, "0"),
    ],
)
def test_numbers(value: float, expected: str) -> None:
    assert number(value) == expected


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (date(1987, 6, 12), "1987-06-12"),
        (datetime(1987, 6, 12), "1987-06-12"),
        (datetime(1987, 6, 12, 13, 30), "1987-06-12T13:30:00"),
        (time(13, 30), "13:30:00"),
        (True, "TRUE"),
        (" as it is ", " as it is "),
        (None, ""),
    ],
)
def test_cells(value: object, expected: str) -> None:
    assert text(value) == expected


@pytest.fixture
def book(tmp_path: Path):
    def make(*sheets: tuple[str, list[list[object]]], hidden: str = "") -> Path:
        path = tmp_path / "book.xlsx"
        with xlsxwriter.Workbook(path) as out:
            for name, rows in sheets:
                sheet = out.add_worksheet(name)
                for r, row in enumerate(rows):
                    for c, cell in enumerate(row):
                        if cell is not None:
                            sheet.write(r, c, cell)
                if name == hidden:
                    sheet.hide()
        return path

    return make


def test_days_counted_by_a_spreadsheet(book) -> None:
    # Day 43630 of the 1900 date system is 2019-06-14 (ISO/IEC 29500-1, 18.17.4.1).
    rows = [["Species", "Date"], ["A", 43630], ["B", 1987], ["C", 19870612], ["D", "14/6/19"]]
    (piece,) = chunks(book(("S", rows)))
    assert piece.columns[1] == ["2019-06-14", "1987", "19870612", "14/6/19"]
    (assumed,) = [f for f in piece.findings if f.code == "date_assumed"]
    assert (assumed.row, assumed.column, assumed.value) == (2, "Date", "43630")


def test_serials_are_said_in_the_chunk_they_stand_in(book) -> None:
    rows = [["Species", "Date"], *[["A", 43630]] * 5]
    pieces = list(chunks(book(("S", rows)), rows=2))
    assert [[f.row for f in p.findings if f.code == "date_assumed"] for p in pieces] == [
        [2, 3],
        [4, 5],
        [6],
    ]


def test_a_column_without_a_heading_and_blank_rows(book) -> None:
    rows = [[None], ["", "Species", "Date"], [None], ["", "A", "2019", "scribbled"], ["", "B"]]
    (piece,) = chunks(book(("S", rows)))
    assert piece.table.headings == ("Species", "Date", "column D")
    assert list(piece.numbers) == [4, 5]
    assert piece.columns[2] == ["scribbled", ""]


def test_no_sheet_names_a_plant(book) -> None:
    path = book(("One", [["Wo", "Wann"], ["hier", "jetzt"]]), ("Two", [["Moon"]]))
    with pytest.raises(Unreadable) as refused:
        list(chunks(path))
    assert "Headings seen: sheet One: 'Wo', 'Wann'; sheet Two: 'Moon'." in str(refused.value)


def test_only_a_hidden_list(book) -> None:
    path = book(("Notes", [["Wo"]]), ("Lists", [["Species"], ["A"]]), hidden="Lists")
    with pytest.raises(Unreadable, match="no column names the plant"):
        list(chunks(path))


def test_hidden_records_are_read(book) -> None:
    path = book(("Old", [["Species", "Date"], ["A", "2019"]]), hidden="Old")
    assert [len(p) for p in chunks(path)] == [1]


def test_no_cells_at_all(book) -> None:
    with pytest.raises(Unreadable, match="holds no cells at all"):
        list(chunks(book(("S", []))))


def test_a_damaged_workbook(book) -> None:
    path = book(("S", [["Species"], ["A"]]))
    path.write_bytes(path.read_bytes()[:-200])
    with pytest.raises(Unreadable, match="damaged"):
        list(chunks(path))


def test_a_word_document(tmp_path: Path) -> None:
    path = tmp_path / "records.xls"
    path.write_bytes(bytes.fromhex("d0cf11e0a1b11ae1") + b"\0" * 4096)
    with pytest.raises(Unreadable, match="can't be read as a spreadsheet"):
        list(chunks(path))


def test_a_table_far_down_the_sheet(book) -> None:
    (piece,) = chunks(book(("S", [[None]] * 60 + [["Species"], ["A"]])))
    assert (piece.table.heading_row, list(piece.numbers)) == (61, [62])


def test_a_workbook_that_lies_about_a_sheet_s_size(book) -> None:
    path = book(("S", [["Species"], *[["A"]] * 500]))
    with zipfile.ZipFile(path) as archive:
        size = archive.getinfo("xl/worksheets/sheet1.xml").file_size.to_bytes(4, "little")
    data = path.read_bytes()
    assert data.count(size) == 2
    path.write_bytes(data.replace(size, (50).to_bytes(4, "little")))
    with pytest.raises(Unreadable, match="damaged"):
        list(chunks(path))


def test_two_cells_in_opposite_corners(book) -> None:
    # A reader that holds a sheet as a grid would need 16 billion cells for it.
    path = book(("S", [["Species"], ["A"]]))
    with xlsxwriter.Workbook(path) as out:
        sheet = out.add_worksheet()
        sheet.write(0, 0, "Species")
        sheet.write(1_048_575, 16_383, "stray")
    with pytest.raises(Unreadable, match="a cell far from the others"):
        list(chunks(path))


def test_a_workbook_given_up_half_way(book) -> None:
    path = book(("S", [["Species"], *[["A"]] * 5_000]), ("T", [["Species"], ["B"]]))
    pieces = chunks(path, rows=10)
    assert len(next(pieces)) == 10
    pieces.close()
