"""What must hold of every place, whatever the text."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from pyproj import Geod

from crossproof.parse._transform import to_wgs84
from crossproof.parse.grid import is_square
from crossproof.parse.place import PlaceError, parse_latlon, parse_place, places

GEOD = Geod(ellps="WGS84")
LETTERS = [
    a + b
    for a in "ABCDEFGHJKLMNOPQRSTUVWXYZ"
    for b in ["", *"ABCDEFGHJKLMNOPQRSTUVWXYZ"]
    if is_square(a + b)
]
TETRADS = "ABCDEFGHIJKLMNPQRSTUVWXYZ"
MARKS = st.text(alphabet="SUNWEO0123456789 .,-°'\"/()±?mkcnsewlatd:;", max_size=24)


@st.composite
def references(draw: st.DrawFn) -> str:
    letters = draw(st.sampled_from(LETTERS))
    # "NA" alone is a cell's way to say that nothing is known, before it is a square.
    half = draw(st.integers(letters == "NA", 5))
    digits = draw(st.text(alphabet="0123456789", min_size=2 * half, max_size=2 * half))
    suffixes = {1: ["", "NW", "NE", "SW", "SE", *TETRADS], 2: ["", "NW", "NE", "SW", "SE"]}
    return letters + digits + draw(st.sampled_from(suffixes.get(half, [""])))


@given(st.one_of(st.text(max_size=60), MARKS))
@example("geo:°W°01-1.2")
@example("\x00")
@example("٣٤ N 1 W")
@example("SU" + "." * 250 + "x")
def test_no_text_raises_anything_but_a_place_error(text: str) -> None:
    try:
        found = parse_place(text)
    except PlaceError as error:
        assert error.remedy and str(error)
    else:
        assert -90 <= found.latitude <= 90 and -180 <= found.longitude <= 180
        assert found.uncertainty_m is None or found.uncertainty_m >= 1


@given(
    st.one_of(st.text(max_size=20), MARKS),
    st.one_of(st.text(max_size=20), MARKS),
    st.sampled_from(["", "OSGB36", "TM65", "ITM", "EPSG:27700", "nonsense"]),
)
def test_no_columns_raise_anything_but_a_place_error(lat: str, lon: str, datum: str) -> None:
    try:
        parse_latlon(lat, lon, datum)
    except PlaceError as error:
        assert error.remedy and str(error)


@given(references())
def test_a_canonical_reference_reads_as_itself(reference: str) -> None:
    found = parse_place(reference)
    assert found.grid_reference == reference
    assert parse_place(found.grid_reference) == found


@given(references(), st.sampled_from(["{0}", " {0} ", "NGR {0}", "c. {0}", "({0})", "{0}?"]))
def test_what_stands_round_a_reference_does_not_move_it(reference: str, around: str) -> None:
    if len(reference) < 3:
        return
    dressed, bare = parse_place(around.format(reference)), parse_place(reference)
    assert dressed.grid_reference == reference
    assert (dressed.latitude, dressed.longitude) == (bare.latitude, bare.longitude)


@settings(max_examples=300)
@given(references())
def test_the_circle_holds_the_corners(reference: str) -> None:
    """The corners lie within the uncertainty of the centre, on the ground.

    A 100 km square is let off by the grid's scale on its central meridian (0.9996, 28 m in 70 km):
    half the diagonal is in grid metres, which are a little longer there than the ground's.
    """
    found = parse_place(reference)
    ring = found.footprint_wkt.removeprefix("POLYGON ((").removesuffix("))").split(", ")
    assert found.uncertainty_m is not None
    allowed = found.uncertainty_m * (1.0004 if len(ring) > 5 else 1)
    for corner in ring:
        lon, lat = map(float, corner.split())
        _, _, metres = GEOD.inv(found.longitude, found.latitude, lon, lat)
        assert metres <= allowed + 0.02  # seven decimals of a degree are one centimetre


@given(references())
def test_the_uncertainty_is_half_the_diagonal_and_the_accuracy(reference: str) -> None:
    found = parse_place(reference)
    digits = sum(c.isdigit() for c in reference)
    side = 100_000 / 10 ** (digits // 2)
    tail = reference.lstrip("ABCDEFGHJKLMNOPQRSTUVWXYZ").lstrip("0123456789")
    side = side / 2 if len(tail) == 2 else 2000 if tail else side
    half = side / math.sqrt(2)
    assert found.uncertainty_m is not None
    assert half <= found.uncertainty_m <= half + 3


@given(st.floats(49, 61), st.floats(-10.9, 2.1))
def test_degrees_read_in_four_notations_are_the_same(latitude: float, longitude: float) -> None:
    latitude, longitude = round(latitude, 5), round(longitude, 5)
    east = "E" if longitude >= 0 else "W"
    plain = parse_place(f"{latitude:.5f}, {longitude:.5f}")
    lettered = parse_place(f"{latitude:.5f} N {abs(longitude):.5f} {east}")
    assert (plain.latitude, plain.longitude) == (lettered.latitude, lettered.longitude)
    parts = [(int(v), (v - int(v)) * 60) for v in (latitude, abs(longitude))]
    minutes = "{}°{:.8f}'N {}°{:.8f}'{}".format(*parts[0], *parts[1], east)
    if "60.0000" not in minutes:
        found = parse_place(minutes)
        assert (found.latitude, found.longitude) == pytest.approx((latitude, longitude), abs=2e-7)
    there = parse_latlon(f"{latitude:.5f}", f"{longitude:.5f}", "WGS84")
    assert (there.latitude, there.longitude) == (plain.latitude, plain.longitude)


@given(st.lists(st.one_of(references(), MARKS), max_size=12))
def test_many_at_once_are_as_one_by_one(texts: list[str]) -> None:
    for text, found in zip(texts, places(texts), strict=True):
        if isinstance(found, PlaceError):
            with pytest.raises(PlaceError, match=r".*") as caught:
                parse_place(text)
            assert caught.value.reason == found.reason
        else:
            assert parse_place(text) == found


def test_a_point_no_pinned_operation_reaches_is_an_error() -> None:
    with pytest.raises(ValueError, match="no pinned operation"):
        to_wgs84("GB", [[(math.inf, 0.0)]])
