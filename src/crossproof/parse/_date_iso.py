"""Dates in ISO 8601 and in digits alone: calendar, week and ordinal dates, times, intervals,
spreadsheet serials.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta

from crossproof.parse._date_values import Moment, Part, interval, settle
from crossproof.parse.date_error import DateError

_ZONE = r"(z|[+-]\d{2}(?::?\d{2})?)?"
_CLOCK = rf"(\d{{2}}):?(\d{{2}})(?::?(\d{{2}})(?:[.,]\d+)?)?\s?{_ZONE}"
_POINT = re.compile(rf"(\d{{4}})(?:-(\d{{2}})(?:-(\d{{2}})(?:[t ]+{_CLOCK})?)?)?")
_COMPACT = re.compile(rf"(\d{{4}})(\d{{2}})(\d{{2}})t{_CLOCK}")
# What may stand for the end of an interval whose start says the rest (ISO 8601-1, 5.5.2.4).
_MONTH_DAY = re.compile(rf"(\d{{2}})-(\d{{2}})(?:t{_CLOCK})?")
_LAST = re.compile(rf"(\d{{2}})(?:t{_CLOCK})?")
_TIME = re.compile(rf"t?{_CLOCK}")
_WEEK = re.compile(r"(\d{4})-?w(\d{2})(?:-?([1-7]))?")
_ORDINAL = re.compile(r"(\d{4})-?(\d{3})")
_DURATION = re.compile(r"p(\d{1,3})([dw])")
_EXIF = re.compile(r"(\d{4}):(\d{2}):(\d{2})(?= |$)")
_SERIAL = re.compile(r"([1-9]\d{4})(?:\.(\d+))?")
# Day 0 of spreadsheet serials; right from March 1900 on (ECMA-376, 18.17.4.1, date base 1900).
_SERIAL_ZERO = date(1899, 12, 30)


def clock(parts: Sequence[str | None], notes: list[str]) -> str:
    """A time of day in ISO 8601; '' for a midnight, which a spreadsheet writes for no time at all.

    Args:
        parts: hour, minute, second, zone (`z`, `+01:00`), each as digits or None.

    Raises:
        DateError: `impossible`.
    """
    hour, minute, second, zone = (part or "" for part in parts)
    if int(hour) > 23 or int(minute) > 59 or int(second or 0) > 59:
        raise DateError("impossible", f"there is no time {hour}:{minute}")
    if not int(hour) and not int(minute) and not int(second or 0):
        notes.append("midnight was read as no time given")
        return ""
    text = f"{int(hour):02d}:{minute}" + (f":{second}" if second else "")
    if not zone:
        return text
    if zone in "zZ":
        return text + "Z"
    return text + (f"{zone[:3]}:{zone[-2:]}" if len(zone) > 3 else zone + ":00")


def _point(text: str, notes: list[str]) -> Part | None:
    match = _POINT.fullmatch(text) or _COMPACT.fullmatch(text)
    if not match:
        return None
    year, month, day, hour, minute, second, zone = match.groups()
    if month == "00" or day == "00":
        raise DateError("impossible", f"{text!r} has a month or day of zero")
    time = clock((hour, minute, second, zone), notes) if hour else ""
    return Part(year, int(month or 0), int(day or 0), time)


def _end(text: str, start: Part, notes: list[str]) -> Part | None:
    """The end of an interval, with what it leaves out taken from the start."""
    if (match := _TIME.fullmatch(text)) and start.time:
        return Part(start.year, start.month, start.day, clock(match.groups(), notes))
    if (match := _MONTH_DAY.fullmatch(text)) and start.day:
        month, day, *time = match.groups()
        return Part(start.year, int(month), int(day), clock(time, notes) if time[0] else "")
    if match := _LAST.fullmatch(text):
        number, *time = match.groups()
        if start.day:
            when = clock(time, notes) if time[0] else ""
            return Part(start.year, start.month, int(number), when)
        if start.month:
            return Part(start.year, int(number))
    return None


def read_iso(text: str, today: date, notes: list[str]) -> str | None:
    """Read an ISO 8601 date or interval, in lower case; None where it is not one.

    Raises:
        DateError: it is one, but cannot be.
    """
    text = _EXIF.sub(r"\1-\2-\3", text)
    before, slash, after = text.partition("/")
    if slash and after:
        start = _point(before.strip(), notes)
        if not start:
            return None
        first = settle(start, today, notes)
        if match := _DURATION.fullmatch(after):
            days = int(match[1]) * (7 if match[2] == "w" else 1)
            last = first.last + timedelta(days=days)
            return interval(first, settle(_part(last), today, notes))
        end = _point(after.strip(), notes) if len(after) > 3 else None
        end = end or _end(after.strip(), start, notes)
        return interval(first, settle(end, today, notes)) if end else None
    if match := _WEEK.fullmatch(text):
        return _week(text, match, today, notes)
    if match := _ORDINAL.fullmatch(text):
        year, number = int(match[1]), int(match[2])
        if not 1 <= number <= 366 or not 1500 <= year <= today.year:
            raise DateError("unreadable", f"{text!r} is no day of a year")
        day = date(year, 1, 1) + timedelta(days=number - 1)
        if day.year != year:
            raise DateError("impossible", f"the year {year} has no day {number}")
        notes.append("the last three digits were read as the day of the year")
        return str(settle(_part(day), today, notes))
    if re.fullmatch(r"\d{4}-(?:00|1[3-9]|[2-9]\d)", text):
        return None  # two years: 1987-89
    part = _point(text, notes)
    return str(settle(part, today, notes)) if part else None


def _part(day: date) -> Part:
    return Part(f"{day.year:04d}", day.month, day.day)


def _week(text: str, match: re.Match[str], today: date, notes: list[str]) -> str:
    try:
        first = date.fromisocalendar(int(match[1]), int(match[2]), int(match[3] or 1))
    except ValueError:
        raise DateError("impossible", f"there is no week {text.upper()}") from None
    start = settle(_part(first), today, notes)
    if match[3]:
        return str(start)
    try:
        return interval(start, settle(_part(first + timedelta(days=6)), today, notes))
    except OverflowError:
        raise DateError("impossible", f"there is no week {text.upper()}") from None


def read_digits(text: str, today: date, notes: list[str]) -> str | None:
    """Read a date of digits alone: a year, `19870612`, `120687`, a spreadsheet's serial.

    Returns None where there are other signs than digits in it.

    Raises:
        DateError: the digits are no date, or more than one.
    """
    if re.fullmatch(r"\d{4,8}\.0+", text):
        text = text.partition(".")[0]  # a whole number that went through a table of decimals
    if match := _SERIAL.fullmatch(text):
        return _serial(text, match, today, notes)
    if not text.isdigit() or not text.isascii():
        return None
    if len(text) == 8:
        orders = {
            "year first": _digits(text, 4, 2, 2),
            "day first": _digits(text[4:] + text[2:4] + text[:2], 4, 2, 2),
        }
    elif len(text) == 6:
        orders = {
            "year and month": _digits(text, 4, 2, 0),
            "day first": _digits(text[4:] + text[2:4] + text[:2], 2, 2, 2),
            "year first": _digits(text, 2, 2, 2),
        }
    elif len(text) == 4:
        return str(settle(Part(text), today, notes))
    elif len(text) == 2:
        raise DateError("short_year", f"{text!r} may be a year of any century, or a day")
    else:
        raise DateError("unreadable", f"{text!r} is no date")
    return _one_of(text, orders, today, notes)


def _digits(text: str, year: int, month: int, day: int) -> Part:
    return Part(text[:year], int(text[year : year + month]), int(text[year + month :][:day] or 0))


def _one_of(text: str, orders: dict[str, Part], today: date, notes: list[str]) -> str:
    """The one order in which the digits are a date."""
    found: dict[str, tuple[Moment, str, list[str]]] = {}
    failed: list[DateError] = []
    for order, part in orders.items():
        if not part.month or (len(text) == 8 and not part.day):
            continue
        said: list[str] = []
        try:
            moment = settle(part, today, said)
        except DateError as error:
            failed.append(error)
        else:
            found.setdefault(str(moment), (moment, order, said))
    if len(found) > 1:
        raise DateError("day_or_month", f"{text!r} may be any of {', '.join(sorted(found))}")
    for moment, order, said in found.values():
        notes += said
        if len(text) != 8 or order != "year first":
            notes.append(f"the digits were read as {order}")
        return str(moment)
    telling = [error for error in failed if error.code in ("future", "this_year")]
    if telling:
        raise telling[0]
    raise DateError("impossible", f"the digits {text!r} are no date in any order")


def _serial(text: str, match: re.Match[str], today: date, notes: list[str]) -> str:
    day = _SERIAL_ZERO + timedelta(days=int(match[1]))
    notes.append(f"{text} was read as a spreadsheet's serial day number")
    time = ""
    if match[2]:
        minutes = round(float(f"0.{match[2]}") * 1440)
        if 0 < minutes < 1440:
            time = f"{minutes // 60:02d}:{minutes % 60:02d}"
    return str(settle(Part(f"{day.year:04d}", day.month, day.day, time), today, notes))
