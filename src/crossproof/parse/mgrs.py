"""References of the Military Grid Reference System, which some receivers give, to metres of UTM.

Letters and their order: NGA.STND.0037 (2014), "Universal Grids and Grid Reference Systems", 3
(from memory; held against GEOTRANS in the tests).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from crossproof.parse.grid import is_square, square
from crossproof.parse.grid_text import halves
from crossproof.parse.place_error import PlaceError

_COLUMNS = ("STUVWXYZ", "ABCDEFGH", "JKLMNPQR")  # from 100 km east, by the zone's number modulo 3
_ROWS = "ABCDEFGHJKLMNPQRSTUV"  # northward from the equator, in zones of even number from F
_HUNDRED_KM = 100_000
# Rows repeat every 2,000 km; these islands lie in fewer, so no letter of the band is needed.
_CYCLE, _SOUTH = 2_000_000, 5_400_000
_REFERENCE = re.compile(
    r"(?:(?:mgrs[\s.:]*)?(?P<zone>29|30|31)\s?[UV]\s?)?(?P<column>[A-HJ-NP-Z])\s?(?P<row>[A-HJ-NP-V])"
    r"[\s.,:-]*(?P<digits>\d[\d\s.,-]*)?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class MilitarySquare:
    """A square: `system` is the key of its zone, `centre` and `side` are in metres of UTM."""

    system: str
    centre: tuple[float, float]
    side: int
    reference: str


def read_military(text: str, system: str, notes: list[str]) -> MilitarySquare | None:
    """Read a text that is such a reference; the zone may be in the text, or named by `system`.

    The Channel Islands' squares are read as their own grid's, and are None here, as are letters of
    the British National Grid's that the zone does not have.

    Raises:
        PlaceError: `unknown_letters`, `odd_digits`, `uneven_halves` or `too_many_digits`.
    """
    match = _REFERENCE.fullmatch(text)
    if not match or not (match["zone"] or system.startswith("UTM")):
        return None
    zone = int(match["zone"] or system.removeprefix("UTM"))
    letters = f"{match['column']}{match['row']}".upper()
    columns = _COLUMNS[zone % 3]
    if letters[0] not in columns and not is_square(letters):
        raise PlaceError("unknown_letters", f"zone {zone} has no square {letters}")
    if letters[0] not in columns or (is_square(letters) and square(letters).grid == "CI"):
        return None
    east, north = halves(text, match["digits"] or "", notes)
    side = _HUNDRED_KM // 10 ** len(east)
    row = _ROWS.index(letters[1]) - (0 if zone % 2 else 5)
    south = (row * _HUNDRED_KM - _SOUTH) % _CYCLE + _SOUTH
    return MilitarySquare(
        f"UTM{zone}",
        (
            (columns.index(letters[0]) + 1) * _HUNDRED_KM + (int(east or 0) + 0.5) * side,
            south + (int(north or 0) + 0.5) * side,
        ),
        side,
        f"{zone} {letters}{east}{north}",
    )
