"""Places in many voices: cards, herbarium labels, spreadsheets, GPS apps, and what looks like one.

`place_cases.csv`: a reference, `latitude longitude` in degrees, or a reason of refusal. Own cases;
the degrees of grid figures come from PROJ (EPSG:27700 by EPSG:1314, EPSG:29903 by EPSG:1954, UTM).
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from crossproof.parse.place import PlaceError, parse_latlon, parse_place
from crossproof.parse.place_error import vocabulary

with Path(__file__).with_name("place_cases.csv").open(encoding="utf-8", newline="") as file:
    CASES = [(row["verbatim"], row["expected"]) for row in csv.DictReader(file)]
REFUSED = [case for case in CASES if case[1] in vocabulary()["remedies"]]
POSITIONS = [case for case in CASES if case not in REFUSED and " " in case[1]]
SQUARES = [case for case in CASES if case not in REFUSED and " " not in case[1]]


@pytest.mark.parametrize(("text", "reason"), REFUSED)
def test_refused(text: str, reason: str) -> None:
    with pytest.raises(PlaceError) as caught:
        parse_place(text)
    assert caught.value.reason == reason, str(caught.value)


@pytest.mark.parametrize(("text", "position"), POSITIONS)
def test_positions(text: str, position: str) -> None:
    found = parse_place(text)
    # Five decimals are about a metre.
    assert (found.latitude, found.longitude) == pytest.approx(
        tuple(map(float, position.split())), abs=2e-5
    )


@pytest.mark.parametrize(("text", "reference"), SQUARES)
def test_squares(text: str, reference: str) -> None:
    found, plainly = parse_place(text), parse_place(reference)
    assert found.grid_reference == reference
    assert (found.latitude, found.longitude) == (plainly.latitude, plainly.longitude)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("SU 123 456, accuracy 500 m", 500),
        ("SU 123 456 (error 0.5 km)", 500),
        ("51.5012, -1.2345 acc 8 m", 8),
        ("geo:51.5012,-1.2345;u=8", 8),
        ("10-km square SU1234", 7072),
        ("51.5012, -1.2345 alt 86 m", None),
        ("51.5012, -1.2345, 86 m", None),
    ],
)
def test_stated_uncertainty_and_height(text: str, metres: int | None) -> None:
    assert parse_place(text).uncertainty_m == metres


@pytest.mark.parametrize(("zone", "longitude"), [(29, -9.0), (30, -3.0), (31, 3.0)])
def test_utm_columns(zone: int, longitude: float) -> None:
    """The central meridian of zone z is 6 z - 183 degrees (EPSG Guidance Note 7-2)."""
    found = parse_latlon("6050000", "500000", f"EPSG:326{zone}")
    assert found.longitude == pytest.approx(longitude, abs=1e-7)
    assert found.uncertainty_m == 1
    assert f"UTM zone {zone}N" in found.protocol


def test_a_number_that_a_spreadsheet_shortened_is_refused_in_columns_too() -> None:
    with pytest.raises(PlaceError, match="spreadsheet"):
        parse_latlon("5.15E+01", "-1.2345")
