"""How often a person agrees with the audit, weighted back to the archive."""

from __future__ import annotations

import csv
import json
from collections import Counter
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from crossproof.audit.intervals import Share, Stratum, stratified, wilson
from crossproof.model import OUTCOMES

JUDGED = tuple(outcome for outcome in OUTCOMES if outcome != "returned")


class ScoreRefused(Exception):
    """The judged sample cannot be used; the message says why and what to do."""


def score(folder: Path, judged: Path) -> dict[str, Any]:
    """Hold a judged sample against what the audit in `folder` said.

    A record agrees where the person gave it the audit's outcome. Records without `judged_outcome`
    are left out, and counted.

    Raises:
        ScoreRefused: no audit there, no judged records, or an outcome that is none.
    """
    population = _population(folder)
    key = {row["sample_id"]: row for row in _rows(folder / "sample_key.csv")}
    seen: Counter[str] = Counter()
    agreed: Counter[str] = Counter()
    pairs: Counter[tuple[str, str]] = Counter()
    unjudged = 0
    for number, row in enumerate(_rows(judged), start=2):
        said = row.get("judged_outcome", "").strip().casefold().replace(" ", "_")
        if not said:
            unjudged += 1
            continue
        if said not in JUDGED:
            raise ScoreRefused(
                f"{judged.name}, row {number}: judged_outcome is {said!r}; write one of "
                + ", ".join(JUDGED)
            )
        own = key.pop(row.get("sample_id", "").strip(), None)
        if own is None:
            raise ScoreRefused(
                f"{judged.name}, row {number}: sample_id {row.get('sample_id', '')!r} is not in "
                f"the sample of {folder}, or stands twice; judge the sample.csv of that audit"
            )
        seen[own["stratum"]] += 1
        agreed[own["stratum"]] += said == own["outcome"]
        pairs[own["outcome"], said] += 1
    if not seen:
        raise ScoreRefused(f"{judged.name} has no judged record; fill in judged_outcome")
    strata = {n: Stratum(size, seen[n], agreed[n]) for n, size in population.items() if size}
    return {
        "judged": seen.total(),
        "unjudged": unjudged,
        "agreement": as_dict(stratified([*strata.values()])),
        "strata": {
            name: {"population": s.population, **as_dict(wilson(s.agreed, s.looked_at))}
            for name, s in strata.items()
        },
        "outcomes": [
            {"audit": ours, "person": theirs, "records": count}
            for (ours, theirs), count in sorted(pairs.items())
        ],
    }


def as_dict(share: Share) -> dict[str, float | None]:
    """A share as JSON can hold it, to four decimals; None where there is nothing to share."""
    known = share.of > 0
    return {
        "count": share.count,
        "of": share.of,
        "share": round(share.share, 4) if known else None,
        "low": round(share.low, 4),
        "high": round(share.high, 4),
    }


def _population(folder: Path) -> Mapping[str, int]:
    try:
        summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
        population: Mapping[str, int] = summary["sample"]["population"]
    except (OSError, ValueError, KeyError):
        raise ScoreRefused(
            f"{folder} holds no audit; give the folder an audit was written to"
        ) from None
    return population


def _rows(path: Path) -> Iterator[dict[str, str]]:
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            yield from csv.DictReader(file, restval="")
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise ScoreRefused(f"{path} can't be read ({error}); give it as CSV in UTF-8") from None
