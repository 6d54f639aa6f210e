"""Is it filled in? The tests that look at nothing but whether terms are bdqval:Empty."""

from __future__ import annotations

from .registry import Function, declarations, implements
from .response import Response, issue, verdict
from .values import is_empty

_HIGH_SEAS_CODE = "XZ"


def _any_filled(terms: tuple[str, ...]) -> Function:
    """Make a validation that is met as soon as one of `terms` is NotEmpty."""
    one = len(terms) == 1
    named = terms[0] if one else f"each of the {len(terms)} terms"
    met = f"{named} is filled in" if one else "at least one of the terms is filled in"

    def any_filled(*values: str) -> Response:
        return verdict(not all(map(is_empty, values)), met, f"{named} is empty")

    return any_filled


def _filled_issue(term: str) -> Function:
    def filled_issue(value: str) -> Response:
        return issue(not is_empty(value), f"{term} is filled in", f"{term} is empty")

    return filled_issue


for _declaration in declarations().values():
    if _declaration.criterion != "NotEmpty" or _declaration.needs != "rule":
        continue
    if _declaration.kind == "ISSUE":
        implements(_declaration.guid, presence_only=True)(_filled_issue(_declaration.inputs[0]))
    elif not _declaration.consulted:
        implements(_declaration.guid, presence_only=True)(_any_filled(_declaration.inputs))


@implements("6ce2b2b4-6afe-4d13-82a0-390d31ade01c")
def country_notempty(country: str, country_code: str) -> Response:
    """Let a country be missing where the code says high seas."""
    if not is_empty(country):
        return verdict(True, "dwc:country is filled in", "")
    return verdict(
        country_code == _HIGH_SEAS_CODE,
        "dwc:country is rightly empty: dwc:countryCode says high seas",
        "dwc:country is empty, and dwc:countryCode does not say high seas (XZ)",
    )
