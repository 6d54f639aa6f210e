"""The tests of names against a list of taxa that the user gives. The taxa are invented."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from crossproof import quality

TODAY = date(2026, 11, 25)
HEADING = "scientificNameID,scientificName,scientificNameAuthorship,taxonRank,kingdom,family,genus"
LIST = f"""{HEADING}
ex:1,Plantae,,kingdom,Plantae,,
ex:2,Herbaceae,,family,Plantae,Herbaceae,
ex:3,Herba,L.,genus,Plantae,Herbaceae,Herba
ex:4,Herba alba,L.,species,Plantae,Herbaceae,Herba
ex:5,Herba × media,Auct.,nothospecies,Plantae,Herbaceae,Herba
ex:6,Twin,Auct.,genus,Plantae,Herbaceae,Twin
ex:7,Twin,Auct.,genus,Animalia,Beastidae,Twin
"""


@pytest.fixture
def taxa(tmp_path: Path) -> str:
    path = tmp_path / "taxa.csv"
    path.write_text(LIST, encoding="utf-8")
    return str(path)


CASES = [
    ("VALIDATION_KINGDOM_FOUND", {"kingdom": "Plantae"}, "COMPLIANT"),
    ("VALIDATION_KINGDOM_FOUND", {"kingdom": "plantae"}, "NOT_COMPLIANT"),
    ("VALIDATION_FAMILY_FOUND", {"family": "Beastidae"}, "COMPLIANT"),
    ("VALIDATION_GENUS_FOUND", {"genus": "Herba"}, "COMPLIANT"),
    ("VALIDATION_GENUS_FOUND", {"genus": "Herba alba"}, "NOT_COMPLIANT"),
    ("VALIDATION_SCIENTIFICNAME_FOUND", {"scientificName": "Herba alba L."}, "COMPLIANT"),
    ("VALIDATION_SCIENTIFICNAME_FOUND", {"scientificName": "Herba × media"}, "COMPLIANT"),
    ("VALIDATION_SCIENTIFICNAME_FOUND", {"scientificName": "Herba rubra"}, "NOT_COMPLIANT"),
    ("VALIDATION_CLASSIFICATION_CONSISTENT", {"kingdom": "Plantae", "genus": "Herba"}, "COMPLIANT"),
    (
        "VALIDATION_CLASSIFICATION_CONSISTENT",
        {"kingdom": "Animalia", "genus": "Herba"},
        "NOT_COMPLIANT",
    ),
    ("VALIDATION_TAXON_UNAMBIGUOUS", {"scientificName": "Twin"}, "NOT_COMPLIANT"),
    (
        "VALIDATION_TAXON_UNAMBIGUOUS",
        {"scientificName": "Twin", "kingdom": "Animalia"},
        "COMPLIANT",
    ),
    ("VALIDATION_TAXON_UNAMBIGUOUS", {"scientificNameID": "ex:6"}, "COMPLIANT"),
    (
        "VALIDATION_TAXON_UNAMBIGUOUS",
        {"genericName": "Herba", "specificEpithet": "alba"},
        "COMPLIANT",
    ),
    (
        "AMENDMENT_SCIENTIFICNAMEID_FROM_TAXON",
        {"scientificName": "Herba alba"},
        {"dwc:scientificNameID": "ex:4"},
    ),
    ("AMENDMENT_SCIENTIFICNAMEID_FROM_TAXON", {"scientificName": "Twin"}, "NOT_AMENDED"),
    (
        "AMENDMENT_SCIENTIFICNAME_FROM_SCIENTIFICNAMEID",
        {"scientificNameID": "ex:5"},
        {"dwc:scientificName": "Herba × media"},
    ),
    ("VALIDATION_GENUS_FOUND", {"genus": " "}, "INTERNAL_PREREQUISITES_NOT_MET"),
]


@pytest.mark.parametrize(("test", "values", "expected"), CASES)
def test_a_list_of_taxa_answers_where_it_is_given(
    test: str, values: dict[str, str], expected: str | dict[str, str], taxa: str
) -> None:
    record = {f"dwc:{term}": value for term, value in values.items()}
    alone = quality.run(test, record, today=TODAY)
    assert alone.status == "EXTERNAL_PREREQUISITES_NOT_MET"
    response = quality.run(test, record, {"bdqval:sourceAuthority": taxa}, TODAY)
    assert (response.proposed or response.result or response.status) == expected


def test_a_list_that_cannot_be_used_is_an_authority_not_to_be_had(tmp_path: Path) -> None:
    (tmp_path / "wrong.csv").write_text("name\nHerba\n", encoding="utf-8")
    (tmp_path / "bytes.csv").write_bytes(b"scientificName\n\xff\xfe\n")
    for name in ("wrong.csv", "bytes.csv", "missing.csv"):
        given = {"bdqval:sourceAuthority": str(tmp_path / name)}
        response = quality.run("VALIDATION_GENUS_FOUND", {"dwc:genus": "Herba"}, given, TODAY)
        assert response.status == "EXTERNAL_PREREQUISITES_NOT_MET"
        assert name in response.comment
    with pytest.raises(quality.TaxonListError, match=r"missing\.csv"):
        quality.check_table([], tmp_path / "out", taxa=tmp_path / "missing.csv")


def test_the_table_holds_names_against_the_list(tmp_path: Path, taxa: str) -> None:
    frame = pd.DataFrame({"scientificName": ["Herba alba", "Herba rubra"], "genus": "Herba"})
    outcome = quality.check_table([frame], tmp_path / "out", taxa=taxa, today=TODAY, form="csv")
    tallies = {tally.declaration.label: tally for tally in outcome.tallies}
    assert tallies["VALIDATION_SCIENTIFICNAME_FOUND"]["NOT_COMPLIANT"] == 1
    assert tallies["VALIDATION_GENUS_FOUND"]["COMPLIANT"] == 2
    assert tallies["AMENDMENT_SCIENTIFICNAMEID_FROM_TAXON"]["FILLED_IN"] == 1
