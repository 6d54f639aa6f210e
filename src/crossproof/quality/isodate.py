"""ISO 8601-1 dates, date-times and intervals, as `dwc:eventDate` holds them.

Read are: years, months, days, week dates and ordinal dates, in extended or basic format; times of
the day with `T` down to fractions of a second, with `Z` or an offset; intervals `start/end`, their
end shortened or not (`2007-11-13/15`, Darwin Core's own example), `start/duration` and
`duration/end`. Hour 24 is no time of the day (ISO 8601-1:2019, 4.3.8).
"""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass, replace
from datetime import date
from enum import IntEnum
from functools import lru_cache

DAY = 86_400  # seconds; leap seconds are not counted (notes of MEASURE_EVENTDATE_DURATIONINSECONDS)

Calendar = tuple[int, int, int]


class Precision(IntEnum):
    YEAR = 1
    MONTH = 2
    DAY = 3
    TIME = 4


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time: its first and last day, its seconds from `first` up to `last`, excluded.

    Seconds count from 0001-01-01 on the clock as written. `offset` and `last_offset` are seconds
    east of UTC, None where not given. `precision` is that of the coarser end.
    """

    first_day: Calendar
    last_day: Calendar
    first: int
    last: int
    precision: Precision
    offset: int | None = None
    last_offset: int | None = None

    @property
    def seconds(self) -> int:
        """How long it lasts."""
        shift = 0
        if self.offset is not None and self.last_offset is not None:
            shift = self.offset - self.last_offset
        return max(self.last - self.first + shift, 0)

    @property
    def single_year(self) -> bool:
        return self.first_day[0] == self.last_day[0]

    @property
    def single_month(self) -> bool:
        return self.precision >= Precision.MONTH and self.first_day[:2] == self.last_day[:2]

    @property
    def single_day(self) -> bool:
        return self.precision >= Precision.DAY and self.first_day == self.last_day

    def entirely_before(self, other: Span) -> bool:
        """Say whether it ends before `other` begins, in UTC where both say their offset."""
        shift = 0
        if self.last_offset is not None and other.offset is not None:
            shift = other.offset - self.last_offset
        end = max(self.last + shift, self.first + shift + 1)
        return end <= other.first


def day_number(day: Calendar) -> int:
    """Count days from 0001-01-01 (day 1), year 0000 included."""
    year, month, of_month = day
    if year >= 1:
        return date(year, month, of_month).toordinal()
    return date(year + 400, month, of_month).toordinal() - 146_097  # 400 years repeat exactly


def from_day_number(days: int) -> Calendar | None:
    """Turn a count of days back into year, month and day; None outside 0000 to 9999."""
    shift = 0 if days >= 1 else 1
    try:
        found = date.fromordinal(days + shift * 146_097)
    except (ValueError, OverflowError):
        return None
    year = found.year - shift * 400
    return (year, found.month, found.day) if year >= 0 else None


def valid_day(year: int, month: int, day: int) -> bool:
    return (
        0 <= year <= 9999
        and 1 <= month <= 12
        and 1 <= day <= calendar.monthrange(year or 400, month)[1]
    )


def day_of_year(day: Calendar) -> int:
    return day_number(day) - day_number((day[0], 1, 1)) + 1


@lru_cache(maxsize=1 << 16)
def parse(text: str) -> Span | None:
    """Read an ISO 8601-1 date, date-time or interval; None for anything else, spaces included."""
    if "/" not in text:
        return _single(text)
    parts = text.split("/")
    if len(parts) != 2:
        return None
    start, end = parts
    if start.startswith("P"):
        return _counted_back(start, _single(end))
    first = _single(start)
    if first is None:
        return None
    if end.startswith("P"):
        return _counted_on(first, end)
    last = _single(end) or _single(_completed(start, end))
    return _between(first, last) if last else None


_DATE = re.compile(
    r"(?P<year>[0-9]{4})(?:"
    r"-(?P<month>[0-9]{2})(?:-(?P<day>[0-9]{2}))?|-(?P<ordinal>[0-9]{3})"
    r"|-W(?P<week>[0-9]{2})(?:-(?P<weekday>[1-7]))?"
    r"|(?P<basic_month>[0-9]{2})(?P<basic_day>[0-9]{2})|(?P<basic_ordinal>[0-9]{3})"
    r"|W(?P<basic_week>[0-9]{2})(?P<basic_weekday>[1-7])?)?"
)
_TIME = re.compile(
    r"(?P<hour>[0-9]{2})(?:(?P<colon>:?)(?P<minute>[0-9]{2})(?:(?P=colon)(?P<second>[0-9]{2}))?)?"
    r"(?:[.,](?P<fraction>[0-9]{1,12}))?(?P<zone>Z|[+-][0-9]{2}(?::?[0-9]{2})?)?"
)


def _single(text: str) -> Span | None:
    date_text, marker, time_text = text.partition("T")
    found = _DATE.fullmatch(date_text)
    if not found:
        return None
    whole = _date(found)
    if not marker or whole is None:
        return whole if not marker else None
    if whole.precision < Precision.DAY:
        return None
    time = _TIME.fullmatch(time_text)
    extended = "-" in date_text
    if not time or (time["minute"] and bool(time["colon"]) is not extended):
        return None
    return _at(whole, time)


def _date(found: re.Match[str]) -> Span | None:
    year = int(found["year"])
    month = found["month"] or found["basic_month"]
    day = found["day"] or found["basic_day"]
    ordinal = found["ordinal"] or found["basic_ordinal"]
    week = found["week"] or found["basic_week"]
    if week:
        return _week(year, int(week), found["weekday"] or found["basic_weekday"])
    if ordinal:
        if not 1 <= int(ordinal) <= 365 + calendar.isleap(year):
            return None
        one = from_day_number(day_number((year, 1, 1)) + int(ordinal) - 1)
        return _days(one, one, Precision.DAY) if one else None
    if not month:
        return _days((year, 1, 1), (year, 12, 31), Precision.YEAR)
    if not valid_day(year, int(month), int(day or 1)):
        return None
    if day:
        one = (year, int(month), int(day))
        return _days(one, one, Precision.DAY)
    length = calendar.monthrange(year or 400, int(month))[1]
    return _days((year, int(month), 1), (year, int(month), length), Precision.MONTH)


def _week(year: int, week: int, weekday: str | None) -> Span | None:
    try:
        monday = date.fromisocalendar(year, week, int(weekday or 1)).toordinal()
    except ValueError:
        return None
    first, last = from_day_number(monday), from_day_number(monday if weekday else monday + 6)
    # A week is finer than a month and coarser than a day; nothing here tells it from a month.
    return (
        _days(first, last, Precision.DAY if weekday else Precision.MONTH)
        if first and last
        else None
    )


def _days(first: Calendar, last: Calendar, precision: Precision) -> Span:
    return Span(first, last, day_number(first) * DAY, (day_number(last) + 1) * DAY, precision)


def _at(day: Span, time: re.Match[str]) -> Span | None:
    hour, minute, second = int(time["hour"]), int(time["minute"] or 0), int(time["second"] or 0)
    leap_second = second == 60 and minute == 59
    offset = _offset(time["zone"])
    if hour > 23 or minute > 59 or (second > 59 and not leap_second) or offset is False:
        return None
    unit = 1 if time["second"] else 60 if time["minute"] else 3600
    first = day.first + hour * 3600 + minute * 60 + second
    if time["fraction"]:
        first += int(time["fraction"]) * unit // 10 ** len(time["fraction"])
        unit = max(unit // 10 ** len(time["fraction"]), 1)
    known = None if offset is None else int(offset)
    return Span(day.first_day, day.last_day, first, first + unit, Precision.TIME, known, known)


def _offset(zone: str | None) -> int | bool | None:
    """Return seconds east of UTC, None where not given, False where it cannot be."""
    if not zone or zone == "Z":
        return 0 if zone else None
    hours, minutes = int(zone[1:3]), int(zone[3:].lstrip(":") or 0)
    if hours > 23 or minutes > 59 or (zone[0] == "-" and hours == minutes == 0):
        return False
    return (hours * 3600 + minutes * 60) * (-1 if zone[0] == "-" else 1)


def _completed(start: str, end: str) -> str:
    """Fill the missing front of a shortened end from the start: `2007-11-13/15`."""
    zone = re.compile(r"(?<=[0-9])(?:Z|[+-][0-9]{2}:?[0-9]{2})$")
    core = zone.sub("", start) if "T" in start else start
    tail = zone.sub("", end) if "T" in end or ":" in end else end
    front = core[: len(core) - len(tail)]
    return front + end if front.endswith(("-", "T", ":")) else ""


def _between(first: Span, last: Span) -> Span | None:
    """Join two ends. Days end inclusively, a time of the day ends at the instant it names."""
    timed = last.precision == Precision.TIME
    end = last.first if timed else last.last
    last_offset = last.offset if last.offset is not None else first.offset
    joined = Span(
        first.first_day,
        last.last_day,
        first.first,
        end,
        min(first.precision, last.precision),
        first.offset,
        last_offset if timed else None,
    )
    shift = (first.offset or 0) - (last_offset or 0) if timed else 0
    return joined if end + shift >= first.first and last.last > first.first else None


_DURATION = re.compile(
    r"P(?!$)(?:(?P<y>[0-9]{1,4})Y)?(?:(?P<mo>[0-9]{1,4})M)?(?:(?P<w>[0-9]{1,4})W)?"
    r"(?:(?P<d>[0-9]{1,5})D)?(?:T(?=[0-9])(?:(?P<h>[0-9]{1,5})H)?(?:(?P<mi>[0-9]{1,6})M)?"
    r"(?:(?P<s>[0-9]{1,9})S)?)?"
)


def _counted_on(first: Span, duration: str) -> Span | None:
    end = _moved(first.first, duration, 1)
    if end is None or end <= first.first:
        return None
    return _with_ends(first, first.first, end)


def _counted_back(duration: str, last: Span | None) -> Span | None:
    if last is None:
        return None
    end = last.first if last.precision == Precision.TIME else last.last
    start = _moved(end, duration, -1)
    return _with_ends(last, start, end) if start is not None and start < end else None


def _with_ends(known: Span, first: int, last: int) -> Span | None:
    timed = known.precision == Precision.TIME
    first_day = from_day_number(first // DAY)
    last_day = from_day_number((last if timed else last - 1) // DAY)
    if first_day is None or last_day is None:
        return None
    return replace(known, first_day=first_day, last_day=last_day, first=first, last=last)


def _moved(instant: int, duration: str, sign: int) -> int | None:
    found = _DURATION.fullmatch(duration)
    start = from_day_number(instant // DAY)
    if not found or start is None:
        return None
    part = {name: int(value or 0) for name, value in found.groupdict().items()}
    months = start[0] * 12 + start[1] - 1 + sign * (part["y"] * 12 + part["mo"])
    year, month = divmod(months, 12)
    if not 0 <= year <= 9999:
        return None
    day = min(start[2], calendar.monthrange(year or 400, month + 1)[1])
    seconds = (part["w"] * 7 + part["d"]) * DAY + part["h"] * 3600 + part["mi"] * 60 + part["s"]
    return day_number((year, month + 1, day)) * DAY + instant % DAY + sign * seconds
