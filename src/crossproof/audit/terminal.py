"""What a person reads in the terminal after an audit, and after a sample was scored."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

SHOWN = 6


def per_cent(share: Mapping[str, Any]) -> str:
    """`12.3 % (11.8 to 12.9)`, a share with its interval."""
    if share["share"] is None:
        return "not known"
    return f"{100 * share['share']:.1f} % ({100 * share['low']:.1f} to {100 * share['high']:.1f})"


def summary_lines(summary: Mapping[str, Any], out: Path) -> Iterator[str]:
    """The summary of an audit as lines of plain text."""
    figures = summary["figures"]
    claims = figures["claims"]
    yield f"{summary['rows']:,} rows, {summary['duplicates']:,} of them counted once already"
    yield f"  {claims['hybrid_claims']:>11,}  hybrid claims"
    yield f"  {claims['upheld']['count']:>11,}  upheld     {per_cent(claims['upheld'])}"
    yield f"  {claims['lowered']['count']:>11,}  lowered    {per_cent(claims['lowered'])}"
    yield f"  {claims['contested']['count']:>11,}  contested  of {claims['other_claims']:,} others"
    yield f"  {summary['outcomes']['no_claim']:>11,}  no claim to judge"
    yield f"  {summary['returned']:>11,}  rows not readable, kept in returned.csv"
    if figures["missing"]:
        yield "Evidence that hybrid claims lack most"
        for row in figures["missing"][:SHOWN]:
            yield f"  {row['count']:>11,}  {row['value']:<14} {per_cent(row)}"
    yield f"Written to {out}"
    yield "  report.html      read this first"
    yield f"  changes.csv      the {summary['changes']:,} records that would change"
    sample = summary["sample"]
    yield f"  sample.csv       {sample['records']:,} records to judge by hand, then:"
    yield f"                   crossproof audit score {out} sample.csv"
    yield "Intervals are 95 %. A verdict is advice; a determiner decides."


def score_lines(score: Mapping[str, Any]) -> Iterator[str]:
    """The score of a judged sample as lines of plain text."""
    yield f"{score['judged']:,} records judged, {score['unjudged']:,} left blank"
    yield f"The audit agrees with the person on {per_cent(score['agreement'])} of the archive,"
    yield "each stratum weighted by its part of it."
    for name, row in score["strata"].items():
        told = f"{row['count']:,} of {row['of']:,} agree"
        yield f"  {name:<10} {told:<22} {per_cent(row):<28} of {row['population']:,} records"
    others = [row for row in score["outcomes"] if row["audit"] != row["person"]]
    if others:
        yield "Where they differ"
        for row in others:
            ours, theirs = row["audit"], row["person"]
            yield f"  {row['records']:>5,}  the audit says {ours}, the person {theirs}"
