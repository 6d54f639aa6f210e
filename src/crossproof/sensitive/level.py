"""How coarse a place is to be: the side of a square in metres, or no place at all.

The steps follow common practice for sensitive plants in Britain and Ireland; making coarser and
never random, and saying so, follow Chapman 2020, "Current Best Practices for Generalizing
Sensitive Species Occurrence Data" (GBIF, doi:10.15468/doc-5jp4-5g10).
"""

from __future__ import annotations

import re
from typing import Final

from crossproof.sensitive.terms import listed, phrase

EXACT: Final = 0
WITHHELD: Final = 1_000_000_000  # coarser than any square
SIDES: Final = (100, 1_000, 2_000, 10_000)  # each divides the next: the squares are nested
DEFAULT: Final = 10_000  # where a record only says that it is sensitive: the coarsest square

_SIZE = re.compile(r"(\d+(?:\.\d+)?)\s*(k?)\s*m(?:etres?|eters?)?(?:\s*(?:square|sq))?")


def step(metres: float) -> int:
    """The finest level at least as coarse as `metres`; beyond 10 km the place is withheld."""
    if metres <= 0:
        return EXACT
    return next((side for side in SIDES if side >= metres), WITHHELD)


def read_level(cell: str, default: int = DEFAULT) -> int | None:
    """What a cell of the column placeSensitivity asks for; None where it can't be read."""
    words = " ".join(cell.casefold().strip(" .").split())
    if words in listed("levels", "none"):
        return EXACT
    if words in listed("levels", "default"):
        return default
    if words in listed("levels", "withhold"):
        return WITHHELD
    words = phrase("levels", words) or words
    size = _SIZE.fullmatch(words)
    return step(float(size[1]) * (1000 if size[2] else 1)) if size else None


def words_of(level: int) -> str:
    """`100 m`, `2 km`, `withhold`."""
    if level >= WITHHELD:
        return "withhold"
    return f"{level // 1000} km" if level >= 1000 else f"{level} m"
