from __future__ import annotations

import csv
import random
import string
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crossproof.read import Unreadable, chunks
from crossproof.read.repair import TELL_TALE


def write(path: Path, content: str | bytes) -> Path:
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return path


def only(path: Path, **options):
    (piece,) = chunks(path, **options)
    return piece


def test_one_late_sign_of_windows_1252(tmp_path: Path) -> None:
    # A guess from the file's beginning says ASCII; the 20,001st row says otherwise.
    rows = b"species,site\r\n" + b"Dactylorhiza fuchsii,Hollow Fen\r\n" * 20_000
    path = write(tmp_path / "late.csv", rows + b"Dactylorhiza \xd7 grandis,Hollow Fen\r\n")
    pieces = list(chunks(path))
    assert [len(p) for p in pieces] == [20_000, 1]
    assert pieces[1].columns[0] == ["Dactylorhiza × grandis"]
    assert list(pieces[1].numbers) == [20_002]
    assert pieces[0].findings[0].code == "encoding_assumed"


def test_bytes_that_windows_1252_lacks_are_not_lost(tmp_path: Path) -> None:
    # UTF-8 “×” beside a bare Windows-1252 ×: the closing quote ends in byte 9D, undefined there.
    content = "species\n“D. × grandis”\n".encode() + b"D. \xd7 hallii\n"
    assert only(write(tmp_path / "a.csv", content)).columns[0] == ["“D. × grandis”", "D. × hallii"]


def test_ragged_rows_come_back_as_they_were(tmp_path: Path) -> None:
    path = write(
        tmp_path / "a.csv",
        "species,site,date\nA,x,2019\nB,x,y,2019\nC,2019\n\nD,x,2019,,\n,,\nE,x,2019\n,,\n\n",
    )
    piece = only(path)
    assert list(piece.numbers) == [2, 6, 8]
    assert piece.columns[0] == ["A", "D", "E"]
    assert [(b.number, b.cells, b.problem) for b in piece.broken] == [
        (3, ("B", "x", "y", "2019"), "the row has 4 cells, the heading 3"),
        (4, ("C", "2019"), "the row has 2 cells, the heading 3"),
    ]


def test_a_quote_that_never_closes_loses_nothing(tmp_path: Path) -> None:
    piece = only(write(tmp_path / "a.csv", 'species,date\nA,2019\nB,"2019\nC,2019\nD,2019\n,x\n'))
    assert piece.columns[0] == ["A", "B"]
    piece = only(write(tmp_path / "a.csv", 'species,date\nA,2019\n"B,2019\nC,2019\nD,2019\n'))
    assert piece.broken[0].cells == ("B,2019\nC,2019\nD,2019\n",)
    assert "never closes" in piece.broken[0].problem


def test_columns_without_a_heading_or_with_the_same_one(tmp_path: Path) -> None:
    piece = only(write(tmp_path / "a.csv", "species,,notes,notes,notes,notes\nA,b,c,d,e,f\n"))
    assert piece.table.headings == (
        *("species", "column B", "notes", "notes (column D)", "notes (column E)"),
        "notes (column F)",
    )
    assert piece.table.fields == {
        "scientificName": "species",
        "occurrenceRemarks": "notes",
        "fieldNotes": "notes (column D)",
        "organismRemarks": "notes (column E)",
    }
    unknown = [f.column for f in piece.findings if f.code == "heading_unknown"]
    assert unknown == ["notes (column F)", "column B"]


def test_headings_only(tmp_path: Path) -> None:
    piece = only(write(tmp_path / "a.csv", "species,date\r\n"))
    assert len(piece) == 0
    assert piece.table.headings == ("species", "date")


def test_decimal_commas_between_semicolons(tmp_path: Path) -> None:
    piece = only(write(tmp_path / "a.csv", "species;lat;long\nA;51,2;-1,8\nB;51,3;-1,9\n"))
    assert piece.columns == [["A", "B"], ["51,2", "51,3"], ["-1,8", "-1,9"]]


def test_chunks_are_as_large_as_asked(tmp_path: Path) -> None:
    path = write(tmp_path / "a.csv", "species\n" + "A\n" * 1_050)
    assert [len(p) for p in chunks(path, rows=500)] == [500, 500, 50]
    assert [next(iter(p.numbers)) for p in chunks(path, rows=500)] == [2, 502, 1_002]


def test_every_cell_of_a_large_file(tmp_path: Path) -> None:
    dice = random.Random(7)
    rows = [
        ["".join(dice.choices(string.printable, k=6)) + "." for _ in range(5)] for _ in range(3000)
    ]
    path = tmp_path / "a.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([["species", "a", "b", "c", "d"], *rows])
    read = [list(r) for p in chunks(path, rows=700) for r in zip(*p.columns, strict=True)]
    assert read == rows


cells = st.text(
    st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufeff")
    | st.sampled_from('\r\n\t,;|"'),
    max_size=12,
).filter(lambda text: not TELL_TALE.search(text))


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    rows=st.lists(st.lists(cells, min_size=3, max_size=3), max_size=8),
    delimiter=st.sampled_from(",;\t|"),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
    end=st.sampled_from(["\r\n", "\n"]),
)
def test_whatever_csv_writes_comes_back(tmp_path: Path, rows, delimiter, encoding, end) -> None:
    rows = [["a", *row] for row in rows]  # no row is blank
    path = tmp_path / "a.csv"
    with path.open("w", newline="", encoding=encoding) as file:
        table = [["species", "date", "site", "comments"], *rows]
        csv.writer(file, delimiter=delimiter, lineterminator=end, quoting=csv.QUOTE_ALL).writerows(
            table
        )
    piece = only(path)
    assert [list(row) for row in zip(*piece.columns, strict=True)] == rows
    assert list(piece.numbers) == list(range(2, 2 + len(rows)))


@pytest.mark.parametrize("content", [b"", b"\r\n \r\n", b"\xef\xbb\xbf"])
def test_an_empty_file(tmp_path: Path, content: bytes) -> None:
    with pytest.raises(Unreadable, match=r"^a\.csv is empty; export it again"):
        list(chunks(write(tmp_path / "a.csv", content)))


def test_a_stray_control_character_is_no_picture(tmp_path: Path) -> None:
    assert only(write(tmp_path / "a.csv", "species\nA\x0c\x19\n")).columns == [["A\x0c\x19"]]


def test_a_data_row_is_not_taken_for_the_headings(tmp_path: Path) -> None:
    path = write(tmp_path / "a.csv", "Was gefunden,Bild\nD. fuchsii,photo\n")
    with pytest.raises(Unreadable, match="Headings seen: 'Was gefunden', 'Bild'"):
        list(chunks(path))
    piece = only(path, mapping={"scientificName": "Was gefunden"})
    assert piece.columns[0] == ["D. fuchsii"]


def test_damaged_headings(tmp_path: Path) -> None:
    # a byte order mark that went through Windows-1252, and one before bytes that are not UTF-8
    assert only(write(tmp_path / "a.csv", "ï»¿species\nA\n")).table.headings == ("species",)
    content = b"\xef\xbb\xbfspecies\nD. \xd7 grandis\n"
    piece = only(write(tmp_path / "b.csv", content))
    assert (piece.table.headings, piece.columns) == (("species",), [["D. × grandis"]])
