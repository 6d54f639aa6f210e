"""Grid squares: letters and digits to metres, and back.

The British National Grid, the Irish Grid and the lettered UTM squares of the Channel Islands, at
every size from 100 km to 1 m, with tetrads (2 km, lettered column by column from the south-west,
without O) and quadrants (a half of the square each way).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from crossproof.parse.place_error import PlaceError, vocabulary

Grid = Literal["GB", "IE", "CI"]

_LETTERS = "ABCDEFGHJKLMNOPQRSTUVWXYZ"  # no I: five rows of five from the north-west
_TETRADS = "ABCDEFGHIJKLMNPQRSTUVWXYZ"  # no O: five columns of five from the south-west
_QUADRANTS = {"SW": (0, 0), "SE": (1, 0), "NW": (0, 1), "NE": (1, 1)}
_HUNDRED_KM = 100_000

GRID_NAMES = {
    "GB": "British National Grid",
    "IE": "Irish Grid",
    "CI": "Channel Islands' UTM grid",
}


@dataclass(frozen=True, slots=True)
class Square:
    """A grid square by its south-west corner and side, in metres, and its canonical reference."""

    grid: Grid
    easting: int
    northing: int
    side: int
    reference: str

    @property
    def ring(self) -> tuple[tuple[float, float], ...]:
        """The outline, anticlockwise from the south-west corner and closed, in metres.

        Every 10 km of the side has its own point, since a long straight grid line is curved in
        longitude and latitude.
        """
        steps = max(1, self.side // 10_000)
        along = [self.side * i / steps for i in range(steps)]
        west, south = self.easting, self.northing
        east, north = west + self.side, south + self.side
        return (
            *((west + d, float(south)) for d in along),
            *((float(east), south + d) for d in along),
            *((east - d, float(north)) for d in along),
            *((float(west), north - d) for d in along),
            (float(west), float(south)),
        )

    def lies_in(self, other: Square) -> bool:
        """Whether the whole square lies in the other (or is it)."""
        return (
            self.grid == other.grid
            and other.easting <= self.easting <= other.easting + other.side - self.side
            and other.northing <= self.northing <= other.northing + other.side - self.side
        )

    @property
    def centre(self) -> tuple[float, float]:
        return self.easting + self.side / 2, self.northing + self.side / 2


def size_words(side: int) -> str:
    """`2 km`, `100 m`."""
    return f"{side // 1000} km" if side >= 1000 else f"{side} m"


@cache
def _corners() -> dict[str, tuple[Grid, int, int]]:
    """Every lettered 100 km square with land: its grid and south-west corner."""
    squares = vocabulary()["squares"]
    found: dict[str, tuple[Grid, int, int]] = {}
    for letters in " ".join(squares["british"]).split():
        major, minor = _LETTERS.index(letters[0]), _LETTERS.index(letters[1])
        # The false origin is the south-west corner of S, the 500 km square in column 2, row 3.
        east = (major % 5 - 2) * 5 + minor % 5
        north = (3 - major // 5) * 5 + 4 - minor // 5
        found[letters] = ("GB", east * _HUNDRED_KM, north * _HUNDRED_KM)
    for letter in squares["irish"].split():
        i = _LETTERS.index(letter)
        found[letter] = ("IE", i % 5 * _HUNDRED_KM, (4 - i // 5) * _HUNDRED_KM)
    for letters, (easting, northing) in squares["channel"].items():
        found[letters] = ("CI", easting, northing)
    return found


@cache
def _letters_at() -> dict[tuple[Grid, int, int], str]:
    return {corner: letters for letters, corner in _corners().items()}


def is_square(letters: str) -> bool:
    """Whether `letters` (upper case) name a 100 km square with land in it."""
    return letters in _corners()


def _corner(letters: str) -> tuple[Grid, int, int]:
    if letters in _corners():
        return _corners()[letters]
    lettered = all(letter in _LETTERS for letter in letters)
    # The National Grid's own 700 km by 1300 km lie in these six squares of 500 km.
    if lettered and (len(letters) == 1 or letters[0] in "HJNOST"):
        grid = "Irish Grid" if len(letters) == 1 else "British National Grid"
        raise PlaceError(
            "sea", f"{letters} is a square of the {grid}'s lettering that lies in the sea"
        )
    raise PlaceError("unknown_letters", f"{letters} are the letters of no grid square")


def square(letters: str, east: str = "", north: str = "", suffix: str = "") -> Square:
    """Make a square from the parts of a reference, all in upper case.

    Args:
        letters: the 100 km square.
        east, north: up to five digits each, equally many.
        suffix: a tetrad letter behind one digit each, or a quadrant behind one or two.

    Raises:
        PlaceError: `unknown_letters`, `sea` or `unknown_suffix`.
    """
    grid, easting, northing = _corner(letters)
    side: int = _HUNDRED_KM // 10 ** len(east)
    if east:
        easting += int(east) * side
        northing += int(north) * side
    if suffix in _QUADRANTS and len(east) in (1, 2):
        side //= 2
        column, row = _QUADRANTS[suffix]
    elif len(suffix) == 1 and suffix in _TETRADS and len(east) == 1:
        side = 2000
        column, row = divmod(_TETRADS.index(suffix), 5)
    elif suffix:
        raise PlaceError(
            "unknown_suffix",
            f"{suffix} behind {letters}{east}{north} is neither a tetrad nor a quadrant",
        )
    else:
        column = row = 0
    reference = f"{letters}{east}{north}{suffix}"
    return Square(grid, easting + column * side, northing + row * side, side, reference)


def square_at(grid: Grid, easting: float, northing: float) -> Square:
    """The one-metre square that holds a point given in metres.

    Raises:
        PlaceError: `off_grid`: no lettered square with land holds the point.
    """
    east, north = int(easting // 1), int(northing // 1)
    corner = (grid, east // _HUNDRED_KM * _HUNDRED_KM, north // _HUNDRED_KM * _HUNDRED_KM)
    letters = _letters_at().get(corner)
    if letters is None:
        raise PlaceError(
            "off_grid",
            f"easting {east}, northing {north} lies off the land of the {GRID_NAMES[grid]}",
        )
    return Square(
        grid, east, north, 1, f"{letters}{east % _HUNDRED_KM:05d}{north % _HUNDRED_KM:05d}"
    )


def square_over(grid: Grid, easting: float, northing: float, side: int) -> Square:
    """The square of 100 m, 1 km, 2 km or 10 km that holds a point given in metres.

    Raises:
        PlaceError: `off_grid`: no lettered square with land holds the point.
        KeyError: there are no squares of that side.
    """
    digits = {100: 3, 1000: 2, 2000: 1, 10_000: 1}[side]
    finest = square_at(grid, easting, northing)
    letters, east, north = (
        finest.reference[:-10],
        finest.reference[-10:-5],
        finest.reference[-5:],
    )
    column, row = int(east[1:]) // 2000, int(north[1:]) // 2000
    suffix = _TETRADS[column * 5 + row] if side == 2000 else ""
    return square(letters, east[:digits], north[:digits], suffix)
