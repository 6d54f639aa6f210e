"""What is wrong with, or was assumed of, one value: a finding that has no row yet."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """A finding before its row is known: one distinct value may stand in many rows.

    `field` is the field it was read from; an empty `remedy` takes the catalogue's.
    """

    code: str
    field: str
    value: str
    message: str = ""
    remedy: str = ""
