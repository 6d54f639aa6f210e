"""The grid reference that stands among other words: which one is meant, and which are none."""

from __future__ import annotations

import re
from functools import cache

from crossproof.parse.grid import Square, is_square, square
from crossproof.parse.grid_text import halves
from crossproof.parse.place_error import PlaceError, vocabulary

# Within other words only upper-case letters. Two digits alone are a postcode's too (SE10), and an
# Irish letter with two and two is a road's number unless they stand apart (B3092, but R 30 94).
_WITHIN = re.compile(
    r"(?<![A-Za-z0-9])(?P<letters>[A-Z]{2}|[A-HJ-Z])[ .:]?(?P<digits>\d+(?:[ ./-]\d+)*)"
    r"(?P<suffix>[NS][EW]|[A-NP-Z])?(?![A-Za-z0-9])"
)
_APART = re.compile(r"\d\d[ ./-]\d\d")
_NAMED = re.compile(r"\b(?:hectad|tetrad|monad|quadrant)\s$", re.IGNORECASE)
# "1 km S of SD 45 75": the place is not in the square.
_OFFSET = re.compile(
    r"\d\s?(?:k?m|metres?|miles?|mi|y(?:ar)?ds?|ft|feet)\.?\s+(?:due\s+)?"
    r"(?:[nesw]{1,3}|(?:north|south)?-?(?:east|west)?)\.?\s+of\s*$",
    re.IGNORECASE,
)


def find_reference(text: str, notes: list[str]) -> Square | None:
    """Find the one reference that stands among other words, in the grids of two letters and one.

    Raises:
        PlaceError: `several` different references stand there, or its digits are wrong.
    """
    sure: dict[str, Square] = {}
    unsure: dict[str, Square] = {}
    told = False  # whether one is called a hectad or the like
    for match in _WITHIN.finditer(text):
        letters, digits, suffix = match["letters"], match["digits"], match["suffix"] or ""
        if not suffix and _counted().match(text, match.end()):
            digits = re.sub(r"[ ./-]?\d+$", "", digits)  # "SU 123 456 30 m": a length
        figures = sum(map(str.isdigit, digits))
        if not is_square(letters) or figures < 2:
            continue
        apart = _before(text, match.start()) and _behind(text, match.end())
        named = bool(_NAMED.search(text[: match.start()]))
        told |= named
        if not named and not _is_sure(letters, digits, suffix, apart):
            if figures == 4 and not suffix:
                one = square(letters, *halves(text, digits, []))
                unsure[one.reference] = one
            continue
        one = square(letters, *halves(text, digits, []), suffix)
        if _OFFSET.search(text[: match.start()]):
            raise PlaceError("ambiguous", f"{text!r} says a distance from {one.reference}")
        sure[one.reference] = one
    within = {key: one for key, one in unsure.items() if any(map(one.lies_in, sure.values()))}
    found = {**sure, **(unsure if told else within)}
    if not sure:
        return None
    # "G6035 (hectad G63)": squares within each other are one place, the smallest of them.
    smallest = min(found.values(), key=lambda one: one.side)
    if not all(map(smallest.lies_in, found.values())):
        raise PlaceError("several", f"{text!r} holds several references: {', '.join(found)}")
    notes.append(f"{smallest.reference} was read from among other words")
    return smallest


@cache
def _counted() -> re.Pattern[str]:
    """What makes the last figure behind a reference a length, a count or a day: 30 m, 12 June."""
    words = vocabulary()["words"]
    counted, months = "|".join(words["counted"]), "|".join(words["months"])
    return re.compile(
        rf"\s?(?:(?:{counted})(?![A-Za-z])|%|(?:st|nd|rd|th)?\s?-?(?:{months})[a-z]*"
        r"|\.?\s?[ivx]{1,4}\.?\s?'?\d\d)",
        re.IGNORECASE,
    )


def _before(text: str, start: int) -> bool:
    return text[:start].rstrip()[-1:] in ("", *",;:(")


def _behind(text: str, end: int) -> bool:
    return text[end:].lstrip()[:1] in ("", *",;:).")


def _is_sure(letters: str, digits: str, suffix: str, apart: bool) -> bool:
    """Whether letters and digits among other words can be nothing but a reference.

    Args:
        apart: nothing but a comma or the like stands beside them.
    """
    figures = sum(map(str.isdigit, digits))
    if len(letters) == 2:
        return figures >= 4 or (figures == 2 and bool(suffix) and " " not in digits)
    return figures >= 6 or (apart and bool(_APART.fullmatch(digits)))
