"""Read a written date into ISO 8601, as dwc:eventDate wants it."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from functools import lru_cache

from crossproof.parse._date_found import find_date, read_week
from crossproof.parse._date_iso import read_digits, read_iso
from crossproof.parse._date_signs import plain, repaired
from crossproof.parse._date_spoken import read_decade, read_spoken
from crossproof.parse._date_values import Part, settle
from crossproof.parse._date_words import tokenise
from crossproof.parse.date_error import DateError as DateError
from crossproof.parse.date_error import vocabulary

_LONGEST = 120  # characters; a cell longer than this is prose, not a date

# The commonest way to write a date, read without looking for any other.
_DAY_FIRST = re.compile(r"([0-9]{1,2})([/.-])([0-9]{1,2})\2([0-9]{4})")


@dataclass(frozen=True, slots=True)
class ReadDate:
    """A date or interval in ISO 8601, and what was taken for granted on the way."""

    iso: str
    assumptions: tuple[str, ...] = ()


def parse_date(text: str, today: datetime.date | None = None) -> str:
    """Read a date as written into ISO 8601: `1987-06-12`, `1987-06`, `1987-05/1987-06`.

    Args:
        today: the last day that is not in the future; the real today if not given.

    Raises:
        DateError: with `.reason` (`invalid`, `ambiguous`), `.code` and `.remedy`; nothing else,
            whatever the text.
    """
    return read_date(text, today).iso


def read_date(text: str, today: datetime.date | None = None) -> ReadDate:
    """Read a date as `parse_date`, and say what was assumed.

    Raises:
        DateError: as `parse_date`.
    """
    found = _read(text, today or datetime.date.today())
    if isinstance(found, DateError):
        raise DateError(found.code, str(found))  # a fresh one: cached ones keep no traceback
    return found


@lru_cache(maxsize=65_536)
def _read(text: str, today: datetime.date) -> ReadDate | DateError:
    notes: list[str] = []
    try:
        iso = _iso(text, today, notes)
    except DateError as error:
        return error
    return ReadDate(iso, tuple(dict.fromkeys(notes)))


def _iso(text: str, today: datetime.date, notes: list[str]) -> str:
    if len(text) > _LONGEST:
        raise DateError("unreadable", f"{text[:40]!r}… is too long to be a date")
    written = plain(text)
    if written.lower() in vocabulary()["words"]["empty"]:
        raise DateError("empty", "no date is given")
    if (plainly := _DAY_FIRST.fullmatch(written)) and 1 <= int(plainly[3]) <= 12:
        day, month, year = int(plainly[1]), int(plainly[3]), plainly[4]
        if day:
            return str(settle(Part(year, month, day), today, notes))
    if found := read_week(written.lower(), today, notes, _alone):
        return found
    try:
        return _alone(text, written, today, notes)
    except DateError as error:
        kept = list(notes)
        notes.clear()
        if error.code == "unreadable" and (found := find_date(written, today, notes, _alone)):
            return found
        notes[:] = kept
        raise


def _alone(text: str, written: str, today: datetime.date, notes: list[str]) -> str:
    """A text that is a date and nothing else, but for words that dates have."""
    if found := _forms(written.lower(), today, notes):
        return found
    mended = repaired(written, notes)
    if mended != written and (found := _forms(mended.lower(), today, notes)):
        return found
    return read_spoken(text, tokenise(mended, notes), today, notes)


def _forms(text: str, today: datetime.date, notes: list[str]) -> str | None:
    return (
        read_iso(text, today, notes)
        or read_digits(text, today, notes)
        or read_decade(text, today, notes)
    )
