"""Datums and units against the libraries and agreements that define them."""

from __future__ import annotations

import math

import pytest
from pyproj import CRS, Geod
from pyproj.transformer import TransformerGroup

from crossproof.quality import countries, datum
from crossproof.quality.coordinates import pair
from crossproof.quality.datumshift import _by_code, widest_shift
from crossproof.quality.heights import METRES


@pytest.mark.parametrize(
    ("code", "latitude", "longitude"),
    [("4301", 35.7, 139.7), ("4267", 40.0, -100.0), ("4277", 52.0, -1.5), ("4202", -30.0, 130.0)],
)
def test_no_datum_is_further_off_than_the_widest_shift(
    code: str, latitude: float, longitude: float
) -> None:
    """Against PROJ's own transformations (Tokyo, NAD27, OSGB36, AGD66 to WGS 84), 15 m allowed for
    the rotations and scales that the widest shift leaves out."""
    assert code in _by_code()
    group = TransformerGroup(f"EPSG:{code}", "EPSG:4326", always_xy=True, allow_ballpark=False)
    widest = widest_shift("EPSG:4326", latitude, longitude)
    assert widest is not None
    for transformer in group.transformers:
        east, north = transformer.transform(longitude, latitude)
        if math.isfinite(east):
            metres = Geod(ellps="WGS84").inv(longitude, latitude, east, north)[2]
            assert metres <= widest + 15


def test_the_widest_shift_of_a_datum_against_itself_alone_is_not_nought() -> None:
    assert widest_shift("EPSG:4326", 51.0, 0.0) != widest_shift("EPSG:4277", 51.0, 0.0)
    assert widest_shift("EPSG:27700", 51.0, 0.0) is None


@pytest.mark.parametrize(
    "name", ["OSGB36", "ETRS89", "GDA94", "ED50", "Pulkovo 1942", "SIRGAS 2000"]
)
def test_a_datum_name_leads_to_the_system_that_pyproj_calls_so(name: str) -> None:
    code = datum.interpret(name)
    assert code is not None
    assert CRS.from_user_input(code).name == name
    assert datum.is_valid_code(code)


def test_units_are_those_of_the_agreement_of_1959() -> None:
    """International yard and pound agreement: a yard is 0.9144 m; PROJ's own table of units."""
    from pyproj.database import get_units_map

    units = get_units_map(category="linear")
    assert float(METRES["ft"]) == units["foot"].conv_factor
    assert float(METRES["yd"]) == units["yard"].conv_factor
    assert float(METRES["fathom"]) == units["fathom"].conv_factor


def test_iso_6709_puts_latitude_first() -> None:
    both = pair("12.5, 45.25")
    assert both is not None
    assert (both[0].decimal(), both[1].decimal()) == ("12.5", "45.25")


def test_countries_are_those_of_pycountry() -> None:
    import pycountry

    assert countries.codes() >= {country.alpha_2 for country in pycountry.countries}
    assert all(countries.code_for(each.alpha_3) == each.alpha_2 for each in pycountry.countries)
    assert all(each.alpha_2 in countries.by_name()[each.name] for each in pycountry.countries)
    assert set(countries._extra()) <= countries.codes()
