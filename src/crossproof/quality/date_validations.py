"""Dates, years, months and days held against the calendar and against each other."""

from __future__ import annotations

import calendar

from . import isodate
from .isodate import Precision, Span
from .registry import Settings, implements
from .response import Response, external, internal, measured, not_measured, verdict
from .values import EMPTY_CHARACTERS, integer, is_empty


def _standard(term: str, value: str) -> Response:
    if is_empty(value):
        return internal(f"{term} is empty")
    return verdict(
        isodate.parse(value) is not None,
        f"{term} is a valid ISO 8601 date",
        f"{term} is not a valid ISO 8601 date",
    )


@implements("4f2bf8fd-fc5c-493f-a44c-e7b16153c803")
def eventdate_standard(event_date: str) -> Response:
    return _standard("dwc:eventDate", event_date)


@implements("66269bdd-9271-4e76-b25c-7ab81eebe1d8")
def dateidentified_standard(date_identified: str) -> Response:
    return _standard("dwc:dateIdentified", date_identified)


def _bounds(settings: Settings) -> tuple[Span, Span] | None:
    """Read the parameters for the earliest and the latest date; None when one is no date."""
    texts = []
    for name in ("bdqval:earliestValidDate", "bdqval:latestValidDate"):
        text = settings.parameters[name].strip(EMPTY_CHARACTERS)
        text = text.replace("{current year}", f"{settings.today.year:04}")
        texts.append(text.replace("{current day}", settings.today.isoformat()))
    earliest, latest = isodate.parse(texts[0]), isodate.parse(texts[1])
    return (earliest, latest) if earliest and latest else None


_NO_BOUNDS = "bdqval:earliestValidDate or bdqval:latestValidDate is not an ISO 8601 date"


@implements("3cff4dc4-72e9-4abe-9bf3-8a30f1618432")
def eventdate_inrange(event_date: str, *, settings: Settings) -> Response:
    """Hold the whole of the event date to the range: a year half outside is outside."""
    if is_empty(event_date):
        return internal("dwc:eventDate is empty")
    span, bounds = isodate.parse(event_date), _bounds(settings)
    if span is None:
        return internal("dwc:eventDate is not a valid ISO 8601 date")
    if bounds is None:
        return external(_NO_BOUNDS)
    return verdict(
        bounds[0].first <= span.first and span.last <= bounds[1].last,
        "dwc:eventDate lies within the range",
        "dwc:eventDate lies outside the range, or reaches out of it",
    )


@implements("dc8aae4b-134f-4d75-8a71-c4186239178e")
def dateidentified_inrange(
    date_identified: str, event_date: str, *, settings: Settings
) -> Response:
    """Hold the identification to the range, and let it not precede the event.

    A date given as a year or month that holds the latest day allowed is within the range: it
    cannot have been written with more than has passed of it.
    """
    if is_empty(date_identified):
        return internal("dwc:dateIdentified is empty")
    span, event, bounds = (
        isodate.parse(date_identified),
        isodate.parse(event_date),
        _bounds(settings),
    )
    if span is None:
        return internal("dwc:dateIdentified is not a valid ISO 8601 date")
    heeded = settings.parameters["bdqval:includeEventDate"].strip(EMPTY_CHARACTERS).lower()
    with_event = heeded != "false" and not is_empty(event_date)
    if with_event and event is None:
        return internal("dwc:eventDate is not a valid ISO 8601 date")
    if bounds is None:
        return external(_NO_BOUNDS)
    last_begins = isodate.day_number(_beginning(span)) * isodate.DAY
    if span.first < bounds[0].first or max(span.first, last_begins) >= bounds[1].last:
        return verdict(False, "", "dwc:dateIdentified lies outside the range")
    if with_event and event is not None and span.entirely_before(event):
        return verdict(False, "", "dwc:dateIdentified is earlier than dwc:eventDate")
    return verdict(True, "dwc:dateIdentified lies within the range and not before the event", "")


def _beginning(span: Span) -> isodate.Calendar:
    """The first day of the last unit named: of the last year, month or day."""
    year, month, day = span.last_day
    if span.precision == Precision.YEAR:
        return year, 1, 1
    return (year, month, 1) if span.precision == Precision.MONTH else (year, month, day)


@implements("ad0c8855-de69-4843-a80c-a5387d20fbc8")
def year_inrange(year: str, *, settings: Settings) -> Response:
    if is_empty(year):
        return internal("dwc:year is empty")
    value, bounds = integer(year), _bounds(settings)
    if value is None:
        return internal("dwc:year is not a whole number")
    if bounds is None:
        return external(_NO_BOUNDS)
    return verdict(
        bounds[0].first_day[0] <= value <= bounds[1].last_day[0],
        "dwc:year lies within the range",
        "dwc:year lies outside the range",
    )


@implements("01c6dafa-0886-4b7e-9881-2c3018c98bdc")
def month_standard(month: str) -> Response:
    return _whole_number("dwc:month", month, 12)


@implements("47ff73ba-0028-4f79-9ce1-ee7008d66498")
def day_standard(day: str) -> Response:
    return _whole_number("dwc:day", day, 31)


def _whole_number(term: str, value: str, most: int) -> Response:
    if is_empty(value):
        return internal(f"{term} is empty")
    return verdict(
        1 <= (integer(value) or 0) <= most,
        f"{term} is a whole number from 1 to {most}",
        f"{term} is not a whole number from 1 to {most}",
    )


_LENGTHS = {2: 29, 4: 30, 6: 30, 9: 30, 11: 30}


@implements("8d787cb5-73e2-4c39-9cd1-67c7361dc02e")
def day_inrange(day: str, month: str, year: str) -> Response:
    """Ask of month and year only what the day needs of them."""
    if is_empty(day):
        return internal("dwc:day is empty")
    of_month, of_year = integer(day), integer(month) or 0
    if of_month is None:
        return internal("dwc:day is not a whole number")
    needs_month = 29 <= of_month <= 31
    if needs_month and not 1 <= of_year <= 12:
        return internal("dwc:day may only be judged with dwc:month, which is not a month")
    on_leap_day = of_month == 29 and of_year == 2
    written_year = isodate.parse(year.strip(EMPTY_CHARACTERS))
    iso_year = written_year if len(year.strip(EMPTY_CHARACTERS)) == 4 else None
    if on_leap_day and iso_year is None:
        return internal("29 February may only be judged with dwc:year, which is not a year")
    if on_leap_day and iso_year is not None:
        exists = calendar.isleap(iso_year.first_day[0])
    else:
        exists = 1 <= of_month <= (_LENGTHS.get(of_year, 31) if needs_month else 28)
    return verdict(exists, "dwc:day exists in its month", "dwc:day does not exist in its month")


@implements("85803c7e-2a5a-42e1-b8d3-299a44cafc46")
def startdayofyear_inrange(start_day: str, event_date: str) -> Response:
    span = isodate.parse(event_date)
    return _day_of_year("dwc:startDayOfYear", start_day, span.first_day[0] if span else None)


@implements("9a39d88c-7eee-46df-b32a-c109f9f81fb8")
def enddayofyear_inrange(end_day: str, event_date: str) -> Response:
    span = isodate.parse(event_date)
    return _day_of_year("dwc:endDayOfYear", end_day, span.last_day[0] if span else None)


def _day_of_year(term: str, value: str, year: int | None) -> Response:
    if is_empty(value):
        return internal(f"{term} is empty")
    day = integer(value) or 0
    if day == 366 and year is None:
        return internal(
            f"{term} is 366, and dwc:eventDate does not say whether the year is a leap year"
        )
    exists = 1 <= day <= 365 or (day == 366 and year is not None and calendar.isleap(year))
    return verdict(exists, f"{term} exists in its year", f"{term} does not exist in its year")


@implements("5618f083-d55a-4ac2-92b5-b9fb227b832f")
def event_consistent(
    event_date: str, day: str, month: str, year: str, start_day: str, end_day: str
) -> Response:
    """Hold each part given to the event date, at the precision the part's definition needs."""
    if is_empty(event_date):
        return internal("dwc:eventDate is empty")
    if all(map(is_empty, (day, month, year, start_day, end_day))):
        return internal("year, month, day and the days of the year are all empty")
    span = isodate.parse(event_date)
    if span is None:
        return verdict(
            False, "", "dwc:eventDate is not a valid ISO 8601 date: nothing agrees with it"
        )
    expected = parts_of(span)
    for term, value in zip(_PARTS, (year, month, day, start_day, end_day), strict=True):
        if not is_empty(value) and integer(value) != expected.get(term, -1):
            return verdict(False, "", f"{term} does not agree with dwc:eventDate")
    return verdict(True, "all the parts given agree with dwc:eventDate", "")


_PARTS = ("dwc:year", "dwc:month", "dwc:day", "dwc:startDayOfYear", "dwc:endDayOfYear")


def parts_of(span: Span) -> dict[str, int]:
    """Return those of year, month, day and days of the year that a span of time determines."""
    parts = {}
    if span.single_year:
        parts["dwc:year"] = span.first_day[0]
    if span.single_month:
        parts["dwc:month"] = span.first_day[1]
    if span.single_day:
        parts["dwc:day"] = span.first_day[2]
    if span.precision >= Precision.DAY:
        parts["dwc:startDayOfYear"] = isodate.day_of_year(span.first_day)
        parts["dwc:endDayOfYear"] = isodate.day_of_year(span.last_day)
    return parts


@implements("56b6c695-adf1-418e-95d2-da04cad7be53")
def eventdate_duration(event_date: str) -> Response:
    if is_empty(event_date):
        return not_measured("dwc:eventDate is empty")
    span = isodate.parse(event_date)
    if span is None:
        return not_measured("dwc:eventDate is not a valid ISO 8601 date")
    return measured(span.seconds, "the length of dwc:eventDate in seconds, each day 86,400 of them")
