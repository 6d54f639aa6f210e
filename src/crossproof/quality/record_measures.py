"""Measures that count the responses of the other tests on one record."""

from __future__ import annotations

from collections.abc import Iterable

from .registry import implements
from .response import (
    AMENDED,
    COMPLIANT,
    EXTERNAL_PREREQUISITES_NOT_MET,
    FILLED_IN,
    INTERNAL_PREREQUISITES_NOT_MET,
    NOT_COMPLIANT,
    Response,
    measured,
    not_measured,
)

# The kind of test whose responses each measure counts, and what it counts of them.
COUNTED = {
    "45fb49eb-4a1b-4b49-876f-15d5034dfc73": ("VALIDATION", frozenset({COMPLIANT})),
    "453844ae-9df4-439f-8e24-c52498eca84a": ("VALIDATION", frozenset({NOT_COMPLIANT})),
    "49a94636-a562-4e6b-803c-665c80628a3d": (
        "VALIDATION",
        frozenset({INTERNAL_PREREQUISITES_NOT_MET, EXTERNAL_PREREQUISITES_NOT_MET}),
    ),
    "03049fe5-a575-404f-b564-ae63f5a1cf8b": ("AMENDMENT", frozenset({AMENDED, FILLED_IN})),
}


def count(guid: str, responses: Iterable[Response]) -> Response:
    """Answer the measure with this GUID from the responses of the tests it counts.

    Without a single response there is nothing to count, except for the amendments, whose
    specification knows no prerequisites: none proposed is nought.
    """
    kind, counted = COUNTED[guid]
    answers = [
        each.status if kind == "AMENDMENT" else each.result or each.status for each in responses
    ]
    if not answers and kind == "VALIDATION":
        return not_measured("no validation was run")
    total = sum(answer in counted for answer in answers)
    return measured(total, f"counted over {len(answers)} tests of the record")


def _measure(guid: str) -> None:
    @implements(guid, presence_only=True)
    def measure() -> Response:
        return count(guid, ())


for _guid in COUNTED:
    _measure(_guid)
