"""The grid squares that figures are counted by, and the plants are looked for again in."""

from __future__ import annotations

import re

from crossproof.coding import Memo
from crossproof.parse.coarse import coarsen
from crossproof.parse.grid import square_over
from crossproof.parse.grid_text import read_reference
from crossproof.parse.location import Where
from crossproof.parse.place import Place, PlaceError

TEN_KM = 10_000
VISIT = 1000  # metres; a square that a person can walk over in a day
_PLAIN = re.compile(r"([A-Z]{1,2})((?:[0-9]{2})+)")
_FIGURES = {TEN_KM: 1, VISIT: 2}  # of each of a reference's two coordinates


class Squares:
    """Names the squares that hold a place, each that takes long only once."""

    def __init__(self) -> None:
        self._name: Memo[tuple[Place, int], str] = Memo(lambda key: _name(*key), limit=20_000)

    def around(self, where: Where) -> tuple[str, str]:
        """The squares of 10 and 1 km that hold a record."""
        return self.of(where, TEN_KM), self.of(where, VISIT)

    def of(self, where: Where, side: int) -> str:
        """The square of a side of 1 or 10 km (in metres) that holds a record.

        '' where the place is not known to that, or lies off the British, Irish and Channel
        Islands' grids.
        """
        place = where.place
        if place is None or _is_vaguer(where, place, side):
            return ""
        if plain := _PLAIN.fullmatch(place.grid_reference):
            return _shortened(plain[1], plain[2], _FIGURES[side])
        return self._name((place, side))


def hundred_km(square: str) -> str:
    """The 100 km square that a square lies in: its letters."""
    return square.rstrip("0123456789")


def _is_vaguer(where: Where, place: Place, side: int) -> bool:
    stated = where.terms.get("coordinateUncertaintyInMeters", "")
    uncertainty = float(stated or place.uncertainty_m or 0)
    return uncertainty > side  # half the diagonal of a square of that side is less


def _shortened(letters: str, figures: str, wanted: int) -> str:
    """A square lies in the one that fewer figures name; '' where it has too few."""
    half = len(figures) // 2
    cut = figures[:wanted] + figures[half : half + wanted]
    return letters + cut if half >= wanted else ""


def _name(place: Place, side: int) -> str:
    if place.grid_reference:
        try:
            own = read_reference(place.grid_reference, [])
            if own is None or own.side > side:
                return ""
            if own.side == side:
                return own.reference
            return square_over(own.grid, *own.centre, side).reference
        except PlaceError:
            return ""
    found = coarsen(place, side)
    return found.grid_reference if found else ""
