"""What the records cover in space, time and taxa, gathered while they stream by."""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass, field
from functools import lru_cache

from crossproof.darwincore.columns import in_use
from crossproof.model import Judged

_DATE = re.compile(r"(\d{4})(?:-(\d{2}))?(?:-(\d{2}))?")


@dataclass(slots=True)
class Coverage:
    """The bounding box (degrees, WGS 84), the first and last day, and the names exported."""

    west: float = 180.0
    east: float = -180.0
    south: float = 90.0
    north: float = -90.0
    placed: bool = False
    first: str = ""
    last: str = ""
    taxa: set[tuple[str, str]] = field(default_factory=set)  # (rank, name)

    def add(self, judged: Judged) -> None:
        """Take in the records of a chunk, as they are exported."""
        for where in in_use(judged.where):
            self._place(where.get("decimalLatitude", ""), where.get("decimalLongitude", ""))
        for when in in_use(judged.when):
            self._date(when.get("eventDate", ""))
        for verdict in in_use(judged.verdicts):
            name = verdict.determination
            if name.scientific_name:
                self.taxa.add((name.rank, name.scientific_name))

    def _place(self, latitude: str, longitude: str) -> None:
        try:
            y, x = float(latitude), float(longitude)
        except ValueError:
            return
        if not (-90 <= y <= 90 and -180 <= x <= 180):
            return
        self.placed = True
        self.south, self.north = min(self.south, y), max(self.north, y)
        self.west, self.east = min(self.west, x), max(self.east, x)

    def _date(self, interval: str) -> None:
        first, last = _span(interval)
        if first and (not self.first or first < self.first):
            self.first = first
        if last and last > self.last:
            self.last = last


@lru_cache(maxsize=1 << 14)
def _span(interval: str) -> tuple[str, str]:
    """The ends of an ISO 8601 date or interval; `1987-06-12/14` borrows from its start."""
    start, _, end = interval.partition("/")
    if end and start[: -len(end)] and len(end) < len(start) and not _DATE.match(end):
        end = start[: len(start) - len(end)] + end
    return _day(start, end_of=False), _day(end or start, end_of=True)


def _day(text: str, *, end_of: bool) -> str:
    """The first or last day of a year, month or day; '' where there is none such."""
    found = _DATE.match(text)
    if not found:
        return ""
    year = int(found[1])
    month = int(found[2]) if found[2] else (12 if end_of else 1)
    if year == 0 or not 1 <= month <= 12:
        return ""
    days = calendar.monthrange(year, month)[1]
    day = int(found[3]) if found[3] else (days if end_of else 1)
    return f"{year:04}-{month:02}-{day:02}" if 1 <= day <= days else ""
