"""What must hold of every date, whatever the text."""

from __future__ import annotations

from datetime import date

from hypothesis import example, given
from hypothesis import strategies as st

from crossproof.parse.date import DateError, parse_date, read_date

TODAY = date(2026, 11, 25)
DAYS = st.dates(date(1700, 1, 1), TODAY)
MONTHS = "January February March April May June July August September October November December"
ROMANS = "i ii iii iv v vi vii viii ix x xi xii"
WORDS = "June vi 1987 87 th to or spring winter early T Z pm 10:30 Mon P3D W s half ² O l x"
PIECES = st.lists(
    st.sampled_from([*"0123456789", *" -/.,'&:?~<>+", *WORDS.split()]), max_size=12
).map("".join)


@given(st.one_of(st.text(max_size=40), PIECES))
@example("\x00")
@example("1987-W54")
@example("9999-W52-7")
@example("²²/06/1987")
@example("١٢/٠٦/١٩٨٧")
def test_no_text_raises_anything_but_a_date_error(text: str) -> None:
    try:
        found = parse_date(text, TODAY)
    except DateError as error:
        assert error.reason in ("invalid", "ambiguous")
        assert error.remedy and str(error)
    else:
        assert parse_date(found, TODAY) == found, "an ISO answer reads as itself"


@given(DAYS)
def test_every_order_of_a_day_is_that_day(day: date) -> None:
    month, roman = MONTHS.split()[day.month - 1], ROMANS.split()[day.month - 1]
    d, m, y = day.day, day.month, day.year
    for text in (
        f"{d}/{m}/{y}", f"{d:02}.{m:02}.{y}", f"{y}-{m:02}-{d:02}", f"{y}{m:02}{d:02}",
        f"{d} {month} {y}", f"{month} {d}, {y}", f"{d}-{month[:3]}-{y}", f"{d}.{roman}.{y}",
        f"{d}. {roman.upper()}. {y}", f"{day:%A} {d} {month} {y}", f"{y} {month} {d}",
        f"{d}/{m}/{y} 10:30",
    ):  # fmt: skip
        found = read_date(text, TODAY)
        assert found.iso.removesuffix("T10:30") == day.isoformat(), text
        assert found.assumptions == (), text


@given(DAYS)
def test_a_two_digit_year_is_the_latest_past(day: date) -> None:
    try:
        found = date.fromisoformat(parse_date(f"{day:%d/%m/%y}", TODAY))
    except DateError as error:
        # 29 February of a year that is no leap year in the latest century, or later this year.
        assert (day.month, day.day) == (2, 29) or error.code == "this_year"
        return
    assert found <= TODAY
    assert (found.day, found.month, found.year % 100) == (day.day, day.month, day.year % 100)
    assert found.year + 100 > TODAY.year


@given(st.dates(date(1930, 1, 1), TODAY))
def test_serials_count_days(day: date) -> None:
    assert parse_date(str((day - date(1899, 12, 30)).days), TODAY) == day.isoformat()


@given(DAYS, DAYS)
def test_ranges_hold_both_ends_in_order(one: date, other: date) -> None:
    start, end = min(one, other), max(one, other)
    expected = start.isoformat() if start == end else f"{start}/{end}"
    for text in (f"{start:%d/%m/%Y}-{end:%d/%m/%Y}", f"{start}/{end}", f"{start} to {end}"):
        assert parse_date(text, TODAY) == expected
    if start != end:
        try:
            parse_date(f"{end:%d/%m/%Y} to {start:%d/%m/%Y}", TODAY)
        except DateError as error:
            assert error.code == "reversed"
        else:
            raise AssertionError("a range that runs backwards was read")


@given(st.dates(TODAY.replace(day=26), date(2999, 12, 31)))
def test_the_future_is_refused(day: date) -> None:
    try:
        parse_date(f"{day:%d/%m/%Y}", TODAY)
    except DateError as error:
        assert error.code == "future"
    else:
        raise AssertionError(day)
