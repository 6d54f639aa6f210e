"""Dates as people write them, the published examples, refusals and their codes, assumptions."""

from __future__ import annotations

import json
import pickle
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from crossproof.parse.date import DateError, parse_date, read_date

VECTORS: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "vectors" / "dates.json").read_text(encoding="utf-8")
)
TODAY = date.fromisoformat(VECTORS["today"])
SPELLINGS: dict[str, list[str]] = VECTORS["spellings"]["dates"]
REFUSED: dict[str, list[str]] = VECTORS["refused"]["codes"]
AMBIGUOUS = {
    *("open_ended", "alternatives", "day_or_year", "short_year", "this_year", "day_or_month"),
    *("span_or_month", "month_unclear", "winter", "wraps", "century"),
}


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda case: case["input"])
def test_published_examples(case: dict[str, str]) -> None:
    assert parse_date(case["input"], TODAY) == case["expected"], case["source"]


@pytest.mark.parametrize(
    ("text", "iso"), [(text, iso) for iso, several in SPELLINGS.items() for text in several]
)
def test_spellings(text: str, iso: str) -> None:
    assert parse_date(text, TODAY) == iso


@pytest.mark.parametrize(
    ("text", "code"), [(text, code) for code, several in REFUSED.items() for text in several]
)
def test_refusals(text: str, code: str) -> None:
    with pytest.raises(DateError) as caught:
        parse_date(text, TODAY)
    assert caught.value.code == code, str(caught.value)
    assert caught.value.reason == ("ambiguous" if code in AMBIGUOUS else "invalid")
    assert caught.value.remedy


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("12/06/87", "latest that is past"),
        ("I2/O6/1987", "letters were read as digits"),
        ("31940", "serial day number"),
        ("12/31/2019", "before the day"),
        ("87/06/12", "first number was read as the year"),
        ("Aug-03", "read as a year"),
        ("c. 1987", "disregarded"),
        ("early June 1987", "disregarded"),
        ("12 June 1987?", "doubt"),
        ("Monday 12 June 1987", "is a Friday"),
        ("Setpember 1999", "was read as September"),
        ("1980s", "decade"),
        ("spring 1990", "three months"),
        ("12 & 14 June 1987", "from the first to the last"),
        ("30 December - 2 January 1988", "year before"),
        ("1987-06-12 00:00", "midnight"),
        ("12061987", "day first"),
        ("??/06/1987", "not known"),
    ],
)
def test_assumptions_are_told(text: str, part: str) -> None:
    assert any(part in assumption for assumption in read_date(text, TODAY).assumptions)


@pytest.mark.parametrize(
    "text", ["12/06/1987", "1987-06-12", "12 June 1987", "Fri 12 June 1987", "12.vi.1987", "1987"]
)
def test_nothing_is_assumed_of_a_plain_date(text: str) -> None:
    assert read_date(text, TODAY).assumptions == ()


@pytest.mark.parametrize(
    ("today", "expected"),
    [("2026-11-25", "1926-11-26 or later"), ("2026-11-26", "2026-11-26"), ("2027-01-01", "2026")],
)
def test_a_two_digit_year_depends_on_today(today: str, expected: str) -> None:
    now = date.fromisoformat(today)
    if expected.endswith("later"):
        with pytest.raises(DateError, match="still to come"):
            parse_date("26/11/26", now)
    else:
        assert parse_date("26/11/26", now).startswith(expected)


def test_today_is_the_real_today_if_not_given() -> None:
    assert parse_date(date.today().isoformat()) == date.today().isoformat()
    with pytest.raises(DateError):
        parse_date(date.today().replace(year=date.today().year + 1, day=1).isoformat())


def test_errors_travel_between_processes() -> None:
    error = DateError("future", "not yet")
    again = pickle.loads(pickle.dumps(error))
    assert (str(again), again.code, again.reason) == ("not yet", "future", "invalid")
