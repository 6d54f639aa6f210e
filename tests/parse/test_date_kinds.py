"""Dates in many voices: Latin labels, old abbreviations, lists, weeks, machines, two opinions.

`date_cases.csv`: ISO 8601, or a code of refusal; today is 25 November 2026. Own cases.
"""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest

from crossproof.parse.date import DateError, parse_date, read_date
from crossproof.parse.date_error import vocabulary

TODAY = date(2026, 11, 25)
with Path(__file__).with_name("date_cases.csv").open(encoding="utf-8", newline="") as file:
    CASES = [(row["verbatim"], row["expected"]) for row in csv.DictReader(file)]
REFUSED = [case for case in CASES if case[1] in vocabulary()["codes"]]
READ = [case for case in CASES if case not in REFUSED]


@pytest.mark.parametrize(("text", "iso"), READ)
def test_read(text: str, iso: str) -> None:
    assert parse_date(text, TODAY) == iso


@pytest.mark.parametrize(("text", "code"), REFUSED)
def test_refused(text: str, code: str) -> None:
    with pytest.raises(DateError) as caught:
        parse_date(text, TODAY)
    assert caught.value.code == code, str(caught.value)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("Kiln Bog, 12.vi.1987", "among other words"),
        ("coll. 12.vi.1987, det. 3.ix.1990", "of something else"),
        ("w/c 8 June 1987", "seven days"),
        ("3, 10 & 17 July 1994", "from the first to the last"),
        ("first week of June 1987", "disregarded"),
        ("Kiln Bog, 12 June 87", "latest that is past"),
    ],
)
def test_assumptions_are_told(text: str, part: str) -> None:
    assert any(part in assumption for assumption in read_date(text, TODAY).assumptions)
