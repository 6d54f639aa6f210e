"""What the page says of the data-quality tests, from the summary of the run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

FAILING = ("NOT_COMPLIANT", "POTENTIAL_ISSUE")


def failures(test: Mapping[str, Any]) -> int:
    """How many records do not comply with a test, or may have the issue it asks for."""
    return sum(test["counts"].get(answer, 0) for answer in FAILING)


def worst_first(tests: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """The tests that some record fails, the commonest failure first."""
    return sorted(filter(failures, tests), key=lambda test: -failures(test))


def quality_content(quality: Mapping[str, Any]) -> dict[str, Any]:
    """What the template shows of `summary["quality"]`."""
    tests = quality["tests"]
    unlisted = [test for test in tests if failures(test) > test["listed"]]
    return {
        "standard": quality["standard"],
        "records": quality["records"],
        "failing": worst_first(tests),
        "passing": [test for test in tests if not failures(test)],
        "other": [test for test in tests if test["parameters"]],
        "unlisted": bool(unlisted),
        "most": max((test["listed"] for test in unlisted), default=0),
    }
