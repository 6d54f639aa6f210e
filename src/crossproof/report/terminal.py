"""The summary a person reads in the terminal after a run."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from crossproof.report.decisions import RULED
from crossproof.report.fitness import failures, worst_first

MEANING = {
    "upheld": "the evidence is all there and fits",
    "lowered": "exported as the aggregate: evidence is missing or against the claim",
    "contested": "no hybrid claim, but the record's own evidence speaks against it",
    "no_claim": "no hybrid claim and nothing against it",
    "returned": "no readable what, where or when: back to the recorder",
    RULED: "a person decided the name, whatever the verdict was",
}
SHOWN_REASONS = 6
SHOWN_TESTS = 3


def summary_lines(summary: Mapping[str, Any], out: Path) -> Iterator[str]:
    """The summary as lines of plain text."""
    rows = summary["rows"]
    yield f"{rows:,} row{'' if rows == 1 else 's'} judged"
    for outcome, count in summary["outcomes"].items():
        yield f"  {count:>8,}  {outcome:<10} {MEANING[outcome]}"
    if summary["reasons"]:
        yield "Commonest reasons"
        for reason, count in list(summary["reasons"].items())[:SHOWN_REASONS]:
            yield f"  {count:>8,}  {reason}"
    yield from _quality(summary)
    yield from _ruled(summary)
    yield from _since(summary)
    yield from _assumed(summary)
    yield f"Written to {out}"
    yield "  report.html      read this first"
    yield "  verdicts.csv     a row for every input row"
    if summary["outcomes"]["returned"]:
        yield "  returned.csv     rows to mend and send again"
    yield "  dwca.zip, dwc-dp Darwin Core for the archive"
    problems = summary["checks"].get("table_problems", [])
    if problems:
        yield f"Problems in the tables written: {len(problems)}; the first: {problems[0]}"
    yield "Touch gently, pick nothing, and keep exact places of orchids to yourself."
    yield "A verdict is advice; a determiner decides."


def _quality(summary: Mapping[str, Any]) -> Iterator[str]:
    tests = worst_first(summary.get("quality", {}).get("tests", ()))
    if tests:
        yield "Data-quality tests most often failed (all of them in quality.csv)"
    for test in tests[:SHOWN_TESTS]:
        yield f"  {failures(test):>8,}  {test['test']}"


def _since(summary: Mapping[str, Any]) -> Iterator[str]:
    if since := summary.get("since"):
        counts = ", ".join(f"{count:,} {status}" for status, count in since["records"].items())
        yield f"Since {since['earlier']}: {counts} (delta/)"
        told = since.get("rulings", {})
        if told:
            kinds = ", ".join(f"{count:,} {kind.replace('_', ' ')}" for kind, count in told.items())
            yield f"  its rulings: {kinds}"


def _ruled(summary: Mapping[str, Any]) -> Iterator[str]:
    rulings = summary.get("rulings", {})
    if not any(rulings.get(kind) for kind in ("applied", "kept_verdict", "changed", "gone")):
        return
    kept = f"; {rulings['kept_verdict']:,} keep the verdict" if rulings["kept_verdict"] else ""
    makers = ", ".join(f"{by} {count:,}" for by, count in rulings["by"].items())
    who = f", by {makers}" if makers else ""
    yield (
        f"Rulings: {rulings['applied']:,} outrank the verdict{who}{kept} "
        "(all of them in rulings.csv)"
    )
    told = (
        ("changed", "need another look: the record says something else now; not applied"),
        ("gone", "need another look: there is no such record here, or it has changed; not applied"),
    )
    for state, meaning in told:
        if rulings[state]:
            yield f"  {rulings[state]:>8,}  {meaning}"


def _assumed(summary: Mapping[str, Any]) -> Iterator[str]:
    taken = [
        f"{heading!r} as {field}"
        for table in summary["submission"]
        for field, heading in table["fields"].items()
        if heading != field
    ]
    if taken:
        yield "Headings taken for fields: " + "; ".join(dict.fromkeys(taken))
    assumed = {
        code: count
        for code, count in summary["findings"].items()
        if code.endswith(("_assumed", "_corrected", "_repaired")) and code != "heading_assumed"
    }
    if assumed:
        counts = ", ".join(f"{code} {count:,}" for code, count in assumed.items())
        yield f"Assumed or repaired, each listed in findings.csv: {counts}"
