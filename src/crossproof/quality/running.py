"""Run one test on one record."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from . import registry, taxonlist, vocabulary
from .record_measures import COUNTED, count
from .registry import AUTHORITY, Declaration, Settings, Test
from .response import Response, external
from .values import EMPTY_CHARACTERS, is_empty


def run(
    test: str,
    record: Mapping[str, str],
    parameters: Mapping[str, str] | None = None,
    today: date | None = None,
) -> Response:
    """Run one test of the draft standard on one record.

    Args:
        test: the GUID or the current label of a test, as `tests()` lists them.
        record: values by prefixed term (`"dwc:eventDate"`). A term may be missing or None.
        parameters: the draft standard's own (`"bdqval:earliestValidDate"`); a missing or empty one
            has its default. `"bdqval:sourceAuthority"` may be the default authority by name or IRI,
            another vocabulary that ships (see the reference page), and for tests of taxon names the
            path of a list of taxa (see `taxonlist.load`). With any other the test answers
            EXTERNAL_PREREQUISITES_NOT_MET.
        today: the day the defaults `{current year}` and `{current day}` speak of; the clock's own
            by default.

    Returns:
        The response. Nothing in `record` makes a test raise.

    Raises:
        KeyError: there is no such test.
    """
    found = registry.find(test)
    guid = found.declaration.guid
    day = today or date.today()
    if guid in COUNTED:
        others = (
            each for each in registry.registered().values() if each.declaration.guid not in COUNTED
        )
        kind = COUNTED[guid][0]
        return count(
            guid,
            (
                run(each.declaration.guid, record, _shared(parameters), day)
                for each in others
                if each.declaration.kind == kind
            ),
        )
    settings = prepare(found.declaration, parameters or {}, day)
    if isinstance(settings, Response):
        return settings
    return answer(
        found, tuple(text(record.get(term)) for term in found.declaration.inputs), settings
    )


def _shared(parameters: Mapping[str, str] | None) -> dict[str, str]:
    """Leave the authority out of what a measure hands to the tests it counts: each has its own."""
    return {name: value for name, value in (parameters or {}).items() if name != AUTHORITY}


def text(value: object) -> str:
    """Return a value of a record as text: None and NaN are nothing."""
    if isinstance(value, str):
        return value
    return "" if value is None or value != value else str(value)


def answer(test: Test, values: tuple[str, ...], settings: Settings) -> Response:
    """Put a test's function to the values of its inputs, in the order of its declaration."""
    if test.configurable:
        return test.function(*values, settings=settings)
    return test.function(*values)


def prepare(
    declaration: Declaration, parameters: Mapping[str, str], today: date
) -> Settings | Response:
    """Settle a test's parameters; a Response where its authority is not to be had."""
    given = {name: value for name, value in parameters.items() if not is_empty(text(value))}
    settled = declaration.parameters | given
    authority = text(given.get(AUTHORITY)).strip(EMPTY_CHARACTERS)
    if not declaration.authority or not authority:
        return Settings(settled, today)
    if declaration.needs == "vocabulary":
        known = _is_default(declaration, authority) or _is_alternative(declaration, authority)
        return Settings(settled, today) if known else external(_UNKNOWN.format(authority))
    if _is_default(declaration, authority) or not Path(authority).suffix:
        return Settings(settled, today)
    try:
        return Settings(settled, today, taxonlist.load(authority))
    except taxonlist.TaxonListError as error:
        return external(str(error))


_UNKNOWN = "the source authority {} is not available here"


def _is_alternative(declaration: Declaration, authority: str) -> bool:
    """Say whether the authority is a vocabulary that ships beside the default one."""
    term = declaration.acted_upon[0].partition(":")[2]
    return vocabulary.fold(authority) in vocabulary.alternatives(term)


def _is_default(declaration: Declaration, authority: str) -> bool:
    names = {declaration.authority, *declaration.authority_iris}
    return authority.casefold().rstrip("/") in {name.casefold().rstrip("/") for name in names}
