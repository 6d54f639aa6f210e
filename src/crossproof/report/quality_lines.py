"""What a person reads in the terminal after `crossproof quality`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from crossproof.report.fitness import failures, worst_first

SHOWN = 10
SHOWN_BROKEN = 3
_PROPOSED = ("AMENDED", "FILLED_IN")


def quality_lines(summary: Mapping[str, Any], out: Path) -> Iterator[str]:
    """The summary as lines of plain text, the worst tests first."""
    records, tests = summary["records"], summary["tests"]
    yield f"{_count(records, 'record')} tested against the {summary['standard']}"
    yield from _validations(tests, records, summary["applied"])
    yield from _issues(tests)
    yield from _amendments(tests, summary["applied"])
    yield from _left_out(summary)
    yield from _headings(summary)
    form = summary["form"]
    yield f"Written to {out}"
    yield "  quality.html        read this first"
    yield f"  {'failing.' + form:<19} each record that fails a test, with its file, sheet and row"
    yield f"  {'amendments.' + form:<19} each value proposed, beside the one that stands"
    if summary["applied"]:
        yield f"  {'amended.' + form:<19} the table with the amendments made"
    yield "  summary.csv         each test, and how often it gave each answer"


def _count(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def _validations(tests: Sequence[Mapping[str, Any]], records: int, applied: bool) -> Iterator[str]:
    validations = [test for test in tests if test["type"] == "VALIDATION"]
    judged = [t for t in validations if {"COMPLIANT", "NOT_COMPLIANT"} & t["counts"].keys()]
    failing = worst_first(judged)
    silent = len(validations) - len(judged)
    complying = len(judged) - len(failing)
    blank = [t for t in failing if _is_blank(t, records)]
    if blank:
        yield f"No record fills in {', '.join(sorted(t['terms'][0] for t in blank))}"
    failing = [test for test in failing if test not in blank]
    if failing:
        yield "NOT_COMPLIANT, the commonest first"
    for test in failing[:SHOWN]:
        share = 100 * failures(test) / records
        after = test.get("counts_after", {}).get("NOT_COMPLIANT", 0)
        then = f"  ({after:,} once amended)" if applied else ""
        yield f"  {failures(test):>9,} {share:>5.1f} %  {test['test']}{then}"
        yield f"{'':20}{test['question']}"
    if len(failing) > SHOWN:
        yield f"  and {_count(len(failing) - SHOWN, 'test')} more"
    yield (
        f"{_count(complying, 'validation')} found every record COMPLIANT that "
        f"it could judge; {silent:,} could judge none"
    )


def _is_blank(test: Mapping[str, Any], records: int) -> bool:
    """Whether a test asks for one term, and no record has it."""
    one = test["criterion"] == "NotEmpty" and len(test["terms"]) == 1
    return one and failures(test) == records


def _issues(tests: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    issues = worst_first([test for test in tests if test["type"] == "ISSUE"])
    if issues:
        yield "POTENTIAL_ISSUE"
    for test in issues:
        yield f"  {failures(test):>9,}  {test['test']}"


def _amendments(tests: Sequence[Mapping[str, Any]], applied: bool) -> Iterator[str]:
    proposed = [(sum(t["counts"].get(answer, 0) for answer in _PROPOSED), t) for t in tests]
    proposed = sorted((p for p in proposed if p[0]), key=lambda p: -p[0])
    if proposed:
        yield "Amended" if applied else "Could be amended (nothing was changed)"
    for count, test in proposed[:SHOWN]:
        yield f"  {count:>9,}  {test['test']}"
    if len(proposed) > SHOWN:
        yield f"  and by {_count(len(proposed) - SHOWN, 'test')} more"


def _left_out(summary: Mapping[str, Any]) -> Iterator[str]:
    if not summary["broken_rows"]:
        return
    yield f"Not tested: {_count(summary['broken_rows'], 'row')} that did not fit the table"
    yield from (f"  {broken}" for broken in summary["broken"][:SHOWN_BROKEN])
    if summary["broken_rows"] > SHOWN_BROKEN:
        yield "  …"


def _headings(summary: Mapping[str, Any]) -> Iterator[str]:
    taken = [
        f"{heading!r} as {field}"
        for table in summary["submission"]
        for field, heading in table["fields"].items()
        if heading != field
    ]
    if taken:
        yield "Headings taken for fields: " + "; ".join(dict.fromkeys(taken))
