from __future__ import annotations

import csv
import os
from pathlib import Path

import pytest

from crossproof.read import Unreadable
from crossproof.read.headings import Recogniser, _known, distinct, local_name

EXTRA = {"leaf": ["leaves", "leaf markings"], "stem": ["stem hollow"], "flower": ["lip"]}


def fields(*headings: str, mapping: dict[str, str] | None = None) -> dict[str, str]:
    recogniser = Recogniser(mapping or {}, EXTRA)
    return dict(recogniser.read(headings, names=distinct(headings), where="a.csv").fields)


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        # Darwin Core text guide and List of Terms: a term by its name or its IRI
        ("scientificName", "scientificName"),
        ("dwc:scientificName", "scientificName"),
        ("http://rs.tdwg.org/dwc/terms/scientificName", "scientificName"),
        ("http://purl.org/dc/terms/license", "license"),
        ("dcterms:rightsHolder", "rightsHolder"),
        ("SCIENTIFICNAME", "scientificName"),
        ("Scientific Name", "scientificName"),
        ("decimal_latitude", "decimalLatitude"),
        ("coordinateUncertaintyInMeters", "coordinateUncertaintyInMeters"),
        ("order", "order"),
        ("dwc:group", "group"),
        # plain words: common practice, no published source
        ("Species", "scientificName"),
        ("Latin name", "scientificName"),
        ("Plant", "scientificName"),
        ("Common Name", "vernacularName"),
        ("Grid Ref.", "gridReference"),
        ("GRID_REF", "gridReference"),
        ("Grid ref (6 fig)", "gridReference"),
        ("NGR", "gridReference"),
        ("OSGR", "gridReference"),
        ("Date (dd/mm/yyyy)", "eventDate"),
        ("Date - dd/mm/yyyy", "eventDate"),
        ("Date of visit", "eventDate"),
        ("Recorder(s)", "recordedBy"),
        ("Site/Location", "locality"),
        ("Comments / notes", "occurrenceRemarks"),
        ("Lat", "decimalLatitude"),
        ("LONG", "decimalLongitude"),
        ("Lat/Long", "verbatimCoordinates"),
        ("VC", "county"),
        ("Photo (Y/N)", "photo"),
        ("Photo?", "photo"),
        ("Image\nfile", "photo"),
        ("Det. by", "identifiedBy"),
        ("Determination", "scientificName"),
        ("Soil pH", "soil"),
        ("photo_parts", "photoParts"),
        ("flowerOnly", "flowerOnly"),
        # a rulebook's characters
        ("Leaves", "leaf"),
        ("leaf", "leaf"),
        ("Leaf markings (1-4)", "leaf"),
        ("STEM HOLLOW?", "stem"),
    ],
)
def test_a_heading_is_recognised(heading: str, field: str) -> None:
    assert fields(heading) == {field: distinct([heading])[0]}


@pytest.mark.parametrize(
    "heading", ["", "Moon", "Group", "Species/Date", "Leaf sides", "Recorder/Determiner", "x" * 200]
)
def test_a_heading_is_left_alone(heading: str) -> None:
    assert fields(heading) == {}


@pytest.mark.parametrize(
    ("headings", "expected"),
    [
        (
            ["Species", "Latin name", "Common name"],
            {"scientificName": "Latin name", "vernacularName": "Common name"},
        ),
        (["Name", "Species"], {"scientificName": "Species"}),
        (["Genus", "Species"], {"genus": "Genus", "specificEpithet": "Species"}),
        (["Species", "scientificName"], {"scientificName": "scientificName"}),
        (["Date", "eventDate"], {"verbatimEventDate": "Date", "eventDate": "eventDate"}),
        (["Date", "Date (as text)"], {"eventDate": "Date", "verbatimEventDate": "Date (as text)"}),
        (["Site", "Location"], {"locality": "Site", "verbatimLocality": "Location"}),
        (["Site", "Parish"], {"locality": "Site", "municipality": "Parish"}),
        (["County", "VC"], {"county": "County", "higherGeography": "VC"}),
        (["VC", "Vice-county"], {"county": "VC", "higherGeography": "Vice-county"}),
        (["Comments", "Notes"], {"occurrenceRemarks": "Comments", "fieldNotes": "Notes"}),
        (
            ["Photo 1", "Photo 2", "Photo 3"],
            {"photo": "Photo 1", "associatedMedia": "Photo 2"},
        ),
        (["Record ID", "Ref"], {"occurrenceID": "Record ID", "otherCatalogNumbers": "Ref"}),
    ],
)
def test_headings_that_go_together(headings: list[str], expected: dict[str, str]) -> None:
    assert fields(*headings) == expected


@pytest.mark.parametrize(
    "headings",
    [
        ["Species", "Taxon"],
        ["Grid ref", "OSGR"],
        ["Date", "Survey date"],
        ["Leaf", "Leaves"],
        ["dwc:scientificName", "scientificName"],
        ["Date", "Date"],
    ],
)
def test_two_headings_for_one_field(headings: list[str]) -> None:
    with pytest.raises(Unreadable) as refused:
        fields(*headings)
    first, second = distinct(headings)
    assert f"a.csv: the headings {first!r} and {second!r} both stand for " in str(refused.value)


def test_a_mapping_outranks_all() -> None:
    given = {"scientificName": "Date", "eventDate": "Date (column C)"}
    assert fields("scientificName", "Date", "Date", mapping=given) == {
        "scientificName": "Date",
        "eventDate": "Date (column C)",
    }


def test_what_is_said() -> None:
    headings = ["Species", "Taxon name", "leaf", "Moon"]
    found = Recogniser({}, EXTRA).read(headings, names=headings, where="a.csv").findings
    assert [(f.code, f.column, f.message) for f in found] == [
        (
            "heading_unknown",
            "Species",
            "'Species' means scientificName too, for which 'Taxon name' was taken; it is kept in "
            "dynamicProperties",
        ),
        ("heading_assumed", "Taxon name", "'Taxon name' was taken for scientificName"),
        (
            "heading_unknown",
            "Moon",
            "no field is known for 'Moon'; it is kept in dynamicProperties",
        ),
    ]


def test_columns_get_names_of_their_own() -> None:
    names = distinct(["a", "", "a", *[""] * 24, "a"], offset=1)
    assert names[:4] == ("a", "column C", "a (column D)", "column E")
    assert names[-2:] == ("column AB", "a (column AC)")
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("iri", "name"),
    [
        ("http://rs.tdwg.org/dwc/terms/leaf", "leaf"),
        ("http://www.w3.org/ns/x#y", "y"),
        ("plain", "plain"),
    ],
)
def test_local_names(iri: str, name: str) -> None:
    assert local_name(iri) == name


def test_every_word_is_claimed_once() -> None:
    import tomllib
    from collections import Counter

    from crossproof.read import headings
    from crossproof.read.headings import fold

    data = tomllib.loads(
        Path(headings.__file__).with_name("headings.toml").read_text(encoding="utf-8")
    )
    words = Counter(
        fold(word)
        for entry in data["field"].values()
        for key in ("words", "weaker", "weakest")
        for word in set(map(fold, entry.get(key, ())))
    )
    assert [word for word, count in words.items() if count > 1] == []
    hidden = {*words} & {*_known().terms} - {*map(fold, _known().prefixed)}
    assert hidden == set(), "a Darwin Core term stands among the plain words"
    targets = {*data["field"], *(f for e in data["field"].values() for f in e.get("other", ()))}
    assert targets <= {*_known().terms.values()}


def test_the_terms_are_the_current_ones() -> None:
    """Darwin Core list of terms of 2026-05-26: every term but the classes."""
    folder = os.environ.get("CROSSPROOF_STANDARDS")
    if not folder:
        pytest.skip("CROSSPROOF_STANDARDS is not set: the published standards are not here")
    with (Path(folder) / "dwc" / "terms.csv").open(encoding="utf-8", newline="") as file:
        names = {row["term"].partition(":")[2] for row in csv.DictReader(file)}
    terms = {name for name in names if name[0].islower()}
    from crossproof.read.headings import OURS

    assert {*_known().terms.values()} - {*OURS} == terms | {"type"}
