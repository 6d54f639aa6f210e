"""Verbatim geographic coordinates, read as decimal degrees without rounding what is exact.

Read are decimal degrees, degrees and minutes, degrees minutes seconds, with signs or with points of
the compass, in symbols, words or separated by spaces. Refused are grid references, projected
coordinates, minutes of sixty and more, and a sign beside a point of the compass.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from .values import plain, trim

PLACES = 7  # decimal places where the fraction does not end; about a centimetre on the ground

_WORDS = (
    (r"degrees?|degs?\b\.?|[º˚]", "°"),
    (r"minutes?|mins?\b\.?|[′’´]", "'"),
    (r"seconds?|secs?\b\.?|''|[″”]", '"'),
    (r"\bnorth\b", "N"),
    (r"\bsouth\b", "S"),
    (r"\beast\b", "E"),
    (r"\bwest\b", "W"),
)
_ANGLE = re.compile(
    r"(?P<before>[NSEW])? ?(?P<sign>[+-])? ?(?P<degrees>[0-9]{1,3}(?:\.[0-9]{1,15})?)"
    r"(?:(?: ?° ?| )(?P<minutes>[0-9]{1,2}(?:\.[0-9]{1,15})?)"
    r"(?:(?: ?' ?| )(?P<seconds>[0-9]{1,2}(?:\.[0-9]{1,15})?))?)?"
    r" ?[°'\"]? ?(?P<after>[NSEW])?"
)
_LIMITS = {"N": 90, "E": 180}


@dataclass(frozen=True, slots=True)
class Angle:
    """Degrees, their axis (`N` latitude, `E` longitude, "" unknown) and their resolution."""

    degrees: Fraction
    axis: str
    resolution: Fraction

    def agrees(self, other: Angle) -> bool:
        """Say whether two readings of one angle differ by no more than the coarser one resolves."""
        return abs(self.degrees - other.degrees) <= max(self.resolution, other.resolution)

    def decimal(self) -> str:
        value = round(self.degrees * 10**PLACES)
        exact = Fraction(value, 10**PLACES) == self.degrees
        if not exact and 10**15 % self.degrees.denominator == 0:
            return plain(Decimal(self.degrees.numerator) / Decimal(self.degrees.denominator))
        return plain(Decimal(value).scaleb(-PLACES))


@lru_cache(maxsize=1 << 16)
def angle(text: str, axis: str) -> Angle | None:
    """Read one angle; `axis` is `N` or `E` where the term says it, "" where it does not."""
    found = _ANGLE.fullmatch(_symbols(text))
    if not found or (found["before"] and found["after"]):
        return None
    point = found["before"] or found["after"] or ""
    if point and found["sign"]:
        return None
    of_point = {"N": "N", "S": "N", "E": "E", "W": "E", "": ""}[point]
    if axis and of_point and of_point != axis:
        return None
    parts = [found[name] for name in ("degrees", "minutes", "seconds") if found[name]]
    values = [Fraction(part) for part in parts]
    if any("." in part for part in parts[:-1]) or any(value >= 60 for value in values[1:]):
        return None
    degrees = sum((value / 60**place for place, value in enumerate(values)), Fraction(0))
    places = len(parts[-1].partition(".")[2])
    if degrees > _LIMITS.get(axis or of_point, 180):
        return None
    negative = found["sign"] == "-" or point in ("S", "W")
    return Angle(
        -degrees if negative else degrees,
        axis or of_point,
        Fraction(1, 60 ** (len(parts) - 1) * 10**places),
    )


@lru_cache(maxsize=1 << 16)
def pair(text: str) -> tuple[Angle, Angle] | None:
    """Read a latitude and a longitude, in either order where they say which they are.

    Where neither says, latitude comes first (ISO 6709), unless only the other order is possible.
    """
    written = _symbols(text)
    found = {both for cut in _cuts(written) if (both := _both(*cut)) is not None}
    return found.pop() if len(found) == 1 else None


def _symbols(text: str) -> str:
    written = unicodedata.normalize("NFC", trim(text)).casefold() if len(text) <= 120 else ""
    written = re.sub(r"[‐‑‒–—−]", "-", written)
    for words, symbol in _WORDS:
        written = re.sub(words, symbol, written)
    return " ".join(written.upper().split())


def _cuts(text: str) -> list[tuple[str, str]]:
    """Propose where the first angle ends: at a separator, else after or before a point."""
    parts = re.split(r" ?[,;/|] ?", text)
    if len(parts) > 1:
        return [(parts[0], parts[1])] if len(parts) == 2 else []
    ends = {match.end() for match in re.finditer(r"[NSEW](?= ?[+0-9-])", text)}
    starts = {match.start() for match in re.finditer(r"(?<=[0-9°'\" ])[NSEW]", text)}
    spaces = {match.start() for match in re.finditer(r" ", text)} if not ends | starts else set()
    return [(text[:cut].strip(), text[cut:].strip()) for cut in ends | starts | spaces if cut]


def _both(first: str, second: str) -> tuple[Angle, Angle] | None:
    left, right = angle(first, ""), angle(second, "")
    if left is None or right is None or (left.axis and left.axis == right.axis):
        return None
    if bool(left.axis) != bool(right.axis):
        return None
    if left.axis == "E" or (not left.axis and abs(left.degrees) > 90):
        left, right = right, left
        first, second = second, first
    latitude, longitude = angle(first, "N"), angle(second, "E")
    return (latitude, longitude) if latitude and longitude else None
