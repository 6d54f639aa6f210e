"""What the parsers don't read: Darwin Core terms as given, and columns without such a home."""

from __future__ import annotations

import json
from collections.abc import Mapping

from crossproof.coding import cross, same
from crossproof.model import Coded
from crossproof.parse import claims, location, timing
from crossproof.parse.cells import Cells

# Our own fields are no Darwin Core terms: their words go to dynamicProperties as written.
OURS = frozenset(
    {
        "gridReference",
        "easting",
        "northing",
        "photo",
        "photoParts",
        "parents",
        "soil",
        "setting",
        "flowerOnly",
        "placeSensitivity",
    }
)
_PARSED = frozenset({*location.FIELDS, *timing.FIELDS, *claims.FIELDS, "occurrenceID"})
_CARRIED = frozenset({"gridReference", "easting", "northing"})  # in verbatimCoordinates


def given_terms(cells: Cells, characters: frozenset[str]) -> dict[str, Coded[str]]:
    """The Darwin Core terms of the submission that no parser takes over, as given."""
    return {
        field: cells[field]
        for field in cells.headings
        if field not in _PARSED
        and field not in OURS
        and field not in characters
        and field != "dynamicProperties"
    }


def extra_properties(cells: Cells, characters: frozenset[str]) -> Coded[str]:
    """For each row the JSON object of what has no Darwin Core home: heading → text; '' if none.

    Evidence columns are here too, so that their words survive beside the states read from them.
    """
    fields = {heading: field for field, heading in cells.headings.items()}
    first = next((field for field in claims.WORDS if field in cells), "")
    kept = [
        heading
        for heading in cells.chunk.table.headings
        if heading not in fields
        or fields[heading] in characters
        or (fields[heading] in OURS and fields[heading] not in _CARRIED)
        or (fields[heading] in claims.WORDS and fields[heading] != first)
    ]
    if "dynamicProperties" in cells:
        kept.append(cells.headings["dynamicProperties"])
    if not kept:
        return same("", len(cells.chunk))
    dynamic = cells.headings.get("dynamicProperties", "")
    combined = cross(*(cells.under(heading) for heading in kept))
    return combined.map(lambda values: _as_json(dict(zip(kept, values, strict=True)), dynamic))


def _as_json(texts: Mapping[str, str], dynamic: str) -> str:
    properties: dict[str, object] = {
        heading: text for heading, text in texts.items() if text and heading != dynamic
    }
    already = texts.get(dynamic, "")
    if already:
        properties = {**_object(already), **properties}
    return json.dumps(properties, ensure_ascii=False) if properties else ""


def _object(text: str) -> dict[str, object]:
    """A JSON object as it is; any other text under its own name."""
    try:
        value = json.loads(text)
    except ValueError:
        value = None
    return value if isinstance(value, dict) else {"dynamicProperties": text}
