"""Whether a place and an area share ground."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crossproof.parse.place import Place

Point = tuple[float, float]  # longitude, latitude in degrees
Ring = tuple[Point, ...]

_PAIR = re.compile(r"(-?[\d.]+) (-?[\d.]+)")
_INWARD = 0.999  # neighbours share an edge but no ground
_METRES_PER_DEGREE = 111_195.0  # of a sphere of the Earth's mean radius, 6 371 km


@dataclass(frozen=True, slots=True)
class Area:
    """A simple polygon without holes, that crosses neither a pole nor the 180th meridian."""

    ring: Ring
    level: int

    def touches(self, outline: Ring) -> bool:
        """Whether any ground of an outline lies in the area."""
        wests, souths = zip(*self.ring, strict=True)
        xs, ys = zip(*outline, strict=True)
        if max(xs) < min(wests) or min(xs) > max(wests):
            return False
        if max(ys) < min(souths) or min(ys) > max(souths):
            return False
        return (
            any(_inside(point, self.ring) for point in outline)
            or any(_inside(point, outline) for point in self.ring)
            or any(_cross(a, b) for a in _edges(self.ring) for b in _edges(outline))
        )


def ring_of(wkt: str) -> Ring:
    """The corners of a POLYGON without holes in well-known text."""
    return tuple((float(m[1]), float(m[2])) for m in _PAIR.finditer(wkt))


def outline_of(place: Place) -> Ring:
    """The ground a place may lie on: its square, a circle of its uncertainty, or its point."""
    centre = (place.longitude, place.latitude)
    if place.footprint_wkt:
        return tuple(
            (_towards(centre[0], x), _towards(centre[1], y))
            for x, y in ring_of(place.footprint_wkt)
        )
    if not place.uncertainty_m:
        return (centre,)
    north = place.uncertainty_m / _METRES_PER_DEGREE
    east = north / max(math.cos(math.radians(place.latitude)), 0.01)
    turns = [math.tau * i / 16 for i in range(16)]
    return tuple(
        (centre[0] + east * math.cos(turn), centre[1] + north * math.sin(turn)) for turn in turns
    )


def _towards(middle: float, edge: float) -> float:
    return middle + (edge - middle) * _INWARD


def _edges(ring: Ring) -> list[tuple[Point, Point]]:
    return list(pairwise((*ring, ring[0])))


def _inside(point: Point, ring: Ring) -> bool:
    """The even-odd rule: a ray to the east crosses the outline an odd number of times."""
    x, y = point
    crossings = 0
    for (x1, y1), (x2, y2) in _edges(ring):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            crossings += 1
    return crossings % 2 == 1


def _cross(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    """Whether two edges cross: the ends of each lie on two sides of the other."""
    (a, b), (c, d) = first, second
    return _side(a, b, c) * _side(a, b, d) < 0 and _side(c, d, a) * _side(c, d, b) < 0


def _side(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
