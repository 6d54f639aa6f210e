"""Depths and elevations as people write them, turned into metres without rounding.

A unit must be written. Read are a single value and a range, in metres, kilometres, feet, yards and
fathoms. Refused are values said to be approximate, and numbers with a comma in them: 1,500 may be
one and a half.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from .values import plain, trim

# Exact by the international yard and pound agreement of 1959; the fathom is two yards.
METRES = {
    "m": Decimal(1),
    "km": Decimal(1000),
    "ft": Decimal("0.3048"),
    "yd": Decimal("0.9144"),
    "fathom": Decimal("1.8288"),
}

_UNITS = {
    "m": r"m|mt|mts|mtr|mtrs|metres?|meters?|metros?|mètres?",
    "km": r"kms?|kilomet(?:re|er)s?",
    "ft": r"ft|feet|foot|'",
    "yd": r"yds?|yards?",
    "fathom": r"fms?|fath|fathoms?|ftm",
}


@dataclass(frozen=True, slots=True)
class Kind:
    """What may stand before and after the figures, and whether they may be negative."""

    before: str
    after: str
    negative: bool


# A label that says which bound a value is leaves the other bound unsaid. The conformance rows take
# it for both in an elevation and refuse it in a depth; the two lists below follow them.
ELEVATION = Kind(
    before=r"(?:(?:minimum|maximum|min|max)\.? ?)?(?:elevation|elev|altitude|alt|height)\.?",
    after=r"a\.?m?\.?s\.?l\.?|above (?:mean )?sea ?level|elevation|elev\.?|altitude|alt\.?",
    negative=True,
)
DEPTH = Kind(
    before=r"(?:water )?depth(?: of)?|at",
    after=r"deep|depth|below (?:the )?surface",
    negative=False,
)


def _pattern(kind: Kind) -> re.Pattern[str]:
    sign = "-?" if kind.negative else ""
    figure = rf"{sign}[0-9]{{1,9}}(?:\.[0-9]{{1,9}})?"
    unit = "|".join(f"(?P<{{side}}_{name}>{forms})" for name, forms in _UNITS.items())
    first, last = (rf"(?:(?:{unit.format(side=side)})\.?)" for side in ("first", "last"))
    return re.compile(
        rf"(?:(?:{kind.before}) ?[:=]? ?)?(?:from |between )?"
        rf"(?:(?P<low>{figure}) ?{first}? ?(?:-|to|and|until) ?)?"
        rf"(?P<high>{figure}) ?{last}(?: ?(?:{kind.after}))?"
    )


_PATTERNS = {kind: _pattern(kind) for kind in (ELEVATION, DEPTH)}


@lru_cache(maxsize=1 << 15)
def metres(text: str, kind: Kind) -> tuple[str, str] | None:
    """Return the least and the greatest value in metres, or None where they need a guess.

    The conversion keeps every digit: 10 fathoms are 18.288 m.
    """
    written = unicodedata.normalize("NFKC", trim(text)).casefold()
    written = re.sub(r"[‐‑‒–—−]", "-", written).replace("’", "'").replace("′", "'")
    found = _PATTERNS[kind].fullmatch(" ".join(written.split())) if len(written) <= 80 else None
    if not found:
        return None
    last = _factor(found, "last")
    high = Decimal(found["high"]) * last
    low = Decimal(found["low"]) * (_factor(found, "first") or last) if found["low"] else high
    return plain(min(low, high)), plain(max(low, high))


def _factor(found: re.Match[str], side: str) -> Decimal:
    named = (METRES[name] for name in _UNITS if found[f"{side}_{name}"])
    return next(named, Decimal(0))
