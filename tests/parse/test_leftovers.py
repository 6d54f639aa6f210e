"""What no parser reads goes on as it was given."""

from __future__ import annotations

import json

import pytest

from crossproof.parse.records import Reader


@pytest.fixture(scope="module")
def reader(books) -> Reader:
    return Reader(tuple(books.values()))


@pytest.fixture
def records(reader, chunk):
    def read(headings=None, **columns):
        given = {"scientificName": "D. fuchsii", "eventDate": "2019", "locality": "Fen", **columns}
        return reader.read(chunk(given, headings))

    return read


def extra(records) -> dict:
    (text,) = records.extra
    return json.loads(text) if text else {}


@pytest.mark.parametrize(
    ("columns", "expected"),
    [
        ({}, {}),
        ({"?Warden's tick": "y"}, {"Warden's tick": "y"}),
        ({"?Warden's tick": ""}, {}),
        ({"?Note": " two\nlines "}, {"Note": " two\nlines "}),
        ({"leaf": "lvs plain"}, {"leaf": "lvs plain"}),
        ({"photo": "a.jpg", "parents": "both"}, {"photo": "a.jpg", "parents": "both"}),
        ({"recordedBy": "Mab Thornley"}, {}),  # a Darwin Core term of its own
        ({"vernacularName": "Common Spotted"}, {"vernacularName": "Common Spotted"}),
        ({"verbatimIdentification": "CSO"}, {"scientificName": "D. fuchsii"}),
        ({"verbatimIdentification": "D. fuchsii"}, {}),
        ({"scientificNameAuthorship": "Druce"}, {"scientificNameAuthorship": "Druce"}),
        (
            {"eventDate": "14.6.2019", "verbatimEventDate": "that summer"},
            {"eventDate": "14.6.2019"},
        ),
        ({"eventDate": "2019-06-14", "verbatimEventDate": "that summer"}, {}),
        ({"coordinateUncertaintyInMeters": "5"}, {"coordinateUncertaintyInMeters": "5"}),
        # Submitted properties stay properties …
        ({"dynamicProperties": '{"girth": 3}'}, {"girth": 3}),
        ({"dynamicProperties": '{"girth": 3}', "?Tick": "y"}, {"girth": 3, "Tick": "y"}),
        # … and what is no JSON object, or would not be written the same again, stays in one piece.
        ({"dynamicProperties": "girth 3"}, {"dynamicProperties": "girth 3"}),
        ({"dynamicProperties": "[1]"}, {"dynamicProperties": "[1]"}),
        ({"dynamicProperties": '{"a": NaN}'}, {"dynamicProperties": '{"a": NaN}'}),
        ({"dynamicProperties": '{"a": 1e999}'}, {"dynamicProperties": '{"a": 1e999}'}),
        ({"dynamicProperties": '{"a": 1.10}'}, {"dynamicProperties": '{"a": 1.10}'}),
        ({"dynamicProperties": '{"a": 1.5}'}, {"a": 1.5}),
        ({"dynamicProperties": '{"a": 1, "a": 2}'}, {"dynamicProperties": '{"a": 1, "a": 2}'}),
        ({"dynamicProperties": '{"a": "\\ud800"}'}, {"dynamicProperties": '{"a": "\\ud800"}'}),
        (
            {"dynamicProperties": '{"Tick": 1}', "?Tick": "y"},
            {"dynamicProperties": '{"Tick": 1}', "Tick": "y"},
        ),
    ],
)
def test_extra_properties(records, columns, expected) -> None:
    assert extra(records(**columns)) == expected


def test_deep_nesting_is_text() -> None:
    from crossproof.parse.leftovers import _as_json

    deep = '{"a":' * 100_000
    assert json.loads(_as_json({}, deep)) == {"dynamicProperties": deep}


def test_headings_name_the_properties(records) -> None:
    read = records({"leaf": "Lvs", "vernacularName": "English"}, leaf="plain", vernacularName="CSO")
    assert extra(read) == {"Lvs": "plain", "English": "CSO"}


def test_terms_that_nobody_reads_are_given_as_they_are(records) -> None:
    read = records(recordedBy=" Mab ", individualCount="12", leaf="plain", photo="y", soil="acid")
    assert {term: [*column] for term, column in read.given.items()} == {
        "recordedBy": [" Mab "],
        "individualCount": ["12"],
    }
