"""Count a chunk: outcomes, reasons, hybrids claimed, findings."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from crossproof.coding import code, cross, distinct
from crossproof.findings import Finding
from crossproof.model import Claim, Coded, Judged


def outcome_counts(judged: Judged) -> dict[str, int]:
    """How many rows of a chunk have each outcome."""
    return _count(judged.verdicts.map(lambda verdict: verdict.outcome))


def _count(column: Coded[str]) -> dict[str, int]:
    once = distinct(column)
    counts = np.bincount(once.codes, minlength=len(once.values)).tolist()
    return {value: count for value, count in zip(once.values, counts, strict=True) if count}


def reason_counts(judged: Judged) -> dict[str, int]:
    """How many rows of a chunk have each reason."""
    counts: dict[str, int] = {}
    for reasons, count in _count(judged.verdicts.map(lambda v: ";".join(v.reasons))).items():
        for reason in filter(None, reasons.split(";")):
            counts[reason] = counts.get(reason, 0) + count
    return counts


def hybrid_counts(judged: Judged) -> dict[str, dict[str, int]]:
    """For each hybrid claimed, how many of its claims have each outcome."""
    pairs = cross(
        distinct(judged.claims.map(_hybrid_name)),
        distinct(judged.verdicts.map(lambda verdict: verdict.outcome)),
    )
    table: dict[str, dict[str, int]] = {}
    for key, count in _count(pairs.map("\x1f".join)).items():
        name, _, outcome = key.partition("\x1f")
        if name:
            table.setdefault(name, {})[outcome] = count
    return table


def _hybrid_name(claim: Claim) -> str:
    return claim.name.scientific_name if claim.name.is_hybrid_claim else ""


def finding_counts(findings: Sequence[Finding]) -> dict[str, int]:
    """How many findings of a chunk have each code."""
    return _count(code([finding.code for finding in findings])) if findings else {}
