"""When a record was made: the columns of a date read together."""

from __future__ import annotations

from datetime import date

import pytest

from crossproof.parse.timing import Dates, months_of


@pytest.fixture(scope="module")
def dates() -> Dates:
    return Dates(date(2026, 11, 25))


@pytest.fixture
def when(dates, cells):
    def read(**columns):
        (time,) = dates.read(cells({"scientificName": "x", **columns}))
        return time

    return read


@pytest.mark.parametrize(
    ("columns", "expected"),
    [
        (
            {"eventDate": "2019-06-14"},
            {
                "eventDate": "2019-06-14",
                "verbatimEventDate": "2019-06-14",
                "year": "2019",
                "month": "6",
                "day": "14",
            },
        ),
        (
            {"eventDate": "12-14.vi.1987"},
            {"eventDate": "1987-06-12/1987-06-14", "verbatimEventDate": "12-14.vi.1987"},
        ),
        (
            {"year": "2019", "month": "6", "day": "14"},
            {
                "eventDate": "2019-06-14",
                "verbatimEventDate": "14 6 2019",
                "year": "2019",
                "month": "6",
                "day": "14",
            },
        ),
        (
            {"year": "2019", "month": "June"},
            {
                "eventDate": "2019-06",
                "verbatimEventDate": "June 2019",
                "year": "2019",
                "month": "6",
            },
        ),
        ({"year": "2019"}, {"eventDate": "2019", "verbatimEventDate": "2019", "year": "2019"}),
        (
            {"eventDate": "", "verbatimEventDate": "June 1987"},
            {
                "eventDate": "1987-06",
                "verbatimEventDate": "June 1987",
                "year": "1987",
                "month": "6",
            },
        ),
    ],
)
def test_the_terms(when, columns, expected) -> None:
    time = when(**columns)
    assert time.readable
    assert dict(time.terms) == expected
    assert time.problems == ()


@pytest.mark.parametrize(
    ("columns", "code"),
    [
        ({}, "date_unreadable"),
        ({"eventDate": ""}, "date_unreadable"),
        ({"eventDate": "last week"}, "date_unreadable"),
        ({"eventDate": "2031-06-14"}, "date_unreadable"),  # after the day of the run
        ({"month": "6", "day": "14"}, "date_unreadable"),
        ({"year": "2019", "month": "13", "day": "1"}, "date_unreadable"),
        # The first column that can be read wins; what the others held stays said.
        ({"eventDate": "last week", "year": "2019"}, "date_assumed"),
        ({"eventDate": "04/07/25"}, "date_assumed"),
    ],
)
def test_what_is_wrong(when, columns, code) -> None:
    time = when(**columns)
    assert time.readable is (code == "date_assumed")
    assert {problem.code for problem in time.problems} == {code}
    assert all(problem.message for problem in time.problems)


@pytest.mark.parametrize(
    "columns",
    [
        {"eventDate": "14.6.2019", "verbatimEventDate": "mid June, a Friday"},
        {"eventDate": "2019-06-14", "year": "1987", "month": "12", "day": "3"},
        {"eventDate": "last week", "year": "2019"},
        {"month": "6", "day": "14"},
        {"year": "2019", "month": "June", "day": "14"},
        {"year": "19", "month": "vi", "day": "14th"},
    ],
)
def test_no_word_is_lost(when, columns) -> None:
    time = when(**columns)
    kept = {text for _, text in time.left}
    kept |= {word for words in time.terms.values() for word in (words, *words.split())}
    assert set(columns.values()) <= kept


@pytest.mark.parametrize(
    ("iso", "months"),
    [
        ("2019-06-14", {6}),
        ("2019-06", {6}),
        ("2019-06-14T10:00", {6}),
        ("2019", set()),
        ("2018/2019", set()),
        ("2019-05-30/2019-07-02", {5, 6, 7}),
        ("2018-12/2019-02", {12, 1, 2}),
        ("2017-01/2019-12", set(range(1, 13))),
        ("", set()),
    ],
)
def test_months(iso, months) -> None:
    assert months_of(iso) == months
