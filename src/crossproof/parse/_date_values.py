"""Years, months and days: held to the calendar, to today, and written in ISO 8601."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date

from crossproof.parse.date_error import DateError

_EARLIEST = 1500  # before the first herbaria; an older year is a slip (from memory)


@dataclass(frozen=True, slots=True)
class Part:
    """A date as far as it is written: the year as its digits, 0 for a month or day not given."""

    year: str
    month: int = 0
    day: int = 0
    time: str = ""


@dataclass(frozen=True, slots=True)
class Moment:
    """A year, month or day that the calendar has, with the time of day as ISO 8601 if given."""

    year: int
    month: int = 0
    day: int = 0
    time: str = ""

    @property
    def first(self) -> date:
        return date(self.year, self.month or 1, self.day or 1)

    @property
    def last(self) -> date:
        month = self.month or 12
        return date(self.year, month, self.day or monthrange(self.year, month)[1])

    def __str__(self) -> str:
        text = f"{self.year:04d}"
        if self.month:
            text += f"-{self.month:02d}"
        if self.day:
            text += f"-{self.day:02d}"
        return text + (f"T{self.time}" if self.time else "")


def settle(part: Part, today: date, notes: list[str]) -> Moment:
    """Hold a part to the calendar and to today; give a two-digit year its century.

    A two-digit year is the latest one that is not in the future, which is noted.

    Raises:
        DateError: `impossible`, `implausible`, `future`, `this_year` or `unreadable`.
    """
    if not part.year.isdigit() or len(part.year) not in (2, 4):
        raise DateError("unreadable", f"{part.year!r} is no year")
    if part.month > 12 or (part.day and not part.month):
        raise DateError("impossible", f"there is no month {part.month}")
    year = int(part.year)
    if len(part.year) == 2:
        year += today.year // 100 * 100
        if _first_day(year, part) > (today.year, today.month, today.day):
            if year == today.year:
                raise DateError(
                    "this_year",
                    f"the year {part.year} would be {year}, still to come, or {year - 100}",
                )
            year -= 100
        notes.append(f"the year {part.year} was read as {year}, the latest that is past")
    if year < _EARLIEST:
        raise DateError("implausible", f"the year {part.year} is too long ago")
    if part.day > monthrange(year, part.month or 1)[1]:
        raise DateError("impossible", f"month {part.month} of {year} has no day {part.day}")
    moment = Moment(year, part.month, part.day, part.time)
    if moment.first > today:
        raise DateError("future", f"{moment} has not come yet")
    return moment


def _first_day(year: int, part: Part) -> tuple[int, int, int]:
    return year, part.month or 1, part.day or 1


def interval(start: Moment, end: Moment) -> str:
    """ISO 8601 of an interval, or of the one date where both ends are the same.

    Raises:
        DateError: `reversed`.
    """
    if start.first > end.last or (start.first == end.first and start.time > end.time > ""):
        raise DateError("reversed", f"{start} is later than {end}")
    return str(start) if str(start) == str(end) else f"{start}/{end}"
