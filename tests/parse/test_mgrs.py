"""Military grid references against GEOTRANS, by the library `mgrs` that carries it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from mgrs import MGRS
from pyproj import Geod

from crossproof.parse.place import PlaceError, parse_place

GEOD, REFERENCE = Geod(ellps="WGS84"), MGRS()
LATITUDES, LONGITUDES = st.floats(49.0, 60.9), st.floats(-10.5, 1.9)


@given(latitude=LATITUDES, longitude=LONGITUDES, digits=st.integers(1, 5), spaced=st.booleans())
def test_the_square_of_a_reference_holds_its_point(latitude, longitude, digits, spaced) -> None:
    written = REFERENCE.toMGRS(latitude, longitude, MGRSPrecision=digits)
    text = written
    if spaced:
        text = f"{written[:3]} {written[3:5]} {written[5 : 5 + digits]} {written[5 + digits :]}"
    place = parse_place(text)
    apart = GEOD.inv(longitude, latitude, place.longitude, place.latitude)[2]
    side = 10 ** (5 - digits)
    assert place.uncertainty_m is not None
    assert apart <= place.uncertainty_m <= 0.71 * side + 2


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("30U XC 995 097", "MGRS 30U XC 995 097"),
        ("30U XC 995 097", "30uxc995097"),
        ("30U WV 650 480", "WV 650 480"),  # the Channel Islands' squares are these
        ("29U PV 823 142", "29U PV 823 142 (WGS84)"),
    ],
)
def test_other_ways_to_write_one(text: str, same: str) -> None:
    one, other = parse_place(text), parse_place(same)
    assert (one.latitude, one.longitude) == (other.latitude, other.longitude)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("30U XC 9950 97", "uneven_halves"),
        ("30U XC 995", "odd_digits"),
        ("30U JC 995 097", "unknown_letters"),  # zone 30 has no column J
        ("30U XS 995 097", "off_grid"),  # far north of these islands
    ],
)
def test_what_is_refused(text: str, reason: str) -> None:
    with pytest.raises(PlaceError) as refused:
        parse_place(text)
    assert refused.value.reason == reason
