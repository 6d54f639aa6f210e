"""What the page lists, as JSON: so that it can be written again once people have ruled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from crossproof.model import Point
from crossproof.report.grouping import Group, Reasoning, Record, Words

Json = Mapping[str, Any]


def group_as_json(group: Group) -> dict[str, Any]:
    """One reasoning and its records, as JSON has them."""
    return asdict(group)


def group_from_json(told: Json) -> Group:
    """The way back.

    Raises:
        KeyError, TypeError, ValueError: it is not what `group_as_json` gives.
    """
    reasoning = {
        **told["reasoning"],
        "reasons": tuple(told["reasoning"]["reasons"]),
        "points": tuple(Point(**point) for point in told["reasoning"]["points"]),
        "states": tuple((c, state, weight) for c, state, weight in told["reasoning"]["states"]),
    }
    return Group(Reasoning(**reasoning), [_record(record) for record in told["records"]])


def _record(told: Json) -> Record:
    words: Sequence[Json] = told["words"]
    cells = {**told, "words": tuple(Words(**piece) for piece in words), "told": tuple(told["told"])}
    return Record(**cells)
