"""Why a place could not be read, as a value with a reason and a remedy."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any


@cache
def vocabulary() -> dict[str, Any]:
    """The words, squares, datums and remedies of `places.toml` beside this module."""
    text = Path(__file__).with_name("places.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


class PlaceError(ValueError):
    """A written place that cannot be read.

    `reason` is one of the keys of `[remedies]` in `places.toml`:

    - `empty`, `unreadable`: nothing there; nothing in it is a place
    - `unknown_letters`, `sea`: letters no grid has; a lettered square without land
    - `odd_digits`, `uneven_halves`, `too_many_digits`, `unknown_suffix`, `letters_missing`
    - `half_a_coordinate`, `out_of_bounds`, `swapped`, `zero`: of latitude and longitude
    - `off_grid`: an easting and northing beyond their grid
    - `several`, `ambiguous`: more than one place, or more than one reading
    - `unknown_datum`: a datum that is not known here

    `remedy` says what would mend it.
    """

    def __init__(self, reason: str, message: str) -> None:
        super().__init__(message)
        self.reason = reason
        self.remedy: str = vocabulary()["remedies"][reason]

    def __reduce__(self) -> tuple[type[PlaceError], tuple[str, str]]:
        # Errors travel between processes with the partitions of an archive.
        return (type(self), (self.reason, str(self)))
