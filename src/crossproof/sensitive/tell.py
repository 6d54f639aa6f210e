"""The figures that give one place away, in whichever grid or notation they are written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

_BASE32 = "0123456789bcdefghjkmnpqrstuvwxyz"  # of geohashes
_GEOHASH = 5  # signs; that many name a rectangle of some 5 km


@dataclass(frozen=True)
class Tell:
    """A place by its figures: degrees, and easting and northing in metres on several grids.

    `within_m` says how near a figure in metres must come to be one of the place's.
    """

    latitude: float
    longitude: float
    metres: tuple[tuple[float, float], ...]
    within_m: float

    @cached_property
    def digits(self) -> frozenset[str]:
        """The digits of a grid reference without its letters, either half first."""
        found = set()
        for east, north in self.metres:
            e, n = (f"{int(abs(figure)) % 100_000:05d}" for figure in (east, north))
            for size in (3, 4, 5):
                found |= {e[:size] + n[:size], n[:size] + e[:size]}
        return frozenset(found)

    @cached_property
    def halves(self) -> frozenset[str]:
        """The digits of one half of a grid reference, for cells that hold nothing else."""
        found = set()
        for figures in self.metres:
            for figure in figures:
                whole = f"{int(abs(figure)) % 100_000:05d}"
                found |= {whole[:3], whole[:4], whole}
        return frozenset(found)

    @cached_property
    def sexagesimal(self) -> frozenset[tuple[int, int]]:
        """Degrees and minutes of latitude and longitude, rounded either way."""
        found = set()
        for degrees in (abs(self.latitude), abs(self.longitude)):
            minutes = degrees * 60
            found |= {divmod(int(minutes), 60), divmod(round(minutes), 60)}
        return frozenset(found)

    @cached_property
    def geohash(self) -> str:
        """The first signs of the place's geohash (public domain since 2008; from memory)."""
        ranges = [[-180.0, 180.0], [-90.0, 90.0]]
        point = (self.longitude, self.latitude)
        bits = 0
        for turn in range(5 * _GEOHASH):
            low, high = ranges[turn % 2]
            middle = (low + high) / 2
            above = point[turn % 2] >= middle
            ranges[turn % 2] = [middle, high] if above else [low, middle]
            bits = bits * 2 + above
        return "".join(_BASE32[bits >> 5 * i & 31] for i in reversed(range(_GEOHASH)))

    def is_degrees(self, value: float) -> bool:
        """Whether a figure may be the latitude or longitude, to a fifth of a degree."""
        return any(abs(abs(value) - abs(own)) < 0.2 for own in (self.latitude, self.longitude))

    def is_metres(self, value: float) -> bool:
        """Whether a figure of five digits or more may be an easting or a northing."""
        if abs(value) < 10_000:
            return False
        return any(
            abs(abs(value) - abs(own)) < self.within_m for figures in self.metres for own in figures
        )


def tell_of(
    latitude: float, longitude: float, metres: Sequence[tuple[float, float]], level: int
) -> Tell:
    """The figures of a place that is to be made as coarse as `level`."""
    return Tell(latitude, longitude, tuple(metres), float(min(max(level, 1_000), 10_000)))
