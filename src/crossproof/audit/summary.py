"""What the counts say: shares with their intervals, by plant, time, place, source and person."""

from __future__ import annotations

import heapq
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from crossproof.audit.counting import HYBRID, Counts, Key, lacks
from crossproof.audit.intervals import wilson
from crossproof.audit.scoring import as_dict
from crossproof.audit.squares import hundred_km
from crossproof.model import OUTCOMES
from crossproof.rulebooks.model import Rulebook

VISITS = 200  # clusters listed
Row = dict[str, Any]


def figures(counts: Counts, rulebooks: Sequence[Rulebook]) -> dict[str, Any]:
    """All figures of an audit. Shares carry Wilson's 95 % intervals; see `intervals`."""
    covered = _pairs(counts["squares"], 0, 2)
    hybrids: Counter[Key] = Counter()
    for (name, outcome, _), n in counts["taxa"].items():
        if outcome in HYBRID:
            hybrids[name or "a cross that no rulebook names", outcome] += n
    totals = _outcomes(counts["taxa"], 1)
    return {
        "claims": _row("all", totals),
        "nothotaxa": _table(hybrids, lambda key: key[0]),
        "decades": _table(_pairs(counts["years"], 0, 3), lambda key: _decade(key[0]), by="value"),
        "squares_100km": _table(covered, lambda key: hundred_km(key[0])),
        "squares_10km": _table(covered, lambda key: key[0]),
        "datasets": _table(counts["datasets"], lambda key: key[0]),
        "recorders": _table(counts["recorders"], lambda key: key[0]),
        "rests_on": _table(counts["sources"], lambda key: key[0]),
        "missing": _missing(counts["taxa"]),
        "reasons": _reasons(counts["taxa"]),
        "years": _years(counts["years"]),
        "parents": _parents(counts["squares"], rulebooks),
        "visits": _visits(counts["visits"], counts["taxa"]),
    }


def outcomes(counts: Counts) -> dict[str, int]:
    return {outcome: counts["outcomes"][(outcome,)] for outcome in OUTCOMES}


def _outcomes(table: Counter[Key], place: int) -> Counter[str]:
    found: Counter[str] = Counter()
    for key, n in table.items():
        found[key[place]] += n
    return found


def _pairs(table: Counter[Key], *places: int) -> Counter[Key]:
    found: Counter[Key] = Counter()
    for key, n in table.items():
        found[tuple(key[place] for place in places)] += n
    return found


def _decade(year: str) -> str:
    return f"{year[:3]}0s" if year else ""


def _row(value: str, counts: Mapping[str, int]) -> Row:
    """The claims of one group: hybrid claims upheld and lowered, other claims contested."""
    claims = counts.get("upheld", 0) + counts.get("lowered", 0)
    others = counts.get("contested", 0) + counts.get("no_claim", 0)
    return {
        "value": value,
        "hybrid_claims": claims,
        "upheld": as_dict(wilson(counts.get("upheld", 0), claims)),
        "lowered": as_dict(wilson(counts.get("lowered", 0), claims)),
        "other_claims": others,
        "contested": as_dict(wilson(counts.get("contested", 0), others)),
    }


def _table(
    pairs: Counter[Key], value: Callable[[Key], str], by: str = "hybrid_claims"
) -> list[Row]:
    """One row for each value, the one with most hybrid claims first, or by the value itself."""
    grouped: dict[str, Counter[str]] = defaultdict(Counter)
    for key, n in pairs.items():
        grouped[value(key)][key[-1]] += n
    rows = [_row(name, counts) for name, counts in sorted(grouped.items())]
    return rows if by == "value" else sorted(rows, key=lambda row: -int(row["hybrid_claims"]))


def _hybrid(table: Counter[Key]) -> Iterable[tuple[Key, int]]:
    return ((key, n) for key, n in table.items() if key[1] in HYBRID)


def _missing(taxa: Counter[Key]) -> list[Row]:
    """Which evidence hybrid claims lack: how many of them lack it, the commonest first."""
    lacking: Counter[str] = Counter()
    claims = 0
    for key, n in _hybrid(taxa):
        claims += n
        for reason in key[2].split(";"):
            if reason.endswith("_missing"):
                lacking[reason.removesuffix("_missing")] += n
    return [{"value": what, **as_dict(wilson(n, claims))} for what, n in _ordered(lacking)]


def _reasons(taxa: Counter[Key]) -> list[Row]:
    found: Counter[str] = Counter()
    for key, n in taxa.items():
        for reason in filter(None, key[2].split(";")):
            found[reason] += n
    return [{"value": reason, "count": n} for reason, n in _ordered(found)]


def _ordered(counts: Counter[str]) -> list[tuple[str, int]]:
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))


def _years(years: Counter[Key]) -> list[Row]:
    """Records of hybrids in each year: as claimed, and as they leave."""
    before: Counter[str] = Counter()
    after: Counter[str] = Counter()
    for (year, _, _, outcome), n in years.items():
        if year and outcome in HYBRID:
            before[year] += n
            after[year] += n if outcome == "upheld" else 0
    return [{"value": y, "before": before[y], "after": after[y]} for y in sorted(before)]


def _parents(squares: Counter[Key], rulebooks: Sequence[Rulebook]) -> list[Row]:
    """For each cross, in how many of its 10 km squares its parents were recorded as well.

    Of crosses with two parents that were claimed in a square at all.
    """
    held: dict[str, set[str]] = defaultdict(set)
    for square, name, _ in squares:
        if square and name:
            held[name].add(square)
    rows = []
    for book in rulebooks:
        for hybrid in book.hybrids:
            name = book.written(hybrid.id)
            mine = held.get(name, set())
            if not mine or len(hybrid.parents) != 2:
                continue
            first, second = (_squares_of(parent, book, held) for parent in hybrid.parents)
            both, either = mine & first & second, mine & (first | second)
            rows.append(
                {
                    "value": name,
                    "parents": [book.written(parent) for parent in hybrid.parents],
                    "squares": len(mine),
                    "both": as_dict(wilson(len(both), len(mine))),
                    "one": len(either) - len(both),
                    "neither": len(mine) - len(either),
                    "shared_by_parents": len(first & second),
                }
            )
    return sorted(rows, key=lambda row: (-int(row["squares"]), row["value"]))


def _squares_of(parent: str, book: Rulebook, held: Mapping[str, set[str]]) -> set[str]:
    """Where a parent was recorded, under its own name or one below it."""
    names = {book.written(t) for t in book.taxa if parent in book.lines_up[t]}
    return set().union(*(held.get(name, set()) for name in names))


def _visits(visits: Counter[Key], taxa: Counter[Key]) -> list[Row]:
    """Squares where many lowered claims of one cross lie that only lack evidence.

    One plant examined there, for all that claims of this cross lack, the most needed first, and
    photographed would settle most of them.
    """
    lowered: Counter[tuple[str, str]] = Counter()
    settled: Counter[tuple[str, str]] = Counter()
    for (square, name, lacking), n in visits.items():
        if square and name:
            lowered[square, name] += n
            settled[square, name] += n if lacking else 0
    look: dict[str, Counter[str]] = defaultdict(Counter)
    for (name, outcome, reasons), n in taxa.items():
        if outcome == "lowered":
            look[name].update(dict.fromkeys(lacks(reasons), n))
    best = heapq.nsmallest(VISITS, settled.items(), key=lambda item: (-item[1], item[0]))
    return [
        {
            "square": square,
            "value": name,
            "lowered": lowered[square, name],
            "settled": n,
            "look_at": [what for what, _ in _ordered(look[name])],
        }
        for (square, name), n in best
        if n > 1
    ]
