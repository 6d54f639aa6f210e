"""What the parsers don't read: Darwin Core terms as given, and columns without such a home."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from itertools import chain
from typing import Any

from crossproof.coding import cross, distinct
from crossproof.model import Claim, Coded
from crossproof.parse import claims, location, timing
from crossproof.parse.cells import Cells, unwritten

# Our own fields are no Darwin Core terms: their words go to dynamicProperties as written.
OURS = frozenset(
    {
        "photo",
        "photoParts",
        "parents",
        "soil",
        "setting",
        "flowerOnly",
        "placeSensitivity",
    }
)
_PARSED = frozenset(
    {*location.FIELDS, *timing.FIELDS, *claims.FIELDS, "occurrenceID", "dynamicProperties"}
)


def given_terms(cells: Cells, characters: frozenset[str]) -> dict[str, Coded[str]]:
    """The Darwin Core terms of the submission that no parser takes over, as given."""
    return {
        field: cells[field]
        for field in cells.headings
        if field not in _PARSED and field not in OURS and field not in characters
    }


def extra_properties(
    cells: Cells,
    characters: frozenset[str],
    claimed: Coded[Claim],
    where: Coded[location.Where],
    when: Coded[timing.When],
) -> Coded[str]:
    """For each row the JSON object of what has no Darwin Core home: heading → text; '' if none.

    Evidence columns are here too, so that their words survive beside the states read from them,
    and the cells of a claim, a place or a date whose words stand in none of their terms.
    """
    fields = {heading: field for field, heading in cells.headings.items()}
    kept = [
        heading
        for heading in cells.chunk.table.headings
        if fields.get(heading, "") in ("", *OURS, *characters)
    ]
    combined = cross(
        distinct(_left_of_claims(cells, claimed)),
        distinct(where.map(lambda place: place.left)),
        distinct(when.map(lambda time: time.left)),
        cells["dynamicProperties"],
        *(cells.under(heading) for heading in kept),
    )

    def merge(values: tuple[Any, ...]) -> str:
        *left, submitted, texts = *values[:4], values[4:]
        own = ((cells.headings[field], text) for field, text in chain.from_iterable(left))
        return _as_json(dict(chain(own, zip(kept, texts, strict=True))), submitted)

    return combined.map(merge)


def _left_of_claims(cells: Cells, claimed: Coded[Claim]) -> Coded[tuple[tuple[str, str], ...]]:
    """The words for the plant, or its author, that neither the claim nor its name repeats."""
    names = [f for f in (*claims.WORDS, "scientificNameAuthorship") if f in cells]

    def left(values: tuple[Any, ...]) -> tuple[tuple[str, str], ...]:
        claim, *texts = values
        given = {f: text.strip() for f, text in zip(names, texts, strict=True) if text.strip()}
        name = claim.name
        # Where the words tell the name, its spelling in a column of its own says nothing more.
        full = f"{name.scientific_name} {name.authorship}"
        told = (name.scientific_name, full) if name.verbatim == claim.words else ()
        return unwritten(given, (claim.words, name.authorship, *told))

    return cross(claimed, *(cells[name] for name in names)).map(left)


def _as_json(texts: Mapping[str, str], submitted: str) -> str:
    """Our properties beside those submitted, which stay in one piece where the two differ."""
    properties: dict[str, object] = {heading: text for heading, text in texts.items() if text}
    if submitted.strip():
        already = _object(submitted)
        if already is None or any(
            already.get(name, text) != text for name, text in properties.items()
        ):
            already = {"dynamicProperties": submitted}
        properties = {**already, **properties}
    return json.dumps(properties, ensure_ascii=False) if properties else ""


def _object(text: str) -> dict[str, object] | None:
    """The JSON object that a text is, if writing it again would change nothing it says."""
    try:
        value = json.loads(
            text,
            parse_float=_plain_number,
            parse_constant=_plain_number,
            object_pairs_hook=_single_names,
        )
        json.dumps(value, ensure_ascii=False).encode()
    except (ValueError, RecursionError):
        return None
    return value if isinstance(value, dict) else None


def _plain_number(text: str) -> float:
    number = float(text)
    if repr(number) != text or text in ("inf", "nan"):
        raise ValueError(text)
    return number


def _single_names(pairs: Sequence[tuple[str, object]]) -> dict[str, object]:
    named = dict(pairs)
    if len(named) < len(pairs):
        raise ValueError("a name stands twice")
    return named
