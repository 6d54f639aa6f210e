"""What must hold of every test, whatever the record."""

from __future__ import annotations

import json
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossproof import quality
from crossproof.quality import isodate
from crossproof.quality.amending import amend, in_order
from crossproof.quality.response import STATUSES

TODAY = date(2026, 11, 25)
TERMS = sorted({term for each in quality.tests() for term in each.inputs})

# Strings that come near to meaning something, beside any strings at all.
NEAR = st.sampled_from(
    """
    2021-02-29|2021/10/28|12.vi.1987|XX-DEC-1932|1987-06-12/14|P1Y/2007|0000|24:00|1e999|-0|NaN|366
    5th|X|Ma|GB|gb|XZ|Deutschland|WGS84|EPSG:4326|EPSG:99999|51.5N 0°7'W|10 fm|100 m|1,5|CC0|cc-by
    sp.|F|1|urn:lsid:a:b:c|gbif:1|Dactylorhiza × grandis|null|holotype of Aus bus
    """.strip()
    .replace("\n    ", "|")
    .split("|")
)
PIECES = st.lists(
    st.sampled_from([*"0123456789-/:.TZWP+ NSEWxX×°'", "Oct", "June", "m", "ft", "EPSG:", "\x00"]),
    max_size=14,
).map("".join)
TEXTS = st.one_of(NEAR, PIECES, st.text(max_size=30))
RECORDS = st.dictionaries(st.sampled_from(TERMS), TEXTS, max_size=len(TERMS))
RESULTS = {
    "VALIDATION": {"COMPLIANT", "NOT_COMPLIANT", ""},
    "ISSUE": {"POTENTIAL_ISSUE", "NOT_ISSUE", ""},
}


@pytest.mark.parametrize("test", quality.tests(), ids=lambda each: each.label)
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_no_record_makes_a_test_raise(test: quality.Declaration, data: st.DataObject) -> None:
    record = {term: data.draw(TEXTS) for term in test.inputs}
    response = quality.run(test.guid, record, today=TODAY)
    assert response.status in STATUSES
    assert response.comment
    if test.kind in RESULTS:
        assert response.result in RESULTS[test.kind]
    if test.kind == "AMENDMENT":
        assert bool(response.result) == (response.status in ("AMENDED", "FILLED_IN"))
        assert set(response.proposed) <= set(test.acted_upon)
        assert all(isinstance(value, str) for value in response.proposed.values())


@settings(max_examples=60, deadline=None)
@given(record=RECORDS)
def test_running_twice_says_the_same_and_changes_nothing(record: dict[str, str]) -> None:
    before = json.dumps(record)
    first = [quality.run(each.guid, record, today=TODAY) for each in quality.tests()]
    again = [quality.run(each.guid, record, today=TODAY) for each in quality.tests()]
    assert first == again
    assert json.dumps(record) == before


@settings(max_examples=150, deadline=None)
@given(record=RECORDS)
def test_amending_an_amended_record_changes_nothing(record: dict[str, str]) -> None:
    once, changes = amend(record, today=TODAY)
    twice, again = amend(once, today=TODAY)
    assert again == ()
    assert twice == once
    assert {change.term for change in changes} >= {
        term for term in once if once[term] != record.get(term, "")
    }


# Which validation an amendment's own value must satisfy.
OWN = {
    "AMENDMENT_COORDINATES_FROM_VERBATIM": (
        "VALIDATION_DECIMALLATITUDE_INRANGE",
        "VALIDATION_DECIMALLONGITUDE_INRANGE",
    ),
    "AMENDMENT_EVENTDATE_FROM_VERBATIM": ("VALIDATION_EVENTDATE_STANDARD",),
    "AMENDMENT_EVENTDATE_FROM_YEARMONTHDAY": ("VALIDATION_EVENTDATE_STANDARD",),
    "AMENDMENT_EVENTDATE_FROM_YEARSTARTDAYOFYEARENDDAYOFYEAR": (
        "VALIDATION_EVENTDATE_STANDARD",
        "VALIDATION_EVENT_CONSISTENT",
    ),
    "AMENDMENT_GEODETICDATUM_ASSUMEDDEFAULT": ("VALIDATION_GEODETICDATUM_STANDARD",),
    "AMENDMENT_MINDEPTHMAXDEPTH_FROM_VERBATIM": ("VALIDATION_MINDEPTH_LESSTHAN_MAXDEPTH",),
    "AMENDMENT_MINELEVATIONMAXELEVATION_FROM_VERBATIM": (
        "VALIDATION_MINELEVATION_LESSTHAN_MAXELEVATION",
    ),
    "AMENDMENT_OCCURRENCESTATUS_ASSUMEDDEFAULT": ("VALIDATION_OCCURRENCESTATUS_STANDARD",),
}


def _own(label: str) -> tuple[str, ...]:
    standard = label.replace("AMENDMENT_", "VALIDATION_").replace("_STANDARDIZED", "_STANDARD")
    return OWN.get(label, (standard,) if label.endswith("_STANDARDIZED") else ())


WORDED = {
    "AMENDMENT_COORDINATES_FROM_VERBATIM": [
        "51 30 N",
        "0°7'30\"W",
        "-23.712",
        "S 23 W 46",
        "139.92",
    ],
    "AMENDMENT_MINDEPTHMAXDEPTH_FROM_VERBATIM": ["10 fm", "3-2 m", "1 to 5 ft"],
    "AMENDMENT_MINELEVATIONMAXELEVATION_FROM_VERBATIM": ["-10--20 m", "3 km", "100-20 yd"],
    "AMENDMENT_EVENTDATE_FROM_YEARSTARTDAYOFYEARENDDAYOFYEAR": [
        "1",
        "60",
        "365",
        "366",
        "2023",
        "2024",
    ],
    "AMENDMENT_EVENTDATE_FROM_YEARMONTHDAY": ["2024", "1900", "2", "II", "29", "29th", "31"],
}


@pytest.mark.parametrize("test", in_order(), ids=lambda each: each.declaration.label)
@settings(max_examples=80, deadline=None)
@given(data=st.data())
def test_an_applied_amendment_meets_its_own_validation(test, data: st.DataObject) -> None:  # type: ignore[no-untyped-def]
    label = test.declaration.label
    texts = st.one_of(TEXTS, st.sampled_from(["", *WORDED.get(label, [])]))
    record = {
        term: "" if term in test.declaration.acted_upon and "_FROM_" in label else data.draw(texts)
        for term in test.declaration.inputs
    }
    proposed = quality.run(label, record, today=TODAY).proposed
    if proposed:
        for validation in _own(label):
            answer = quality.run(validation, record | proposed, today=TODAY)
            assert answer.result == "COMPLIANT", (label, record, proposed, answer)


@given(day=st.dates(min_value=date(1, 1, 1)))
def test_dates_are_read_as_the_standard_library_reads_them(day: date) -> None:
    """Against datetime.date, for calendar, ordinal and week dates alike."""
    year, week, weekday = day.isocalendar()
    ordinal = day.timetuple().tm_yday
    for text in (day.isoformat(), f"{day.year:04}-{ordinal:03}", f"{year:04}-W{week:02}-{weekday}"):
        span = isodate.parse(text)
        assert span is not None
        assert span.first_day == span.last_day == (day.year, day.month, day.day)
        assert span.seconds == 86_400
        assert isodate.day_of_year(span.first_day) == ordinal


@given(first=st.dates(min_value=date(1, 1, 1)), last=st.dates(min_value=date(1, 1, 1)))
def test_an_interval_lasts_as_long_as_its_days(first: date, last: date) -> None:
    span = isodate.parse(f"{first.isoformat()}/{last.isoformat()}")
    assert (span is None) == (last < first)
    if span is not None:
        assert span.seconds == ((last - first).days + 1) * 86_400
