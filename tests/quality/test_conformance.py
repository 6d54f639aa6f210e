"""The conformance rows that the draft standard publishes with its tests.

Source: TDWG BDQ draft standard, Implementer's Guide, TG2_test_validation_data.csv (2026-06-03,
CC BY 4.0). Rows are compared as the guide says: status and result exactly, the values of an
amendment as a JSON object, and a comment that is not empty.
"""

from __future__ import annotations

import csv
import json
import os
import re
from datetime import date
from pathlib import Path

import pytest

from crossproof import quality

TODAY = date(2026, 11, 25)

# Rows no implementation of the specifications can meet; known_issues.csv gives the reason of each.
CONTRADICTING = {
    "566": "dwc:occurrenceStatus is NotEmpty: the specification says INTERNAL_",
    "567": "as 566",
    "568": "as 566",
    "682": "dwc:verbatimEventDate is NotEmpty: the specification says NOT_AMENDED",
    "831": "needs one particular grid of datum shifts",
    "887": "not Empty: the specification says NOT_COMPLIANT",
    "1052": "nothing is Empty: the specification says NOT_AMENDED",
    "1104": "a translated label is not a value of the vocabulary (guide, section 2.4)",
    "1159": "dwc:scientificName has the form scope:value, which the specification accepts",
    "1208": "`spreading` is not in the vocabulary",
}


def _rows() -> list[dict[str, str]]:
    standards = os.environ.get("CROSSPROOF_STANDARDS")
    if not standards:
        pytest.skip("CROSSPROOF_STANDARDS is not set: the published standards are not here")
    with (Path(standards) / "bdq" / "validation_dev.csv").open(
        encoding="utf-8", newline=""
    ) as file:
        return list(csv.DictReader(file))


def _decoded(cell: str) -> str:
    return re.sub(r"\\u([0-9a-f]{4})", lambda found: chr(int(found[1], 16)), cell)


def _agrees(row: dict[str, str]) -> bool:
    prefixes = ("dwc:", "dc:", "dcterms:")
    record = {term: _decoded(cell) for term, cell in row.items() if term.startswith(prefixes)}
    parameters = {name: cell for name, cell in row.items() if name.startswith("bdqval:") and cell}
    response = quality.run(row["GUID"], record, parameters, TODAY)
    expected = row["Response.result"]
    if expected.startswith("{"):
        same = bool(response.result) and json.loads(response.result) == json.loads(expected)
    else:
        same = response.result == expected
    return same and response.status == row["Response.status"] and bool(response.comment)


def test_every_row_but_those_that_contradict_the_specifications_is_met() -> None:
    rows = _rows()
    missed = {row["dataID"] for row in rows if not _agrees(row)}
    assert len(rows) == 614
    assert missed == set(CONTRADICTING)


def test_each_row_given_up_is_among_the_known_issues() -> None:
    _rows()
    path = Path(os.environ["CROSSPROOF_STANDARDS"]) / "bdq" / "known_issues.csv"
    with path.open(encoding="utf-8", newline="") as file:
        known = {row["dataID"] for row in csv.DictReader(file)}
    assert set(CONTRADICTING) <= known


def test_the_declarations_are_those_of_the_published_list() -> None:
    _rows()
    path = Path(os.environ["CROSSPROOF_STANDARDS"]) / "bdq" / "tests.csv"
    with path.open(encoding="utf-8", newline="") as file:
        published = list(csv.DictReader(file))
    assert [each.guid for each in quality.tests()] == [row["guid"] for row in published]
    for each, row in zip(quality.tests(), published, strict=True):
        assert each.label == row["label"]
        assert each.kind == row["type"]
        assert ",".join(each.acted_upon) == row["inputs_acted_upon"]
        named = [name for name in row["parameters"].split(",") if name]
        assert set(named) <= set(each.parameters)
        assert all(default in row["defaults"] for default in each.parameters.values())
