"""What a test says of a record: a status, a result and a comment, in the draft standard's words."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

RUN_HAS_RESULT = "RUN_HAS_RESULT"
INTERNAL_PREREQUISITES_NOT_MET = "INTERNAL_PREREQUISITES_NOT_MET"
EXTERNAL_PREREQUISITES_NOT_MET = "EXTERNAL_PREREQUISITES_NOT_MET"
AMENDED = "AMENDED"
FILLED_IN = "FILLED_IN"
NOT_AMENDED = "NOT_AMENDED"

COMPLIANT = "COMPLIANT"
NOT_COMPLIANT = "NOT_COMPLIANT"
POTENTIAL_ISSUE = "POTENTIAL_ISSUE"
NOT_ISSUE = "NOT_ISSUE"
NOT_REPORTED = "NOT_REPORTED"

STATUSES = (
    RUN_HAS_RESULT,
    INTERNAL_PREREQUISITES_NOT_MET,
    EXTERNAL_PREREQUISITES_NOT_MET,
    AMENDED,
    FILLED_IN,
    NOT_AMENDED,
)


@dataclass(frozen=True, slots=True)
class Response:
    """The answer of one test about one record.

    `status` is one of `STATUSES`. `result` is text: COMPLIANT or NOT_COMPLIANT (validation),
    POTENTIAL_ISSUE or NOT_ISSUE (issue), a whole number (measure), a JSON object of prefixed
    term to proposed value (amendment), and "" where there is none. `comment` is never empty.
    """

    status: str
    result: str
    comment: str

    @property
    def proposed(self) -> dict[str, str]:
        """The values an amendment proposes, by prefixed term; empty for anything else."""
        if self.status not in (AMENDED, FILLED_IN):
            return {}
        proposed: dict[str, str] = json.loads(self.result)
        return proposed


def internal(comment: str) -> Response:
    return Response(INTERNAL_PREREQUISITES_NOT_MET, "", comment)


def external(comment: str) -> Response:
    return Response(EXTERNAL_PREREQUISITES_NOT_MET, "", comment)


def verdict(passed: bool, comment: str, otherwise: str) -> Response:
    """Answer a validation: COMPLIANT with `comment`, or NOT_COMPLIANT with `otherwise`."""
    if passed:
        return Response(RUN_HAS_RESULT, COMPLIANT, comment)
    return Response(RUN_HAS_RESULT, NOT_COMPLIANT, otherwise)


def issue(found: bool, comment: str, otherwise: str) -> Response:
    """Answer an issue: POTENTIAL_ISSUE with `comment`, or NOT_ISSUE with `otherwise`."""
    if found:
        return Response(RUN_HAS_RESULT, POTENTIAL_ISSUE, comment)
    return Response(RUN_HAS_RESULT, NOT_ISSUE, otherwise)


def measured(count: int, comment: str) -> Response:
    return Response(RUN_HAS_RESULT, str(count), comment)


def not_measured(comment: str) -> Response:
    """A measure without its prerequisites: the conformance rows give it the result NOT_REPORTED."""
    return Response(INTERNAL_PREREQUISITES_NOT_MET, NOT_REPORTED, comment)


def amended(values: Mapping[str, str], comment: str) -> Response:
    return Response(AMENDED, _json(values), comment)


def filled_in(values: Mapping[str, str], comment: str) -> Response:
    return Response(FILLED_IN, _json(values), comment)


def not_amended(comment: str) -> Response:
    return Response(NOT_AMENDED, "", comment)


def _json(values: Mapping[str, str]) -> str:
    return json.dumps(values, ensure_ascii=False, separators=(",", ":"))
