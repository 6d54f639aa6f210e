"""The Darwin Core Data Package against its guide, its schemas, and what was put in."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from lxml import etree
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT4

from crossproof.darwincore.conform import check
from crossproof.darwincore.metadata import DatasetMetadata
from crossproof.darwincore.terms import schema
from crossproof.darwincore.validate import validate_tables
from crossproof.model import Photo

from .builder import CROSSES, LOWERED_ROW, PLAIN_ROW, ROWS, UPHELD_ROW, judged
from .conftest import read_table
from .hard import HARD_CASES, HARD_ROWS
from .test_archive import FULL

Write = Callable[..., Path]
BASE = "https://specs.frictionlessdata.io/schemas/data-package.json"


def descriptor(folder: Path) -> dict[str, Any]:
    value: dict[str, Any] = json.loads((folder / "datapackage.json").read_text(encoding="utf-8"))
    return value


def official(standards: Path, table: str) -> dict[str, Any]:
    path = standards / "dwc-dp/table-schemas" / f"{table}.json"
    value: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return value


@pytest.mark.parametrize("case", HARD_CASES)
@pytest.mark.parametrize(
    "metadata", [DatasetMetadata(), FULL], ids=["nothing stated", "all stated"]
)
def test_descriptor_meets_the_profile(
    case: str, metadata: DatasetMetadata, write_package: Write, standards: Path
) -> None:
    """dwc-dp-profile.json, version 0.1, and the Data Package schema, version 1, it builds on."""
    folder = write_package(judged(HARD_CASES[case]), metadata=metadata, methods=["A step."])
    profile, base = (
        json.loads((standards / "dwc-dp" / name).read_text(encoding="utf-8"))
        for name in ("dwc-dp-profile.json", "frictionless-data-package.json")
    )
    registry: Registry[Any] = Registry().with_resource(BASE, Resource(base, DRAFT4))
    validator = jsonschema.Draft4Validator(
        profile, registry=registry, format_checker=jsonschema.Draft4Validator.FORMAT_CHECKER
    )
    assert [error.message for error in validator.iter_errors(descriptor(folder))] == []


@pytest.mark.parametrize("case", HARD_CASES)
def test_frictionless_finds_it_valid(case: str, write_package: Write) -> None:
    """frictionless 5: types, constraints, keys and foreign keys, sizes and hashes."""
    from frictionless import Package

    folder = write_package(judged(HARD_CASES[case]), metadata=FULL)
    value = descriptor(folder)
    del value["profile"]  # frictionless would fetch it
    report = Package.from_descriptor(value, basepath=str(folder)).validate()
    assert report.flatten(["type", "note"]) == []


@pytest.mark.parametrize("case", HARD_CASES)
def test_eml_is_valid(case: str, write_package: Write, standards: Path) -> None:
    """The schemas of EML 2.2.0 (NCEAS)."""
    folder = write_package(judged(HARD_CASES[case]), metadata=FULL)
    xsd = etree.XMLSchema(
        etree.parse(standards / "eml-2.2.0/eml.xsd", etree.XMLParser(no_network=True))
    )
    xsd.assertValid(etree.parse(folder / "eml.xml"))


TABLES = [
    "event",
    "occurrence",
    "identification",
    "identification-taxon",
    "media",
    "occurrence-media",
    "occurrence-assertion",
    "provenance",
    "usage-policy",
]


@pytest.mark.parametrize("table", TABLES)
def test_our_schemas_equal_the_official_ones(table: str, standards: Path) -> None:
    """gbif/dwc-dp, version 0.1: names, titles, types, constraints, keys and term references."""
    ours, theirs = schema("dwc-dp", table), official(standards, table)
    fields = {field["name"]: field for field in theirs["fields"]}
    for field in ours["fields"]:
        published = fields[field["name"]]
        for key in ("title", "type", "format", "namespace", "constraints", "dcterms:isVersionOf"):
            assert field.get(key) == published.get(key), (field["name"], key)
        if "dcterms:references" in field:
            assert field["dcterms:references"] == published["dcterms:references"]
        assert field["description"]
        assert "rdfs:comment" not in field
    order = [name for name in fields if name in {field["name"] for field in ours["fields"]}]
    assert [field["name"] for field in ours["fields"]] == order
    for key in ("primaryKey", "weakPrimaryKey", "identifier", "name", "title"):
        assert ours.get(key) == theirs.get(key)
    assert all(key in theirs["foreignKeys"] for key in ours["foreignKeys"])
    required = {name for name, f in fields.items() if f.get("constraints", {}).get("required")}
    assert required <= {field["name"] for field in ours["fields"]}


def test_term_versions_exist(standards: Path) -> None:
    """Only versions that the Darwin Core list of terms (2026-05-26) knows are referred to."""
    known = (standards / "dwc/terms.csv").read_text(encoding="utf-8")
    for table in TABLES:
        for field in schema("dwc-dp", table)["fields"]:
            assert field.get("dcterms:references", "") in known


@pytest.mark.parametrize("case", HARD_CASES)
def test_descriptor_describes_the_files_as_written(case: str, write_package: Write) -> None:
    """Guide, sections 3.2.1 and 3.3: a field per column, in order; every file described."""
    folder = write_package(judged(HARD_CASES[case]))
    resources = descriptor(folder)["resources"]
    assert {r["path"] for r in resources} == {p.name for p in folder.glob("*.csv")}
    for resource in resources:
        raw = (folder / resource["path"]).read_bytes()
        heading = raw.split(b"\r\n")[0].decode().split(",")
        assert [field["name"] for field in resource["schema"]["fields"]] == heading
        assert (resource["profile"], resource["mediatype"]) == ("tabular-data-resource", "text/csv")
        assert "dialect" not in resource
        names = {r["name"] for r in resources}
        for key in resource["schema"].get("foreignKeys", ()):
            assert key["reference"]["resource"] in names


def test_no_relation_is_left_out(write_package: Write, standards: Path) -> None:
    """Guide, section 3.3: every relation between tables that are there is a foreign key."""
    photo = Photo(reference="https://p.example/1.jpg", creator="O. M.", licence="CC0-1.0")
    folder = write_package(judged([*ROWS, replace(UPHELD_ROW, photos=(photo,))]))
    resources = {r["name"]: r["schema"] for r in descriptor(folder)["resources"]}
    assert set(resources) == set(TABLES)
    for table, written in resources.items():
        columns = {field["name"] for field in written["fields"]}
        expected = [
            key
            for key in official(standards, table).get("foreignKeys", ())
            if key["fields"] in columns and (key["reference"]["resource"] or table) in resources
        ]
        assert written.get("foreignKeys", []) == expected


def test_claim_and_determination(write_package: Write) -> None:
    folder = write_package(judged([LOWERED_ROW]), crosses=CROSSES)
    claim, determination = read_table(folder / "identification.csv")
    assert (claim["scientificName"], claim["taxonFormula"], claim["isAcceptedIdentification"]) == (
        "Dactylorhiza × grandis",
        "A x B",
        "false",
    )
    assert claim["identifiedBy"] == "Ottoline Marrable"
    assert determination["scientificName"] == "Dactylorhiza"
    assert determination["taxonFormula"] == "A ?"
    assert determination["isAcceptedIdentification"] == "true"
    assert determination["identifiedBy"] == ""
    assert determination["dateIdentified"] == "2026-11-25"
    assert determination["identificationRemarks"].startswith(
        "crossproof: Identified as Dactylorhiza cf. × grandis | leaf markings: ring spots"
    )
    taxa = read_table(folder / "identification-taxon.csv")
    assert [taxon["identification_fk"] for taxon in taxa] == ["r1#claim", "r1#claim"]
    (occurrence,) = read_table(folder / "occurrence.csv")
    assert occurrence["scientificName"] == "Dactylorhiza"
    assert occurrence["verbatimIdentification"] == "D. x grandis"
    assert occurrence["occurrenceStatus"] == "detected"
    # The reasoning is not said twice; a person's own words are.
    own = determination["identificationRemarks"].partition("crossproof: ")[0]
    doubt = "crossproof: Identified as Dactylorhiza cf. × grandis"
    assert occurrence["identificationRemarks"] == f"{own}{doubt}"


def test_a_hybrids_parents(write_package: Write) -> None:
    folder = write_package(judged([UPHELD_ROW]))
    (identification,) = read_table(folder / "identification.csv")
    assert identification["taxonFormula"] == "A x B"
    taxa = read_table(folder / "identification-taxon.csv")
    assert [(t["taxonSortOrder"], t["scientificName"]) for t in taxa] == [
        ("1", "Dactylorhiza fuchsii"),
        ("2", "Dactylorhiza praetermissa"),
    ]
    assert {t["identification_fk"] for t in taxa} == {identification["identification_pk"]}


def test_events_are_shared_only_where_they_agree(write_package: Write) -> None:
    visit = {"eventID": "visit 1", "habitat": "fen"}
    rows = [
        replace(PLAIN_ROW, given=visit),
        replace(PLAIN_ROW, given=visit),
        replace(PLAIN_ROW, given=visit, when={"eventDate": "2020-01-01"}),
        PLAIN_ROW,
    ]
    folder = write_package(judged(rows[:1]), judged(rows[1:], first=2))
    events = read_table(folder / "event.csv")
    assert [event["eventID"] for event in events] == ["visit 1", "visit 1", ""]
    keys = [row["event_fk"] for row in read_table(folder / "occurrence.csv")]
    assert keys[0] == keys[1]
    assert len(set(keys)) == 3


@pytest.mark.parametrize(
    ("term", "text"),
    [
        ("month", "June"),
        ("year", "1987?"),
        ("day", "32"),
        ("individualCount", "many"),
        ("samplingProtocol", "walk"),
        ("recordNumber", "12"),
    ],
)
def test_what_has_no_field_is_asserted(term: str, text: str, write_package: Write) -> None:
    """Guide, section 3.3: fields of one's own should not be added."""
    folder = write_package(judged([replace(PLAIN_ROW, given={term: text})]))
    (row,) = read_table(folder / "occurrence-assertion.csv")
    assert (row["assertionType"], row["assertionValue"]) == (term, text)


def test_the_rest_of_the_row_is_asserted(write_package: Write) -> None:
    folder = write_package(judged([replace(UPHELD_ROW, extra='{"Weather": "wet", "n": 3}')]))
    rows = read_table(folder / "occurrence-assertion.csv")
    assert [(r["assertionType"], r["assertionValue"]) for r in rows] == [
        ("leaf", "ring_spots"),
        ("stem", "partly_hollow"),
        ("Weather", "wet"),
        ("n", "3"),
    ]
    assert len({r["assertionID"] for r in rows}) == 4


def test_a_photo_of_two_plants_is_one_photo(write_package: Write) -> None:
    row = replace(UPHELD_ROW, photos=(Photo(reference="https://p.example/1.jpg"),))
    folder = write_package(judged([row, row]), judged([row], first=3))
    assert len(read_table(folder / "media.csv")) == 1
    assert len(read_table(folder / "occurrence-media.csv")) == 3


def test_tables_without_rows_are_left_out(write_package: Write) -> None:
    folder = write_package(judged([PLAIN_ROW]))
    names = [resource["name"] for resource in descriptor(folder)["resources"]]
    assert names == ["event", "occurrence", "identification"]


def test_chunks_leave_no_trace(write_package: Write) -> None:
    """Columns that first turn up in a later chunk stand where they would have stood anyway."""
    rows = [PLAIN_ROW, *HARD_ROWS, replace(PLAIN_ROW, given={"sex": "female"})]
    whole = {p.name: p.read_bytes() for p in write_package(judged(rows)).iterdir()}
    chunks = [judged([row], first=number) for number, row in enumerate(rows, 1)]
    assert {p.name: p.read_bytes() for p in write_package(*chunks).iterdir()} == whole


def test_tables_may_be_gzipped(write_package: Write) -> None:
    """Guide, section 3: single files may be compressed with gzip, under their name and `.gz`."""
    plain = {p.name: p.read_bytes() for p in write_package(judged(HARD_ROWS)).glob("*.csv")}
    folder = write_package(judged(HARD_ROWS), metadata=FULL, gzipped=True)
    packed = {p.name: gzip.decompress(p.read_bytes()) for p in folder.glob("*.gz")}
    assert packed == {f"{name}.gz": content for name, content in plain.items()}
    assert not list(folder.glob("*.csv"))
    assert validate_tables(folder) == []
    assert {problem.rule for problem in check(folder)} == {"version-missing"}
