"""Rows to records: what the judge weighs, and what is to be known of each cell."""

from __future__ import annotations

from datetime import date

import pytest

from crossproof.parse.records import Reader

GOOD = {"scientificName": "D. x grandis", "eventDate": "2019-06-14", "gridReference": "SU 123 456"}


def reader(books, **options) -> Reader:
    return Reader(tuple(books.values()), today=date(2026, 11, 25), **options)


def case(books, chunk, columns, **options):
    (found,) = reader(books, **options).read(chunk(columns)).cases
    return found


@pytest.mark.parametrize(
    ("columns", "lenient", "expected"),
    [
        ({}, False, ()),
        ({"eventDate": ""}, False, ("date_unreadable",)),
        ({"gridReference": "x"}, False, ("place_unreadable",)),
        ({"eventDate": "", "gridReference": ""}, False, ("place_unreadable", "date_unreadable")),
        ({"eventDate": "", "gridReference": ""}, True, ()),
    ],
)
def test_unreadable(books, chunk, columns, lenient, expected) -> None:
    found = case(books, chunk, {**GOOD, **columns}, lenient=lenient)
    assert found.unreadable == expected


@pytest.mark.parametrize(
    ("determiner", "specialists", "expected"),
    [
        ("Ottoline Marrable", (), False),
        ("Ottoline Marrable", ("ottoline marrable",), True),
        ("det. O. Marrable & Ottoline MARRABLE", ("Ottoline Marrable",), True),
        ("county referee", (), True),  # a word of the rulebook
        ("", ("Ottoline Marrable",), False),
        ("Ottoline Marrable", ("",), False),  # a blank name is nobody's
        ("Ottoline Marrable", (" ",), False),
    ],
)
def test_specialists(books, chunk, determiner, specialists, expected) -> None:
    found = case(books, chunk, {**GOOD, "identifiedBy": determiner}, specialists=specialists)
    assert found.specialist is expected


def test_a_case_holds_what_was_stated(books, chunk) -> None:
    found = case(
        books,
        chunk,
        {**GOOD, "leaf": "ring spots", "occurrenceRemarks": "stem hollow; in Wales", "photo": "y"},
    )
    assert found.evidence == (
        ("leaf", "ring_spots", "stated", "column"),
        ("stem", "hollow", "stated", "remark"),
    )
    assert found.photo == "stated"
    assert "Wales" in found.mentions


@pytest.mark.parametrize(
    ("day", "is_out_of_season"),
    [("2019-06-14", False), ("2019-06", False), ("2019", False), ("14 January 2019", True)],
)
def test_the_season_tells_cases_apart_only_where_it_matters(
    books, chunk, day, is_out_of_season
) -> None:
    found = case(books, chunk, {**GOOD, "eventDate": day})
    assert bool(found.months) is is_out_of_season
    assert 6 not in found.months


def test_equal_evidence_in_other_words_is_one_case(books, chunk) -> None:
    rows = {
        "scientificName": ["D. x grandis", "D. fuchsii x praetermissa", "Dactylorhiza × grandis"],
        "eventDate": ["2019-06-14", "1.6.2001", "2019-06"],
        "gridReference": ["SU 123 456", "SU 12 45", "SU1245"],
        "leaf": ["ring spots", "ring-spots", "Ring Spots"],
        "?Note": ["a", "b", "c"],
    }
    assert len(reader(books).read(chunk(rows)).cases.values) == 1


@pytest.mark.parametrize(
    ("columns", "expected"),
    [
        ({"scientificName": ""}, [("name_missing", "Species", "")]),
        ({"scientificName": "zzz qqq"}, [("name_unresolved", "Species", "zzz qqq")]),
        ({"eventDate": "soon"}, [("date_unreadable", "Date", "soon")]),
        ({"gridReference": "soon"}, [("place_unreadable", "Grid Ref.", "soon")]),
        ({"leaf": "lovely"}, [("evidence_unread", "Leaves", "lovely")]),
    ],
)
def test_findings_name_the_cell(books, chunk, columns, expected) -> None:
    headings = {
        "scientificName": "Species",
        "eventDate": "Date",
        "gridReference": "Grid Ref.",
        "leaf": "Leaves",
    }
    found = [*reader(books).read(chunk({**GOOD, **columns}, headings)).findings()]
    assert [(f.code, f.column, f.value) for f in found] == expected
    assert all((f.file, f.row) == ("records.csv", 2) and f.message and f.remedy for f in found)


@pytest.mark.parametrize("missing", ["eventDate", "gridReference"])
def test_a_column_that_is_not_there_is_a_finding_too(books, chunk, missing) -> None:
    columns = {name: cell for name, cell in GOOD.items() if name != missing}
    codes = [f.code for f in reader(books).read(chunk(columns)).findings()]
    assert codes == ["date_unreadable" if missing == "eventDate" else "place_unreadable"]


def test_findings_stand_at_every_row_that_holds_the_value(books, chunk) -> None:
    rows = {
        "scientificName": ["D. fuchsii"] * 3,
        "eventDate": ["soon", "2019", "soon"],
        "locality": ["Fen"] * 3,
        "gridReference": ["SU 123 456"] * 3,
    }
    found = [*reader(books).read(chunk(rows)).findings()]
    assert [(f.code, f.row) for f in found] == [("date_unreadable", 2), ("date_unreadable", 4)]


def test_no_rows(books, chunk) -> None:
    read = reader(books).read(chunk({name: [] for name in (*GOOD, "leaf", "photo", "?Note")}))
    assert [*read.cases] == [*read.claims] == [*read.extra] == [*read.findings()] == []
