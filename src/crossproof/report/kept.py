"""What the page lists, as JSON: so that it can be written again once people have ruled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields
from functools import cache
from typing import Any

from crossproof.model import Point
from crossproof.report.grouping import Group, Reasoning, Record, Words

Json = Mapping[str, Any]


def told(value: Any) -> dict[str, Any]:
    """What a dataclass holds, for `json` to go on with (its `default`): nothing is copied."""
    kind: Any = type(value)
    return {name: getattr(value, name) for name in _names(kind)}


@cache
def _names(kind: Any) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def group_from_json(kept: Json) -> Group:
    """The way back.

    Raises:
        KeyError, TypeError, ValueError: it is not what `told` gives of a group.
    """
    reasoning = {
        **kept["reasoning"],
        "reasons": tuple(kept["reasoning"]["reasons"]),
        "points": tuple(Point(**point) for point in kept["reasoning"]["points"]),
        "states": tuple((c, state, weight) for c, state, weight in kept["reasoning"]["states"]),
    }
    return Group(Reasoning(**reasoning), [_record(record) for record in kept["records"]])


def _record(kept: Json) -> Record:
    words: Sequence[Json] = kept["words"]
    cells = {**kept, "words": tuple(Words(**piece) for piece in words), "told": tuple(kept["told"])}
    return Record(**cells)
