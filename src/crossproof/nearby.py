"""Were both parents of a cross recorded near by? A small index of where and when species grew."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import asin, ceil, cos, floor, radians, sin, sqrt
from typing import Literal

from crossproof.coding import cross, distinct
from crossproof.model import Claim, Coded, Name
from crossproof.parse.location import Where
from crossproof.parse.timing import When
from crossproof.rulebooks.model import Rulebook

Found = Literal["found", "perhaps", "absent"]

EARTH_M = 6_371_008.8  # mean radius of the Earth (IUGG 1980)
DEGREE_M = EARTH_M * radians(1)
SQUARES = 1000  # to a degree: records within one of these squares are kept together
BLOCKS = 20  # to a degree: how the squares are looked up
FARTHEST_M = 10_000.0  # a record less certain than this says nothing of what is near
_NOT_THERE = frozenset({"absent", "notdetected", "not detected", "absence"})


@dataclass(frozen=True, slots=True)
class Spot:
    """Where and when a plant was recorded.

    Decimal degrees (WGS 84); metres around them that hold the plant; the first and last year it may
    have been, None where no date is known.
    """

    latitude: float
    longitude: float
    uncertainty_m: float = 0.0
    years: tuple[int, int] | None = None


class Sightings:
    """Where and when species were recorded.

    Memory is bounded by the distinct (species, square, year): of records that share all three the
    first one's position is kept, and the distance of the others from it counts as uncertainty.

    Args:
        kilometres: how near is near.
        years: how many years may lie between two records.
    """

    def __init__(self, kilometres: float, years: int) -> None:
        self._near_m = kilometres * 1000
        self._years = years
        self._blocks: dict[tuple[str, int, int], dict[object, Spot]] = {}
        self._vaguest = 0.0

    def __len__(self) -> int:
        return sum(map(len, self._blocks.values()))

    def add(self, species: str, spot: Spot) -> None:
        """Remember one record; one too vague to say anything is left out."""
        if spot.uncertainty_m > FARTHEST_M:
            return
        kept = self._blocks.setdefault((species, *_block(spot.latitude, spot.longitude)), {})
        square = (floor(spot.latitude * SQUARES), floor(spot.longitude * SQUARES))
        key = (square, spot.years, self._tells(spot))
        if earlier := kept.get(key):
            apart = metres(earlier, spot)
            spot = Spot(
                earlier.latitude,
                earlier.longitude,
                max(earlier.uncertainty_m, spot.uncertainty_m + apart),
                spot.years,
            )
        kept[key] = spot
        self._vaguest = max(self._vaguest, spot.uncertainty_m)

    def near(self, species: str, spot: Spot) -> Found:
        """Whether a species was recorded near a spot, both uncertainties counted in its favour.

        `perhaps` where only a record without a date, or less certain than near is far, may be near.
        """
        answer: Found = "absent"
        for other in self._around(species, spot):
            if not self._is_near(spot, other):
                continue
            if other.years and self._tells(other):
                return "found"
            answer = "perhaps"
        return answer

    def parents(self, parents: Sequence[str], spot: Spot) -> str:
        """`both`, `one` or `none` of the parents near a spot; '' where that cannot be told."""
        if not spot.years or not self._tells(spot):
            return ""
        found = [self.near(parent, spot) for parent in parents]
        if all(answer == "found" for answer in found):
            return "both"
        if "perhaps" in found:
            return ""
        return "one" if "found" in found else "none"

    def _tells(self, spot: Spot) -> bool:
        return spot.uncertainty_m <= self._near_m

    def _is_near(self, spot: Spot, other: Spot) -> bool:
        allowed = self._near_m + spot.uncertainty_m + other.uncertainty_m
        if metres(spot, other) > allowed:
            return False
        if not spot.years or not other.years:
            return True
        gap = max(spot.years[0] - other.years[1], other.years[0] - spot.years[1])
        return gap <= self._years

    def _around(self, species: str, spot: Spot) -> Iterator[Spot]:
        reach = (self._near_m + spot.uncertainty_m + self._vaguest) / DEGREE_M * BLOCKS
        row, column = _block(spot.latitude, spot.longitude)
        rows = ceil(reach)
        columns = ceil(reach / max(cos(radians(abs(spot.latitude) + rows / BLOCKS)), 0.01))
        for i in range(row - rows, row + rows + 1):
            for j in range(column - columns, column + columns + 1):
                yield from self._blocks.get((species, i, j % (360 * BLOCKS)), {}).values()


def _block(latitude: float, longitude: float) -> tuple[int, int]:
    return floor(latitude * BLOCKS), floor(longitude * BLOCKS) % (360 * BLOCKS)


def metres(first: Spot, second: Spot) -> float:
    """The great-circle distance (haversine); within 0.6 % of that on the ellipsoid."""
    a, b = radians(first.latitude), radians(second.latitude)
    across = radians(second.longitude - first.longitude)
    half = sin((b - a) / 2) ** 2 + cos(a) * cos(b) * sin(across / 2) ** 2
    return 2 * EARTH_M * asin(sqrt(min(half, 1.0)))


def spot_of(where: Where, when: When) -> Spot | None:
    """The spot of a record; None where its place has no coordinates.

    Coordinates without any uncertainty are taken at their word.
    """
    if where.place is None:
        return None
    stated = where.terms.get("coordinateUncertaintyInMeters", "")
    uncertainty = float(stated or where.place.uncertainty_m or 0)
    return Spot(where.place.latitude, where.place.longitude, uncertainty, _years(when))


def _years(when: When) -> tuple[int, int] | None:
    days = when.terms.get("eventDate", "").split("/")
    years = [int(day[:4]) for day in days if day[:4].isdecimal() and len(day) >= 4]
    return (min(years), max(years)) if years else None


class Parents:
    """Knows where the parents of the rulebooks' crosses were recorded, once it has been told.

    Calling it answers for one record: `both`, `one`, `none`, or '' where it cannot be told.
    """

    def __init__(self, rulebooks: Sequence[Rulebook], kilometres: float, years: int) -> None:
        self._rulebooks = {book.id: book for book in rulebooks}
        self._parents = {
            book.id: frozenset(p for hybrid in book.hybrids for p in hybrid.parents)
            for book in rulebooks
        }
        self.sightings = Sightings(kilometres, years)

    def learn(
        self,
        claims: Coded[Claim],
        where: Coded[Where],
        when: Coded[When],
        status: Coded[str],
    ) -> None:
        """Remember the records that name a parent without doubt, and do not say it was absent."""
        species = distinct(claims.map(self._species))
        there = distinct(status.map(lambda word: word.strip().casefold() not in _NOT_THERE))
        for key, place, time, present in cross(species, where, when, there).values:
            if key and present and (spot := spot_of(place, time)):
                self.sightings.add(key, spot)

    def __call__(self, name: Name, where: Where, when: When) -> str:
        spot = spot_of(where, when)
        parents = [f"{name.rulebook}:{parent}" for parent in name.parents]
        return self.sightings.parents(parents, spot) if spot and parents else ""

    def _species(self, claim: Claim) -> str:
        name = claim.name
        book = self._rulebooks.get(name.rulebook)
        if not book or name.taxon not in book.taxa or name.qualifier or claim.qualifier:
            return ""
        line = book.lines_up[name.taxon]
        parent = next((taxon for taxon in line if taxon in self._parents[book.id]), "")
        return f"{book.id}:{parent}" if parent else ""
