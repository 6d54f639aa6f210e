"""The order amendments are made in, and making them on one record."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from . import registry
from .registry import Settings, Test
from .response import Response
from .running import answer, prepare, text

# An amendment comes after those that fill what it reads (notes of the single tests: verbatim dates
# first, then days of the year, then year, month and day; the parts of the event last).
LAST = (
    "AMENDMENT_EVENTDATE_FROM_VERBATIM",
    "AMENDMENT_EVENTDATE_FROM_YEARSTARTDAYOFYEARENDDAYOFYEAR",
    "AMENDMENT_EVENTDATE_FROM_YEARMONTHDAY",
    "AMENDMENT_EVENT_FROM_EVENTDATE",
    "AMENDMENT_COORDINATES_FROM_VERBATIM",
    "AMENDMENT_GEODETICDATUM_STANDARDIZED",
    "AMENDMENT_GEODETICDATUM_ASSUMEDDEFAULT",
    "AMENDMENT_OCCURRENCESTATUS_ASSUMEDDEFAULT",
    "AMENDMENT_SCIENTIFICNAMEID_FROM_TAXON",
    "AMENDMENT_SCIENTIFICNAME_FROM_SCIENTIFICNAMEID",
)


@dataclass(frozen=True, slots=True)
class Change:
    """One value an amendment changed: which test, which prefixed term, from what, to what."""

    test: str
    term: str
    before: str
    after: str


def in_order(only: Collection[str] | None = None) -> list[Test]:
    """Return the amendments in the order they are made; `only` keeps those with these labels."""
    amendments = [
        test
        for test in registry.registered().values()
        if test.declaration.kind == "AMENDMENT" and (only is None or test.declaration.label in only)
    ]
    place = {label: number for number, label in enumerate(LAST, start=1)}
    return sorted(amendments, key=lambda test: place.get(test.declaration.label, 0))


def amend(
    record: Mapping[str, str],
    only: Collection[str] | None = None,
    today: date | None = None,
) -> tuple[dict[str, str], tuple[Change, ...]]:
    """Make every amendment proposed for a record, each on what the one before it left.

    Args:
        record: values by prefixed term; it is not changed.
        only: labels of the amendments to make; all by default.
        today: the day the tests are run.

    Returns:
        The amended record, and what was changed, in order. Amending it again changes nothing.
    """
    current = {term: text(value) for term, value in record.items()}
    changes = list(_changes(current, only, today or date.today()))
    return current, tuple(changes)


def _changes(
    current: dict[str, str], only: Collection[str] | None, today: date
) -> Iterator[Change]:
    for test in in_order(only):
        settings = prepare(test.declaration, {}, today)
        if not isinstance(settings, Settings):
            continue
        values = tuple(current.get(term, "") for term in test.declaration.inputs)
        response: Response = answer(test, values, settings)
        for term, after in response.proposed.items():
            yield Change(test.declaration.label, term, current.get(term, ""), after)
            current[term] = after
