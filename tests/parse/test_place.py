"""Places as people write them: spellings of one place, refusals and their reasons, assumptions."""

from __future__ import annotations

import itertools
import json
import pickle
from pathlib import Path
from typing import Any

import pytest

from crossproof.parse.place import Place, PlaceError, parse_latlon, parse_place, places

VECTORS: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "vectors" / "places.json").read_text(encoding="utf-8")
)
SPELLINGS: dict[str, list[str]] = VECTORS["spellings"]["references"]
POSITIONS: list[dict[str, Any]] = VECTORS["positions"]["cases"]
REFUSED: dict[str, list[str]] = VECTORS["refused"]["reasons"]


@pytest.mark.parametrize(
    ("text", "reference"),
    [(t, ref) for ref, several in SPELLINGS.items() for t in several],
)
def test_spellings_of_a_square(text: str, reference: str) -> None:
    found = parse_place(text)
    assert found.grid_reference == reference
    canonical = parse_place(reference)
    assert (found.latitude, found.longitude) == (canonical.latitude, canonical.longitude)
    assert found.uncertainty_m == canonical.uncertainty_m
    assert found.datum == "EPSG:4326"


@pytest.mark.parametrize(
    ("text", "position"),
    [(t, (c["latitude"], c["longitude"])) for c in POSITIONS for t in c["inputs"]],
)
def test_spellings_of_a_position(text: str, position: tuple[float, float]) -> None:
    found = parse_place(text)
    assert (found.latitude, found.longitude) == pytest.approx(position, abs=1e-6)
    assert found.system == "latlon"
    assert found.grid_reference == found.footprint_wkt == ""
    assert found.uncertainty_m in (None, 10)


@pytest.mark.parametrize(
    ("text", "reason"),
    [(t, reason) for reason, several in REFUSED.items() for t in several],
)
def test_refusals(text: str, reason: str) -> None:
    with pytest.raises(PlaceError) as caught:
        parse_place(text)
    assert caught.value.reason == reason, str(caught.value)
    assert caught.value.remedy


@pytest.mark.parametrize(
    ("text", "system"), [("SU12", "GB"), ("N12", "IE"), ("WV65", "CI"), ("51.5, -1.2", "latlon")]
)
def test_systems(text: str, system: str) -> None:
    assert parse_place(text).system == system


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("c. SU 123 456", "near by"),
        ("SU 12 34 56", "spaces"),
        ("SU 1O3 456", "read as the digits"),
        ("412300 145600", "British National Grid"),
        ("OSGB 412300 145600", "zeros at the end"),
        ("Fen, SU 123 456", "among other words"),
        ("51,5012 -1,2345", "commas"),
        ("48.8566, 2.3522", "outside Britain and Ireland"),
        ("N", "a letter alone"),
        ("41/123456", "before the stroke"),
        ("SU 123 456?", "question mark"),
    ],
)
def test_assumptions_are_told(text: str, part: str) -> None:
    found = parse_place(text)
    assert any(part in assumption for assumption in found.assumptions)
    assert part.lower() in found.remarks.lower()


def test_nothing_is_assumed_of_a_plain_reference() -> None:
    assert parse_place("SU 123 456").assumptions == ()
    assert parse_place("51.5012, -1.2345").assumptions == ()


def test_stated_uncertainty_widens_and_never_narrows() -> None:
    assert parse_place("SU 123 456 ± 500 m").uncertainty_m == 500
    assert parse_place("SU 123 456 ± 5 m").uncertainty_m == parse_place("SU123456").uncertainty_m
    assert parse_place("51.5012, -1.2345 +/- 30m").uncertainty_m == 30
    assert parse_place("51.5012, -1.2345 ±0.5 km").uncertainty_m == 500
    assert parse_place("SU 123 456 (1 km)").uncertainty_m == 708


@pytest.mark.parametrize(
    ("latitude", "longitude", "datum", "reason"),
    [
        ("", "", "", "empty"),
        ("51.5", "", "", "half_a_coordinate"),
        ("", "-1.5", "", "half_a_coordinate"),
        ("abc", "-1.5", "", "half_a_coordinate"),
        ("-1.5", "51.5", "", "swapped"),
        ("1.5 W", "51.5 N", "", "swapped"),
        ("0", "0", "WGS84", "zero"),
        ("0.0", "0.00", "", "zero"),
        ("91", "0.5", "", "out_of_bounds"),
        ("51.5", "-1.5", "Mars 2000", "unknown_datum"),
        ("700000", "700000", "OSGB36 / British National Grid", "off_grid"),
        ("412300", "145600", "EPSG:27700", "swapped"),
    ],
)
def test_columns_refused(latitude: str, longitude: str, datum: str, reason: str) -> None:
    with pytest.raises(PlaceError) as caught:
        parse_latlon(latitude, longitude, datum)
    assert caught.value.reason == reason


@pytest.mark.parametrize(
    ("latitude", "longitude", "datum"),
    [
        ("51.5012", "-1.2345", "WGS84"),
        ("51.5012", "-1.2345", "EPSG:4326"),
        ("51.5012", "-1.2345", "wgs 84"),
        ("51,5012", "-1,2345", "WGS84"),
        ("51.5012 N", "1.2345 W", "WGS84"),
        ("51.5012°", "1.2345°W", "WGS84"),
        ("51° 30.072' N", "1° 14.07' W", "WGS84"),
        ("lat 51.5012", "lon -1.2345", "WGS84"),
        (" 51.5012 ", "−1.2345", "WGS84"),
    ],
)
def test_columns_read(latitude: str, longitude: str, datum: str) -> None:
    found = parse_latlon(latitude, longitude, datum)
    assert (found.latitude, found.longitude) == pytest.approx((51.5012, -1.2345), abs=1e-7)
    assert found.assumptions == ()


def test_columns_without_a_datum_are_taken_for_wgs84() -> None:
    assert any("WGS 84" in note for note in parse_latlon("51.5", "-1.2").assumptions)


def test_columns_of_northing_and_easting() -> None:
    found = parse_latlon("145600", "412300", "OSGB36 / British National Grid")
    assert found.grid_reference == "SU1230045600"


def test_protocol_names_operation_and_accuracy() -> None:
    british, irish = parse_place("SU123456"), parse_place("N123456")
    assert "EPSG:27700" in british.protocol and "accuracy" in british.protocol
    assert "EPSG:1314" in british.protocol or "EPSG:7710" in british.protocol
    assert "EPSG:29903" in irish.protocol and "EPSG:1954" in irish.protocol
    assert "Centre of the 100 m square SU123456" in british.remarks


def test_footprint_is_the_square_longitude_first() -> None:
    wkt = parse_place("SU123456").footprint_wkt
    points = [tuple(map(float, p.split())) for p in wkt[len("POLYGON ((") : -2].split(", ")]
    assert len(points) == 5 and points[0] == points[-1]
    assert all(-2 < x < -1 and 51 < y < 52 for x, y in points)
    turning = sum(a * d - b * c for (a, b), (c, d) in itertools.pairwise(points))
    assert turning > 0, "anticlockwise"


def test_places_answers_each_in_order_and_errors_as_values() -> None:
    found = places(["SU12", "nonsense", "SU12", "N12", "51.5, -1.2", ""])
    assert [type(one) for one in found] == [Place, PlaceError, Place, Place, Place, PlaceError]
    assert found[0] == found[2] == parse_place("SU12")
    assert found[3] == parse_place("N12")


def test_errors_travel_between_processes() -> None:
    error = PlaceError("sea", "SA is in the sea")
    again = pickle.loads(pickle.dumps(error))
    assert (str(again), again.reason, again.remedy) == (str(error), "sea", error.remedy)
