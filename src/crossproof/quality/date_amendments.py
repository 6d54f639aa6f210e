"""What may be proposed for dates: only what is written, at the precision it is written with."""

from __future__ import annotations

from . import datephrase, isodate
from .date_validations import parts_of
from .registry import implements
from .response import Response, amended, filled_in, internal, not_amended
from .values import integer, is_empty, trim

# The notes of AMENDMENT_EVENTDATE_FROM_VERBATIM ask for the remark on anything earlier.
_LAST_JULIAN_CALENDAR = (1918, 2, 14)


def _standardized(term: str, value: str) -> Response:
    if is_empty(value):
        return internal(f"{term} is empty")
    if isodate.parse(value):
        return not_amended(f"{term} is a valid ISO 8601 date already")
    iso = datephrase.standardise(value)
    if iso is None:
        return not_amended(f"{term} cannot be read as one date, or may be read as several")
    return amended({term: iso}, f"{term} was rewritten as an ISO 8601 date")


@implements("718dfc3c-cb52-4fca-b8e2-0e722f375da7")
def eventdate_standardized(event_date: str) -> Response:
    return _standardized("dwc:eventDate", event_date)


@implements("39bb2280-1215-447b-9221-fd13bc990641")
def dateidentified_standardized(date_identified: str) -> Response:
    return _standardized("dwc:dateIdentified", date_identified)


@implements("6d0a0c10-5e4a-4759-b448-88932f399812")
def eventdate_from_verbatim(event_date: str, verbatim: str) -> Response:
    if not is_empty(event_date):
        return internal("dwc:eventDate is filled in already")
    if is_empty(verbatim):
        return internal("dwc:verbatimEventDate is empty")
    iso = datephrase.interpret(verbatim)
    span = isodate.parse(iso) if iso else None
    if iso is None or span is None:
        return not_amended("dwc:verbatimEventDate cannot be read as one date, or as several")
    comment = "dwc:eventDate was read from dwc:verbatimEventDate"
    if span.first_day < _LAST_JULIAN_CALENDAR:
        comment += "; verbatimDate was assumed to be in the Gregorian calendar"
    return filled_in({"dwc:eventDate": iso}, comment)


def _four_digits(year: str) -> int | None:
    """Return a year that needs no guess about its century."""
    value = integer(year)
    return value if value is not None and 1000 <= value <= 9999 else None


@implements("3892f432-ddd0-4a0a-b713-f2e2ecbd879d")
def eventdate_from_parts(event_date: str, year: str, month: str, day: str) -> Response:
    """Put a date together: as precise as the parts allow, the year alone without a month."""
    if not is_empty(event_date):
        return internal("dwc:eventDate is filled in already")
    if is_empty(year):
        return internal("dwc:year is empty")
    if integer(year) is None:
        return internal("dwc:year is not a whole number")
    of_era, of_year, of_month = _four_digits(year), datephrase.month(month), datephrase.day(day)
    if of_era is None:
        return not_amended("dwc:year is not a year of four digits")
    iso = f"{of_era:04}"
    if of_year:
        iso += f"-{of_year:02}"
        if of_month is None and integer(day) is not None:
            return not_amended("dwc:day is no day of any month")
        if of_month and not isodate.valid_day(of_era, of_year, of_month):
            return not_amended("dwc:year, dwc:month and dwc:day together are not a date")
        iso += f"-{of_month:02}" if of_month else ""
    return filled_in({"dwc:eventDate": iso}, "dwc:eventDate was put together from its parts")


@implements("eb0a44fa-241c-4d64-98df-ad4aa837307b")
def eventdate_from_days_of_year(event_date: str, year: str, start: str, end: str) -> Response:
    if not is_empty(event_date):
        return internal("dwc:eventDate is filled in already")
    if any(map(is_empty, (year, start, end))):
        return internal("dwc:year, dwc:startDayOfYear or dwc:endDayOfYear is empty")
    of_era, first, last = _four_digits(year), integer(start), integer(end)
    if of_era is None or first is None or last is None:
        return not_amended("dwc:year or one of the days of the year cannot be read")
    if not 1 <= first < last:
        return not_amended("dwc:startDayOfYear is not a day before dwc:endDayOfYear")
    span = isodate.parse(f"{of_era:04}-{first:03}/{of_era:04}-{last:03}")
    if span is None:
        return not_amended("one of the days does not exist in dwc:year")
    iso = "/".join("{:04}-{:02}-{:02}".format(*day) for day in (span.first_day, span.last_day))
    return filled_in({"dwc:eventDate": iso}, "dwc:eventDate was put together from days of the year")


@implements("710fe118-17e1-440f-b428-88ba3f547d6d")
def event_from_eventdate(
    year: str, month: str, day: str, start: str, end: str, event_date: str
) -> Response:
    if is_empty(event_date):
        return internal("dwc:eventDate is empty")
    span = isodate.parse(event_date)
    if span is None:
        return internal("dwc:eventDate is not a valid ISO 8601 date")
    given = {
        "dwc:year": year,
        "dwc:month": month,
        "dwc:day": day,
        "dwc:startDayOfYear": start,
        "dwc:endDayOfYear": end,
    }
    missing = {term: str(value) for term, value in parts_of(span).items() if is_empty(given[term])}
    if not missing:
        return not_amended("nothing is missing that dwc:eventDate could say")
    return filled_in(missing, "the missing parts were read from dwc:eventDate")


@implements("b129fa4d-b25b-43f7-9645-5ed4d44b357b")
def day_standardized(day: str) -> Response:
    return _whole_number("dwc:day", day, datephrase.day(day))


@implements("2e371d57-1eb3-4fe3-8a61-dff43ced50cf")
def month_standardized(month: str) -> Response:
    return _whole_number("dwc:month", month, datephrase.month(month))


def _whole_number(term: str, value: str, meant: int | None) -> Response:
    if is_empty(value):
        return internal(f"{term} is empty")
    if meant is None:
        return not_amended(f"{term} cannot be read as one whole number of its range")
    if integer(trim(value)) == meant and trim(value) == value:
        return not_amended(f"{term} is a whole number already")
    return amended({term: str(meant)}, f"{term} was rewritten as a whole number")
