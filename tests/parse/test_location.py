"""Where a record lies: grid references, coordinates and named places read together."""

from __future__ import annotations

import pytest

from crossproof.parse.location import Locations


@pytest.fixture(scope="module")
def locations(books) -> Locations:
    mentions = {m.id: m for book in books.values() for m in book.mentions if m.kind == "region"}
    return Locations(tuple(mentions.values()))


LATLON = {"decimalLatitude": "51.2", "decimalLongitude": "-1.8", "geodeticDatum": "WGS84"}


@pytest.fixture
def where(locations, cells):
    def read(**columns):
        (place,) = locations.read(cells({"scientificName": "x", **columns}))
        return place

    return read


def codes(place) -> list[str]:
    return [problem.code for problem in place.problems]


@pytest.mark.parametrize(
    ("columns", "readable", "expected"),
    [
        ({"gridReference": "SU 123 456"}, True, []),
        ({"verbatimCoordinates": "SU 123 456"}, True, []),
        ({"decimalLatitude": "51.2", "decimalLongitude": "-1.8"}, True, ["place_assumed"]),
        (LATLON, True, []),
        ({"easting": "412345", "northing": "145678"}, True, None),
        ({"locality": "Quillmere Fen"}, True, ["place_not_located"]),
        ({"county": "Quillshire"}, True, ["place_not_located"]),
        ({"gridReference": "SU 123 45", "locality": "Quillmere"}, True, ["place_bad_coordinates"]),
        ({"gridReference": "SU 123 45"}, False, ["place_unreadable"]),
        ({"gridReference": ""}, False, ["place_unreadable"]),
        ({"gridReference": " ", "locality": "\t"}, False, ["place_unreadable"]),
        ({"easting": "412345"}, False, ["place_unreadable"]),
        ({"decimalLatitude": "51.2"}, False, ["place_unreadable"]),
        ({"decimalLongitude": "51.2, -1.8"}, None, None),
        ({}, False, ["place_unreadable"]),
    ],
)
def test_what_can_be_read(where, columns, readable, expected) -> None:
    place = where(**columns)
    assert readable is None or place.readable is readable
    assert expected is None or codes(place) == expected


def test_a_bad_reference_beside_a_good_one_is_said(where) -> None:
    place = where(gridReference="SU 123 45", **LATLON)
    assert place.readable
    assert codes(place) == ["place_bad_coordinates"]
    assert place.terms["decimalLatitude"] == "51.200000"
    assert place.terms["verbatimCoordinates"] == "SU 123 45"


@pytest.mark.parametrize(
    ("latitude", "longitude", "expected"),
    [
        ("51.21", "-1.82", []),  # within the two uncertainties and a kilometre
        ("52.21", "-1.82", ["place_disagrees"]),  # a degree of latitude is some 111 km
    ],
)
def test_two_readings_that_lie_apart(where, latitude, longitude, expected) -> None:
    columns = {**LATLON, "decimalLatitude": latitude, "decimalLongitude": longitude}
    place = where(gridReference="SU 123 456", **columns)
    assert codes(place) == expected
    assert place.terms["footprintWKT"].startswith("POLYGON")  # the grid reference was used
    assert place.terms["verbatimLatitude"] == latitude


@pytest.mark.parametrize(
    ("given", "expected", "left"),
    [
        ("", "73", ()),  # half the diagonal of a 100 m square and the transformation's 2 m
        ("10", "73", (("coordinateUncertaintyInMeters", "10"),)),
        ("500", "500", ()),
        ("500 m", "500", (("coordinateUncertaintyInMeters", "500 m"),)),
        ("about 1 km", "73", (("coordinateUncertaintyInMeters", "about 1 km"),)),
        ("inf", "73", (("coordinateUncertaintyInMeters", "inf"),)),
        ("nan", "73", (("coordinateUncertaintyInMeters", "nan"),)),
        ("-4", "73", (("coordinateUncertaintyInMeters", "-4"),)),
        ("1e99", "73", (("coordinateUncertaintyInMeters", "1e99"),)),
    ],
)
def test_the_larger_uncertainty_holds(where, given, expected, left) -> None:
    place = where(gridReference="SU 123 456", coordinateUncertaintyInMeters=given)
    assert place.terms["coordinateUncertaintyInMeters"] == expected
    assert place.left == left


@pytest.mark.parametrize(
    ("columns", "region"),
    [
        ({"gridReference": "O 15 34"}, "Ireland"),
        ({"locality": "a bog in Ireland"}, "Ireland"),
        ({"locality": "a bog", "countryCode": "ie"}, "Ireland"),
        ({"decimalLatitude": "53.3", "decimalLongitude": "-6.3"}, "Ireland"),
        ({"locality": "somewhere in Cymru"}, "Wales"),
    ],
)
def test_regions(where, columns, region) -> None:
    assert region in where(**columns).mentions


@pytest.mark.parametrize(
    "columns",
    [
        {"gridReference": "SU 123 456", "verbatimCoordinates": "by GPS, SU 1234 4567"},
        {"gridReference": "SU 123 456", "easting": "412345", "northing": "145678"},
        {"locality": "Quillmere", "coordinateUncertaintyInMeters": "50"},
        {"decimalLatitude": "51.2", "decimalLongitude": "-1.8", "geodeticDatum": "WGS 84"},
        {"gridReference": "nonsense", "coordinateUncertaintyInMeters": "50"},
    ],
)
def test_no_word_is_lost(where, columns) -> None:
    place = where(**columns)
    kept = {*place.terms.values(), *(text for _, text in place.left)}
    assert set(columns.values()) <= kept


BRIEF = [
    {"gridReference": "SU 123 456"},
    {"gridReference": "SU 123 456", "coordinateUncertaintyInMeters": "500"},
    {"gridReference": "SU 123 45", **LATLON},
    {"gridReference": "SU 123 456", **LATLON, "decimalLatitude": "52.2"},
    {"verbatimCoordinates": "by GPS, SU 1234 4567", "locality": "a bog in Ireland"},
    {"easting": "412345", "northing": "145678"},
    {"locality": "Quillmere", "coordinateUncertaintyInMeters": "50"},
    {"gridReference": "nonsense"},
    {"gridReference": "SU1245", "verbatimCoordinates": "SU1245"},
    LATLON,
    {},
]


@pytest.mark.parametrize("columns", BRIEF)
def test_read_briefly_says_the_same_in_fewer_words(locations, cells, columns) -> None:
    given = cells({"scientificName": "x", **columns})
    (whole,), (brief,) = locations.read(given), locations.read_briefly(given)
    assert (brief.readable, brief.mentions) == (whole.readable, whole.mentions)
    for term in ("locality", "coordinateUncertaintyInMeters"):
        kept = whole.terms.get(term) if whole.readable else None
        assert brief.terms.get(term) == kept
    assert (brief.place is None) == (whole.place is None)
    if brief.place and whole.place:
        for name in ("latitude", "longitude", "uncertainty_m", "grid_reference", "system"):
            assert getattr(brief.place, name) == getattr(whole.place, name)


def test_what_this_project_located_before_is_read_briefly_too(locations, cells, where) -> None:
    before = where(gridReference="SU 123 456", locality="Quillmere")
    given = cells({"scientificName": "x", **before.terms})
    (whole,), (brief,) = locations.read(given), locations.read_briefly(given)
    assert brief.terms == {
        "locality": "Quillmere",
        "coordinateUncertaintyInMeters": before.terms["coordinateUncertaintyInMeters"],
    }
    assert brief.place == whole.place
