"""What the queue shows: which records, in which order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from crossproof.model import OUTCOMES

STATES = ("open", "ruled", "asked", "set_aside", "stale", "any")
# How each order is asked of the database; the order of the submission settles ties.
SORTS = {
    "submitted": "record.id",
    "claim": "record.taxon COLLATE NOCASE",
    "recorder": "record.recorder COLLATE NOCASE",
    "date": "record.date",
    "place": "record.place COLLATE NOCASE",
    "outcome": "record.outcome",
    "reasons": "record.reasons",
}
EQUALS = ("outcome", "taxon", "recorder", "square", "year")
LONGEST = 200  # signs of one filter
PAGE = 50  # rows to a page

_STATE_SQL = {
    "open": "(ruled.id IS NULL OR ruled.stale)",
    "ruled": "(NOT ruled.stale AND ruled.action IN ('uphold', 'lower', 'determine'))",
    "asked": "(NOT ruled.stale AND ruled.action = 'ask')",
    "set_aside": "(NOT ruled.stale AND ruled.action = 'set_aside')",
    "stale": "ruled.stale",
}
FROM = "record LEFT JOIN temp.ruled AS ruled ON ruled.id = record.id"


@dataclass(frozen=True, slots=True, kw_only=True)
class Filter:
    """Filters that all have to hold; an empty one lets everything through."""

    outcome: str = ""
    reason: str = ""
    taxon: str = ""
    recorder: str = ""
    square: str = ""
    year: str = ""
    state: str = "open"
    text: str = ""
    sort: str = "submitted"
    down: bool = False
    page: int = 1

    def where(self, without: str = "") -> tuple[str, list[str]]:
        """The condition in SQL and its values; `without` leaves one filter out."""
        terms, values = ["1"], []
        for name in EQUALS:
            if (wanted := getattr(self, name)) and name != without:
                terms.append(f"record.{name} = ?")
                values.append(wanted)
        if self.reason and without != "reason":
            terms.append("record.id IN (SELECT record FROM reason WHERE code = ?)")
            values.append(self.reason)
        if self.state in _STATE_SQL and without != "state":
            terms.append(_STATE_SQL[self.state])
        if self.words:
            terms.append("record.id IN (SELECT record FROM temp.hit)")
        return " AND ".join(terms), values

    @property
    def words(self) -> list[str]:
        """The words searched for, all of which have to stand in a record."""
        return self.text.casefold().split()

    @property
    def order(self) -> str:
        direction = " DESC" if self.down else ""
        column = SORTS[self.sort]
        return (
            f"{column}{direction}"
            if self.sort == "submitted"
            else f"{column}{direction}, record.id"
        )

    def query(self, **changes: object) -> str:
        """The filter as the query of an address, with what is changed."""
        changed = replace(self, **{"page": 1, **changes})  # type: ignore[arg-type]
        parts = {
            "outcome": changed.outcome,
            "reason": changed.reason,
            "taxon": changed.taxon,
            "recorder": changed.recorder,
            "square": changed.square,
            "year": changed.year,
            "state": changed.state,
            "text": changed.text,
            "sort": "" if changed.sort == "submitted" else changed.sort,
            "down": "1" if changed.down else "",
            "page": str(changed.page) if changed.page > 1 else "",
        }
        return urlencode({name: text for name, text in parts.items() if text})

    @property
    def is_narrow(self) -> bool:
        """Whether it leaves anything out but what is decided."""
        return (
            any(
                (
                    self.outcome,
                    self.reason,
                    self.taxon,
                    self.recorder,
                    self.square,
                    self.year,
                    self.text,
                )
            )
            or self.state != "open"
        )


def parse_filter(query: Mapping[str, str]) -> Filter:
    """Read a filter from an address; whatever is not understood is left out."""

    def text(name: str) -> str:
        return query.get(name, "").strip()[:LONGEST]

    page, state, sort = text("page"), text("state"), text("sort")
    outcome = text("outcome")
    return Filter(
        outcome=outcome if outcome in OUTCOMES else "",
        reason=text("reason"),
        taxon=text("taxon"),
        recorder=text("recorder"),
        square=text("square"),
        year=text("year"),
        state=state if state in STATES else "open",
        text=text("text"),
        sort=sort if sort in SORTS else "submitted",
        down=text("down") == "1",
        page=min(max(int(page), 1), 1_000_000) if page.isdecimal() and len(page) < 9 else 1,
    )
