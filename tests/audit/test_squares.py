"""The squares that hold a place."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from crossproof.audit.squares import TEN_KM, VISIT, Squares
from crossproof.parse.grid import square_over
from crossproof.parse.grid_text import read_reference
from crossproof.parse.location import Where
from crossproof.parse.place import PlaceError, parse_place


def named(reference: str, side: int) -> str:
    return Squares().of(Where({}, True, place=parse_place(reference)), side)


@given(
    st.sampled_from(["SU", "TL", "NH", "SV", "HU", "J", "R", "WV"]),
    st.integers(1, 5).flatmap(lambda n: st.text("0123456789", min_size=2 * n, max_size=2 * n)),
    st.sampled_from([TEN_KM, VISIT]),
)
def test_the_square_is_the_one_that_lies_over_the_reference(
    letters: str, figures: str, side: int
) -> None:
    try:
        parse_place(letters + figures)
    except PlaceError:
        assume(False)
    own = read_reference(letters + figures, [])
    assert own is not None
    expected = "" if own.side > side else square_over(own.grid, *own.centre, side).reference
    assert named(letters + figures, side) == expected


@pytest.mark.parametrize(
    ("reference", "ten_km", "one_km"),
    [
        ("SU 123 456", "SU14", "SU1245"),
        ("SU14", "SU14", ""),
        ("SU14A", "SU14", ""),
        ("J 34", "J34", ""),
    ],
)
def test_squares_of_a_reference(reference: str, ten_km: str, one_km: str) -> None:
    assert (named(reference, TEN_KM), named(reference, VISIT)) == (ten_km, one_km)
