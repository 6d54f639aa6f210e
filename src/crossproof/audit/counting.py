"""Count an archive chunk by chunk: small tables of counts that add up, and can be taken away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossproof.coding import cross, distinct
from crossproof.model import Coded

Key = tuple[str, ...]
Counts = dict[str, Counter[Key]]

HYBRID = frozenset({"upheld", "lowered"})  # the outcomes that a hybrid claim can have
STRATA = ("upheld", "missing", "undecided", "against", "contested", "no_claim")

# What is counted together, and of which records: of all, of those a rulebook covers, of hybrid
# claims, or of lowered ones.
TABLES: Mapping[str, tuple[str, Key]] = {
    "outcomes": ("all", ("outcome",)),
    "strata": ("covered", ("stratum",)),
    "taxa": ("covered", ("claimed_name", "outcome", "reasons")),
    "years": ("covered", ("year", "claimed_name", "determined_name", "outcome")),
    "squares": ("covered", ("square", "claimed_name", "outcome")),
    "datasets": ("covered", ("dataset", "outcome")),
    "recorders": ("covered", ("recorder", "outcome")),
    "sources": ("hybrid", ("rests_on", "outcome")),
    "visits": ("lowered", ("visit_square", "claimed_name", "lacking")),
}
NEEDED = (
    *("outcome", "rulebook", "reasons", "claimed_name", "determined_name", "rests_on"),
    *("year", "square", "visit_square", "dataset", "recorder"),
)


def empty() -> Counts:
    return {name: Counter() for name in TABLES}


def tally(columns: Mapping[str, Coded[str]]) -> Counts:
    """Count the rows of `columns`, which hold those of `NEEDED`."""
    lacking = distinct(columns["reasons"].map(lambda reasons: "only" if lacks(reasons) else ""))
    columns = {**columns, "stratum": strata(columns), "lacking": lacking}
    outcome = columns["outcome"]
    covered = _where(columns["rulebook"], lambda text: text != "")
    covered &= _where(outcome, lambda text: text != "returned")
    chosen = {
        "all": None,
        "covered": np.flatnonzero(covered),
        "hybrid": np.flatnonzero(covered & _where(outcome, HYBRID.__contains__)),
        "lowered": np.flatnonzero(covered & _where(outcome, "lowered".__eq__)),
    }
    return {
        name: counted([columns[column] for column in key], chosen[which])
        for name, (which, key) in TABLES.items()
    }


def _where(column: Coded[str], wanted: Any) -> NDArray[np.bool_]:
    return np.array([wanted(value) for value in column.values], dtype=bool)[column.codes]


def counted(columns: Sequence[Coded[str]], rows: NDArray[np.intp] | None = None) -> Counter[Key]:
    """How often each combination of values stands in the rows given, or in all."""
    if rows is not None:
        columns = [column.select(rows) for column in columns]
    crossed = cross(*columns)
    counts = np.bincount(crossed.codes, minlength=len(crossed.values)).tolist()
    return Counter(dict(zip(crossed.values, counts, strict=True)))


def strata(columns: Mapping[str, Coded[str]]) -> Coded[str]:
    """What kind of verdict each row has, for the sample: see `stratum`."""
    key = cross(columns["outcome"], columns["reasons"], columns["rulebook"])
    names = [stratum(outcome, reasons) if book else "" for outcome, reasons, book in key.values]
    numbers = [STRATA.index(name) if name else len(STRATA) for name in names]
    return Coded([*STRATA, ""], np.asarray(numbers, dtype=np.intp)[key.codes])


def stratum(outcome: str, reasons: str) -> str:
    """The stratum of a verdict; '' for a returned row, which a person can't judge either.

    Plants that no rulebook covers have none: nothing is claimed of them that could be judged.
    """
    if outcome != "lowered":
        return "" if outcome == "returned" else outcome
    if "_against" in reasons:
        return "against"
    return "undecided" if "undecided" in reasons or "unresolved" in reasons else "missing"


@cache
def lacks(reasons: str) -> tuple[str, ...]:
    """What evidence alone would settle a lowered claim; nothing where more stands against it."""
    told = [r for r in reasons.split(";") if r not in ("out_of_season", "parent_absent")]
    if not all(reason.endswith("_missing") for reason in told):
        return ()
    return tuple(reason.removesuffix("_missing") for reason in told)


def add(total: Counts, more: Counts) -> None:
    for name, counts in more.items():
        total[name].update(counts)


def take_away(total: Counts, less: Counts) -> None:
    """Subtract counts; what has none left is forgotten."""
    for name, counts in less.items():
        total[name].subtract(counts)
        for key in counts:
            if not total[name][key]:
                del total[name][key]


def as_json(counts: Counts) -> dict[str, list[list[Any]]]:
    """Each table by its columns: the parts of its keys, and last how often each was counted."""
    return {
        name: [*map(list, zip(*table, strict=True)), [*table.values()]]
        for name, table in counts.items()
    }


def from_json(data: Mapping[str, Sequence[Sequence[Any]]]) -> Counts:
    return {
        name: Counter(dict(zip(zip(*keys, strict=True), counts, strict=True)))
        for name, (*keys, counts) in data.items()
    }
