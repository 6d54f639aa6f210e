"""Coarse squares: which they are, that they are nested, and what they say of themselves."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod, Transformer

from crossproof.parse.coarse import coarsen
from crossproof.parse.place import Place, PlaceError, parse_place
from crossproof.sensitive.area import Area, outline_of, ring_of
from crossproof.sensitive.level import SIDES, WITHHELD, read_level, step

GEOD = Geod(ellps="WGS84")

# Ordnance Survey, "A guide to coordinate systems in Great Britain", for squares read off digits;
# tetrad letters (DINTY) are common practice, no published source.
SQUARES = [
    ("SU1234567890", 100, "SU123678"),
    ("SU1234567890", 1000, "SU1267"),
    ("SU1234567890", 2000, "SU16I"),
    ("SU1234567890", 10_000, "SU16"),
    ("O1234567890", 2000, "O16I"),
    ("WV6512345678", 1000, "WV6545"),
    ("SU123678", 100, "SU123678"),
    ("SU16", 1000, "SU16"),
    ("SU16I", 1000, "SU16I"),
    ("SU16NW", 2000, "SU16NW"),
    ("SU16NW", 10_000, "SU16"),
]


@pytest.mark.parametrize(("reference", "side", "expected"), SQUARES)
def test_the_square_that_holds_a_place(reference: str, side: int, expected: str) -> None:
    assert coarsen(parse_place(reference), side).grid_reference == expected


@given(
    st.floats(-79.9, 83.9, allow_nan=False),
    st.floats(-180, 180, allow_nan=False, exclude_max=True),
    st.sampled_from(SIDES),
)
def test_the_coarse_square_holds_the_point(latitude: float, longitude: float, side: int) -> None:
    """Anywhere on Earth; the uncertainty reaches from the centre to the place itself."""
    coarse = coarsen(_at(latitude, longitude), side)
    _, _, metres = GEOD.inv(longitude, latitude, coarse.longitude, coarse.latitude)
    assert metres <= coarse.uncertainty_m


@given(st.floats(49.9, 58.5), st.floats(-5, 1.5), st.data())
def test_coarser_squares_hold_the_finer_ones(
    latitude: float, longitude: float, data: st.DataObject
) -> None:
    """So two releases of one record tell no more than the finer of them."""
    finer, coarser = sorted(data.draw(st.sampled_from(SIDES)) for _ in range(2))
    place = _at(latitude, longitude)
    small, large = coarsen(place, finer), coarsen(place, coarser)
    if not small.grid_reference:  # the sea: squares of UTM
        to_utm = Transformer.from_crs(4326, 32600 + int((longitude + 180) // 6) + 1, always_xy=True)
        corners = [to_utm.transform(*point) for point in ring_of(small.footprint_wkt)]
        outer = [to_utm.transform(*point) for point in ring_of(large.footprint_wkt)]
        xs, ys = zip(*outer, strict=True)
        for x, y in corners:
            assert min(xs) - 0.1 <= x <= max(xs) + 0.1
            assert min(ys) - 0.1 <= y <= max(ys) + 0.1
        return
    assert coarsen(small, coarser).grid_reference == large.grid_reference
    (a, b), (c, d) = _box(large.grid_reference), _box(small.grid_reference)
    assert a[0] <= c[0] and a[1] <= c[1] and b[0] >= d[0] and b[1] >= d[1]


def _box(reference: str) -> tuple[tuple[int, int], tuple[int, int]]:
    """Within its 100 km square: south-west and north-east corner in metres, worked out anew."""
    digits = re.sub(r"\D", "", reference)
    half = len(digits) // 2
    side = 10 ** (5 - half)
    west, south = int(digits[:half]) * side, int(digits[half:]) * side
    if reference[-1].isalpha() and half == 1:
        column, row = divmod("ABCDEFGHIJKLMNPQRSTUVWXYZ".index(reference[-1]), 5)
        west, south, side = west + column * 2000, south + row * 2000, 2000
    return (west, south), (west + side, south + side)


def test_no_square_near_the_poles() -> None:
    assert coarsen(_at(89.0, 3.0), 1000) is None


def _at(latitude: float, longitude: float) -> Place:
    return Place(latitude, longitude, None, "", "", "EPSG:4326", "", "", "latlon")


LEVELS = [
    ("", 0),
    ("no", 0),
    ("Yes", 10_000),
    ("100 m", 100),
    ("100m", 100),
    ("1km", 1000),
    ("1 km square", 1000),
    ("2 km", 2000),
    ("10 km", 10_000),
    ("hectad", 10_000),
    ("5 km", 10_000),
    ("20 km", WITHHELD),
    ("Withhold", WITHHELD),
    ("perhaps", None),
]


@pytest.mark.parametrize(("cell", "level"), LEVELS)
def test_what_a_cell_asks_for(cell: str, level: int | None) -> None:
    assert read_level(cell) == level


@given(st.floats(0.001, 1e6))
def test_a_step_is_never_finer_than_asked(metres: float) -> None:
    assert step(metres) >= metres


SQUARE = Area(ring_of(parse_place("SU1267").footprint_wkt), 1000)
TOUCHING = [
    ("SU1267", True),
    ("SU123678", True),
    ("SU16", True),  # it may lie there
    ("SU1367", False),  # the neighbour shares an edge, no ground
    ("SU1368", False),
    ("SU1167", False),
    ("SU17", False),
]


@pytest.mark.parametrize(("reference", "touches"), TOUCHING)
def test_which_places_lie_in_an_area(reference: str, touches: bool) -> None:
    assert SQUARE.touches(outline_of(parse_place(reference))) is touches


def test_a_point_with_its_uncertainty() -> None:
    inside, near = parse_place("SU1267"), parse_place("SU1367")
    point = _at(inside.latitude, inside.longitude)
    assert SQUARE.touches(outline_of(point))
    point = _at(near.latitude, near.longitude)
    assert not SQUARE.touches(outline_of(point))
    vague = Place(near.latitude, near.longitude, 600, "", "", "", "", "", "latlon")
    assert SQUARE.touches(outline_of(vague))


def test_the_uncertainty_is_that_of_the_square() -> None:
    """Half the diagonal, rounded up, and the transformation's accuracy (Chapman & Wieczorek 2020,
    Georeferencing Quick Reference Guide: 1 km → 707 m, rounded)."""
    coarse = coarsen(parse_place("SU1234567890"), 1000)
    assert math.ceil(500 * math.sqrt(2)) <= coarse.uncertainty_m <= 710


def test_a_place_at_sea_has_a_square_too() -> None:
    with pytest.raises(PlaceError):
        parse_place("OW1234")
    assert coarsen(_at(50.5, 1.5), 1000).footprint_wkt
