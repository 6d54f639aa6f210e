"""A square's size and part in words: `10-km square NR 35`, `NE quarter of NY31`."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from crossproof.parse.place_error import vocabulary

# Only sizes that squares have; other lengths are distances and heights.
_SIDES = frozenset({1.0, 10.0, 100.0, 1000.0, 2000.0, 5000.0, 10_000.0, 50_000.0, 100_000.0})
_MAY_BE_SIZE = re.compile(r"k\s?\.?\s?m|metre|meter|\d\s?m|fig|digit", re.IGNORECASE)
_HAS_PART = re.compile(r"[a-z][\s'\").\]]*$|quad|quarter|qtr|pentad|tet", re.IGNORECASE)
_LONGEST = 60  # characters; a longer text is prose
_CORNER = r"(?:[ns]\.?\s?[ew]\.?|(?:north|south)[\s-]?(?:east|west)(?:ern)?)(?![a-z])"
# A hectad or a monad: the squares that have parts with names of their own.
_WHOLE = r"[a-z]\s?[a-z]?[\s./:-]{0,2}\d[\s.]?\d(?:[\s./-]?\d\d)?|\d\d\s?/\s?\d\d"


class Size(NamedTuple):
    """The side of a square as stated, in metres; `squared` where the words say "square"."""

    side: float
    squared: bool


@cache
def _patterns() -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
    words = vocabulary()["words"]
    numbers = "|".join([r"\d+", *words["numbers"]])
    units = (
        r"(?P<unit>k\s?\.?\s?m(?:\b|(?=2))\.?|kilomet(?:re|er)s?|m(?:\b|(?=2))\.?|met(?:re|er)s?)"
    )
    one = rf"(?:{numbers})[\s-]*"
    size = (
        rf"(?P<times>{one}(?:km|m)?\s*[x×*]\s*)?(?P<number>{numbers})[\s-]*{units}"
        r"(?P<square>2\b|[\s.-]*(?:grid[\s-]*)?sq(?:uares?|\b)\.?)*"
    )
    figures = "|".join([r"\d+", *words["counts"]])
    return (
        re.compile(
            rf"^[\s(]*(?:the\s+|a\s+|in\s+)*{size}[\s:,;.)-]*(?:of\s+)?"
            r"(?=[a-z]\s?[a-z]?[\s./:-]{0,2}\d|\d\d\s?/\s?\d|[a-z]{1,2}$)",
            re.IGNORECASE,
        ),
        re.compile(rf"[\s,;(\[-]+{size}[\s.)\]]*$", re.IGNORECASE),
        re.compile(
            rf"\b(?:{figures})[\s-]*(?:fig(?:ure)?|digit)s?\b\.?[\s:-]*(?!$)", re.IGNORECASE
        ),
    )


def _size(match: re.Match[str]) -> Size | None:
    numbers = vocabulary()["words"]["numbers"]
    number = match["number"].lower()
    scale = 1000 if match["unit"].lower().startswith("k") else 1
    side = float(numbers.get(number, number)) * scale
    return Size(side, bool(match["square"] or match["times"])) if side in _SIDES else None


def front_size(text: str) -> tuple[str, Size | None]:
    """Take off a size in front of a reference, and `8-figure` before it."""
    if not _MAY_BE_SIZE.search(text):
        return text, None
    front, _, figures = _patterns()
    text = figures.sub("", text)
    match = front.match(text)
    if match and (found := _size(match)):
        return text[match.end() :], found
    return text, None


def back_size(text: str) -> tuple[str, Size | None]:
    """Take off a size behind a reference: `SU 12 (10 km)`, `SU1234, 1-km square`."""
    match = _patterns()[1].search(text) if _MAY_BE_SIZE.search(text) else None
    if match and (found := _size(match)):
        return text[: match.start()], found
    return text, None


@cache
def _parts() -> tuple[re.Pattern[str], ...]:
    quarter = "|".join(vocabulary()["words"]["quarters"])
    part = rf"(?P<part>{_CORNER}|[a-z])"
    whole = rf"(?P<whole>{_WHOLE})"
    tetrad = r"tet(?:rad\b|\.)"
    within = r"\s*(?:of|in)?\s*(?:the\s+)?(?:hectad\s+)?"
    return tuple(
        re.compile(pattern, re.IGNORECASE)
        for pattern in (
            rf"(?:the\s+)?(?P<part>{_CORNER})[\s-]*(?:{quarter})[\s,:]*{within}{whole}",
            rf"{tetrad}\s*['\"]?(?P<part>[a-z])['\"]?\s*(?:of|in|,){within}{whole}",
            rf"(?:{quarter}|{tetrad})?[\s:]*{whole}[\s,;:(\[-]*(?:{quarter}|{tetrad})?"
            rf"[\s:('\"\[/-]*{part}['\")\]]*[\s(,]*(?:{quarter}|{tetrad})?[\s).]*",
        )
    )


def part_behind(text: str) -> str:
    """Put the name of a part behind its square: `SW quadrant of SU12` is `SU12 SW`."""
    if len(text) > _LONGEST or (not text[-1:].isalpha() and not _HAS_PART.search(text)):
        return text
    for pattern in _parts():
        if match := pattern.fullmatch(text):
            part = match["part"]
            if len(part) > 1:
                low = part.lower()
                part = low[0] + ("e" if re.search(r"e(?:ast.*|\.?)$", low) else "w")
            return f"{match['whole']} {part.upper()}"
    return text
