"""The Darwin Core archive against the text guide, and against what was put in."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from lxml import etree

from crossproof.darwincore.metadata import DatasetMetadata, Licence, Party
from crossproof.darwincore.terms import current
from crossproof.model import Evidence, Photo

from .builder import CLAIM, LOWERED_ROW, PLAIN_ROW, ROWS, UPHELD_ROW, Row, judged
from .conftest import read_table
from .hard import HARD_CASES, HARD_ROWS, HARD_TEXTS

Write = Callable[..., Path]
TEXT = {"t": "http://rs.tdwg.org/dwc/text/"}
FULL = DatasetMetadata(
    title="Marsh-orchids of Osier Fen",
    abstract="First paragraph.\n\nSecond <paragraph> & more.",
    identifier="https://doi.org/10.99999/osier",
    publisher=Party(organisation="Osier Fen Recording Group"),
    creators=(Party(surname="Marrable", given_name="Ottoline", email="o@osier.example"),),
    contacts=(Party(position="Recorder", orcid="https://orcid.org/0000-0002-1825-0097"),),
    licence=Licence(
        name="Creative Commons Zero 1.0",
        id="CC0-1.0",
        url="https://creativecommons.org/publicdomain/zero/1.0/",
    ),
    homepage="https://osier.example",
    citation="Osier Fen Recording Group (2026)",
    purpose="To know.",
    methods=("Looked closely.",),
    place="Osier Fen",
    keywords=("orchids", "hybrids"),
)


def xsd(path: Path) -> etree.XMLSchema:
    return etree.XMLSchema(etree.parse(path, etree.XMLParser(no_network=True)))


@pytest.mark.parametrize("case", HARD_CASES)
def test_meta_xml_is_valid(case: str, write_archive: Write, standards: Path) -> None:
    """The Darwin Core text guide's schema, tdwg_dwc_text.xsd (TDWG, 2023-09-13)."""
    folder = write_archive(judged(HARD_CASES[case]))
    xsd(standards / "dwca/tdwg_dwc_text.xsd").assertValid(etree.parse(folder / "meta.xml"))


@pytest.mark.parametrize("case", HARD_CASES)
@pytest.mark.parametrize(
    "metadata", [DatasetMetadata(), FULL], ids=["nothing stated", "all stated"]
)
def test_eml_is_valid(
    case: str, metadata: DatasetMetadata, write_archive: Write, standards: Path
) -> None:
    """The schemas of EML 2.2.0 (NCEAS)."""
    folder = write_archive(judged(HARD_CASES[case]), metadata=metadata, methods=["A step.\n\nTwo."])
    xsd(standards / "eml-2.2.0/eml.xsd").assertValid(etree.parse(folder / "eml.xml"))


@pytest.mark.parametrize("case", HARD_CASES)
def test_meta_describes_the_files_as_written(case: str, write_archive: Write) -> None:
    """Text guide, section 2: a field per column, current terms, ids unique, coreids present."""
    folder = write_archive(judged(HARD_CASES[case]))
    meta = etree.parse(folder / "meta.xml")
    ids = [row["occurrenceID"] for row in read_table(folder / "occurrence.csv")]
    assert len(ids) == len(set(ids)) == len(HARD_CASES[case])
    described = set()
    for file in meta.getroot():
        name = file.findtext("t:files/t:location", namespaces=TEXT)
        described.add(name)
        heading = (folder / name).read_text(encoding="utf-8").split("\n")[0].split(",")
        for field in file.findall("t:field", TEXT):
            assert field.get("term") in current()
            assert field.get("term").endswith("/" + heading[int(field.get("index"))])
        terms = [field.get("term") for field in file.findall("t:field", TEXT)]
        assert len(terms) == len(set(terms))
        assert len(terms) == len(heading) - (file.tag.endswith("extension"))
        assert {row["occurrenceID"] for row in read_table(folder / name)} <= set(ids)
    assert described == {path.name for path in folder.glob("*.csv")}


def test_every_text_survives(write_archive: Write) -> None:
    """What goes in comes out, byte for byte, read by RFC 4180."""
    folder = write_archive(judged(HARD_ROWS))
    rows = read_table(folder / "occurrence.csv")[len(ROWS) :]
    assert [row["verbatimIdentification"] for row in rows] == list(HARD_TEXTS)
    assert [row["locality"] for row in rows] == list(HARD_TEXTS)
    assert [row["occurrenceRemarks"] for row in rows] == list(HARD_TEXTS)
    assert {row["dynamicProperties"] for row in rows} == {'{"weather\\n": "\\"wet\\""}'}


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        pytest.param(
            UPHELD_ROW,
            {
                "scientificName": "Dactylorhiza × grandis (Druce) P.F.Hunt",
                "taxonRank": "nothospecies",
                "identificationQualifier": "",
                "taxonFormula": "A x B",
                "previousIdentifications": "",
                "identificationType": "features",
                "basisOfRecord": "HumanObservation",
                "occurrenceStatus": "present",
            },
            id="upheld",
        ),
        pytest.param(
            LOWERED_ROW,
            {
                "scientificName": "Dactylorhiza Neck. ex Nevski",
                "taxonRank": "genus",
                "identificationQualifier": "cf. × grandis",
                "verbatimIdentification": "D. x grandis",
                "taxonFormula": "A ?",
                "previousIdentifications": "Dactylorhiza × grandis (Druce) P.F.Hunt, "
                "identified by Ottoline Marrable, 2019-06-15",
            },
            id="lowered",
        ),
        pytest.param(
            replace(LOWERED_ROW, claim=replace(CLAIM, previous="Orchis sp.", verification="0")),
            {
                "previousIdentifications": "Orchis sp. | Dactylorhiza × grandis (Druce) P.F.Hunt, "
                "identified by Ottoline Marrable, 2019-06-15",
                "identificationVerificationStatus": "0",
            },
            id="lowered, with earlier identifications",
        ),
        pytest.param(
            PLAIN_ROW,
            {"scientificName": "Bellis perennis L.", "identificationRemarks": ""},
            id="no claim",
        ),
        pytest.param(
            replace(
                PLAIN_ROW,
                given={"basisOfRecord": "PreservedSpecimen", "occurrenceStatus": "notDetected"},
            ),
            {"basisOfRecord": "PreservedSpecimen", "occurrenceStatus": "absent"},
            id="as given",
        ),
        pytest.param(
            replace(LOWERED_ROW, evidence=(Evidence("leaf", "ring_spots", "photo", ""),)),
            {"identificationType": "media"},
            id="read from a photo",
        ),
    ],
)
def test_the_core(row: Row, expected: dict[str, str], write_archive: Write) -> None:
    """Darwin Core list of terms (TDWG, 2026-05-26), and this project's table of what goes where."""
    (written,) = read_table(write_archive(judged([row])) / "occurrence.csv")
    assert {term: written[term] for term in expected} == expected


@pytest.mark.parametrize(
    ("qualifier", "formula"),
    [
        ("", "A"),
        ("?", "A ?"),
        ("probably", "A ?"),
        ("cf.", "A cf."),
        ("aff.", "A aff."),
        ("agg.", "A"),
        ("s.l.", "A"),
    ],
)
def test_a_recorders_doubt(qualifier: str, formula: str, write_archive: Write) -> None:
    """dwc:taxonFormula, examples (TDWG, 2026-05-26): `A ?`, `A cf.`, `A aff.`."""
    verdict = replace(
        PLAIN_ROW.verdict,
        determination=replace(PLAIN_ROW.verdict.determination, qualifier=qualifier),
    )
    (row,) = read_table(
        write_archive(judged([replace(PLAIN_ROW, verdict=verdict)])) / "occurrence.csv"
    )
    assert (row["identificationQualifier"], row["taxonFormula"]) == (qualifier, formula)


def test_remarks_say_what_the_claim_rests_on(write_archive: Write) -> None:
    (written,) = read_table(write_archive(judged([LOWERED_ROW])) / "occurrence.csv")
    assert written["identificationRemarks"] == (
        "crossproof: leaf markings: ring spots (“lvs w. rings”) | stem: not recorded | "
        "To restore the claim: say whether the stem is hollow, and add a photo."
    )


@pytest.mark.parametrize("row", [*ROWS, *HARD_ROWS])
def test_one_identification_is_accepted(row: Row, write_archive: Write) -> None:
    rows = read_table(write_archive(judged([row])) / "identification.csv")
    assert [r["isAcceptedIdentification"] for r in rows].count("true") == 1
    assert len(rows) == (2 if row.verdict.outcome == "lowered" else 1)
    assert rows[0]["verbatimIdentification"] == row.claim.words


def test_a_lowered_name_is_not_given_away(write_archive: Write) -> None:
    """What names the hybrid stays with the claim: no column of the core is finer than the name."""
    given = {
        "specificEpithet": "grandis",
        "vernacularName": "a hybrid orchid",
        "family": "Orchidaceae",
        "taxonRank": "nothospecies",
    }
    folder = write_archive(
        judged([replace(UPHELD_ROW, given=given), replace(LOWERED_ROW, given=given)])
    )
    upheld, lowered = read_table(folder / "occurrence.csv")
    assert upheld["specificEpithet"] == "grandis"
    assert (lowered["specificEpithet"], lowered["vernacularName"]) == ("", "")
    assert lowered["family"] == "Orchidaceae"
    _, claim, determination = read_table(folder / "identification.csv")
    assert (claim["specificEpithet"], claim["vernacularName"]) == ("grandis", "a hybrid orchid")
    assert (determination["specificEpithet"], determination["vernacularName"]) == ("", "")


def test_nothing_submitted_is_lost(write_archive: Write) -> None:
    """Terms without a column, and ones that we write ourselves, go to dynamicProperties."""
    row = replace(
        PLAIN_ROW,
        given={"taxonRank": "sp.", "locality": "another fen", "measurementValue": "3"},
        extra='{"Weather": "wet"}',
    )
    (written,) = read_table(write_archive(judged([row])) / "occurrence.csv")
    assert written["locality"] == "Osier Fen"
    assert json.loads(written["dynamicProperties"]) == {
        "taxonRank": "sp.",
        "locality": "another fen",
        "measurementValue": "3",
        "Weather": "wet",
    }


def test_states_are_written_with_where_they_were_read(write_archive: Write) -> None:
    faint = Evidence("leaf", "ring_spots", "remark", "faint rings", 0, 11, "faint")
    rows = read_table(
        write_archive(judged([replace(UPHELD_ROW, evidence=(faint,))])) / "measurementorfact.csv"
    )
    assert rows == [
        {
            "occurrenceID": "r1",
            "measurementID": "r1#state-1",
            "measurementType": "leaf",
            "measurementValue": "ring_spots",
            "measurementMethod": "read from the remarks",
            "measurementRemarks": "as written: “faint rings”; faint",
        }
    ]


@pytest.mark.parametrize(
    ("photo", "expected"),
    [
        (
            Photo(reference="https://p.example/1.jpg"),
            {"identifier": "https://p.example/1.jpg", "accessURI": "https://p.example/1.jpg"},
        ),
        (Photo(reference="IMG_1.JPG"), {"providerManagedID": "IMG_1.JPG", "accessURI": ""}),
        (
            Photo(reference="yes"),
            {"comments": "Photo stated by the recorder: yes", "providerManagedID": ""},
        ),
        (
            Photo(reference="slide 12", parts=("leaf", "stem")),
            {
                "subjectPart": "http://rs.tdwg.org/acpart/values/p0005 | http://rs.tdwg.org/acpart/values/p0004",
                "subjectPartLiteral": "leaf | stem",
            },
        ),
        (
            Photo(reference="a 1", creator="O. M.", created="2019-06-14", licence="CC0"),
            {"creator": "O. M.", "created": "2019-06-14", "rights": "CC0"},
        ),
    ],
    ids=["address", "file", "yes", "parts", "rights"],
)
def test_photos(photo: Photo, expected: dict[str, str], write_archive: Write) -> None:
    """Audiovisual Core list of terms and subjectPart vocabulary (TDWG, 2026-02-24)."""
    (row,) = read_table(
        write_archive(judged([replace(UPHELD_ROW, photos=(photo,))])) / "multimedia.csv"
    )
    assert {term: row[term] for term in expected} == expected
    assert row["identifier"]


def test_chunks_leave_no_trace(write_archive: Write, tmp_path: Path) -> None:
    """Columns that first turn up in a later chunk stand where they would have stood anyway."""
    rows = [PLAIN_ROW, *HARD_ROWS, replace(PLAIN_ROW, given={"sex": "female"})]
    whole = {p.name: p.read_bytes() for p in write_archive(judged(rows)).iterdir()}
    chunks = [judged([row], first=number) for number, row in enumerate(rows, 1)]
    assert {p.name: p.read_bytes() for p in write_archive(*chunks).iterdir()} == whole
