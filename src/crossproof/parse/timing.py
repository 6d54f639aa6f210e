"""When a record was made: the columns that speak of a date, read together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from crossproof.coding import Memo, cross
from crossproof.model import Coded
from crossproof.parse.cells import Cells, unwritten
from crossproof.parse.date import DateError, read_date
from crossproof.parse.problem import Problem

FIELDS = ("eventDate", "year", "month", "day", "verbatimEventDate")


@dataclass(frozen=True, slots=True)
class When:
    """A date as read: its Darwin Core terms, the months it may lie in, and what is wrong.

    `left` holds the cells, as (field, text), whose words stand in none of the terms.
    """

    terms: Mapping[str, str] = field(hash=False)
    readable: bool
    months: frozenset[int] = frozenset()
    problems: tuple[Problem, ...] = ()
    left: tuple[tuple[str, str], ...] = ()


class Dates:
    """Reads dates, each distinct combination of cells once."""

    def __init__(self, today: date | None) -> None:
        self._today = today
        self._read = Memo(self._when)

    def read(self, cells: Cells) -> Coded[When]:
        """The date of each row of a chunk."""
        present = [name for name in FIELDS if name in cells]
        if not present:
            return cells["eventDate"].map(lambda _: _UNDATED)
        combined = cross(*(cells[name] for name in present))
        return combined.map(lambda values: self._read(tuple(zip(present, values, strict=True))))

    def _when(self, items: tuple[tuple[str, str], ...]) -> When:
        given = {name: text.strip() for name, text in items if text.strip()}
        problems: list[Problem] = []
        for name, text in _attempts(given):
            try:
                found = read_date(text, self._today)
            except DateError as error:
                problems.append(Problem("date_unreadable", name, text, str(error), error.remedy))
                continue
            # What an earlier column held stays said, but no longer as a reason to return the row.
            noted = [Problem("date_assumed", p.field, p.value, p.message) for p in problems]
            noted += [Problem("date_assumed", name, text, a) for a in found.assumptions]
            return _when(found.iso, given, tuple(noted))
        return _when("", given, tuple(problems) or _UNDATED.problems)


def _when(iso: str, given: Mapping[str, str], problems: tuple[Problem, ...]) -> When:
    terms = _terms(iso, given)
    # Where there are no words of the date, day, month and year are joined to make them.
    said = {*terms.values(), *terms.get("verbatimEventDate", "").split()}
    return When(terms, bool(iso), months_of(iso), problems, unwritten(given, said))


_NO_DATE = Problem("date_unreadable", "eventDate", "", "no date is given")
_UNDATED = When({}, False, frozenset(), (_NO_DATE,))


def _attempts(given: Mapping[str, str]) -> list[tuple[str, str]]:
    attempts = [("eventDate", given["eventDate"])] if "eventDate" in given else []
    if "year" in given:
        attempts.append(("year", _joined(given)))
    if "verbatimEventDate" in given:
        attempts.append(("verbatimEventDate", given["verbatimEventDate"]))
    return attempts


def _joined(given: Mapping[str, str]) -> str:
    """Year, month and day as one text: ISO 8601 if they are numbers, so none is mistaken."""
    parts = [given[name] for name in ("year", "month", "day") if name in given]
    if all(part.isdecimal() for part in parts) and len(parts[0]) == 4 and "month" in given:
        return "-".join(part.zfill(2) for part in parts)
    return ("/" if len(parts) == 3 else " ").join(reversed(parts))


def _terms(iso: str, given: Mapping[str, str]) -> dict[str, str]:
    """Darwin Core terms of a date: eventDate, its parts where it is one day, the words as given."""
    words = given.get("verbatimEventDate") or given.get("eventDate", "")
    if not words:
        words = " ".join(given[name] for name in ("day", "month", "year") if name in given)
    terms = {"eventDate": iso, "verbatimEventDate": words}
    day = iso.partition("T")[0]
    if iso and "/" not in iso:
        terms |= dict(zip(("year", "month", "day"), _numbers(day), strict=False))
    return {name: text for name, text in terms.items() if text}


def _numbers(day: str) -> list[str]:
    return [part.lstrip("0") for part in day.split("-")]


def months_of(iso: str) -> frozenset[int]:
    """The months an ISO 8601 date or interval may lie in; empty where it says only years."""
    start, _, end = iso.partition("/")
    ends = [part[:7].split("-") for part in (start, end or start)]
    if any(len(parts) < 2 for parts in ends):
        return frozenset()
    first, last = (int(year) * 12 + int(month) - 1 for year, month in ends)
    return frozenset(month % 12 + 1 for month in range(first, min(last, first + 11) + 1))
