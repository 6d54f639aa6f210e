"""What was written is held against the schemas that ship."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import jsonschema
import pytest

from crossproof.checks import check_output, check_summary, validator, write_descriptor
from crossproof.options import Options
from crossproof.pipeline import vet_to
from crossproof.resources import folder


@pytest.fixture
def out(tmp_path: Path) -> Path:
    source = tmp_path / "records.csv"
    source.write_text(
        "species,grid ref,date,leaves,stem,photo\n"
        "D. x grandis,SU 123 456,2019-06-14,ring spots,partly hollow,a.jpg\n"
        "D. fuchsii,,,,,\n"
    )
    vet_to([source], tmp_path / "out", Options(issued="2026-11-25", validate="never"))
    return tmp_path / "out"


def edit(path: Path, column: str, value: str) -> None:
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    rows[1][rows[0].index(column)] = value
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)


def test_all_is_well(out: Path) -> None:
    assert check_output(out) == []


@pytest.mark.parametrize(
    ("file", "column", "value"),
    [
        ("verdicts.csv", "outcome", "maybe"),
        ("verdicts.csv", "source_row", "two"),
        ("verdicts.csv", "outcome", "lowered"),  # without a reason
        ("findings.csv", "severity", "dreadful"),
        ("dwca/occurrence.csv", "decimalLatitude", "north"),
        ("dwca/measurementorfact.csv", "occurrenceID", "nobody's"),
        ("dwc-dp/occurrence.csv", "event_fk", "no such event"),
    ],
)
def test_what_is_wrong_is_found(out: Path, file: str, column: str, value: str) -> None:
    edit(out / file, column, value)
    found = check_output(out)
    assert found
    assert any(Path(file).name in problem for problem in found), found


@pytest.mark.parametrize("name", ["verdict", "summary", "rulebook", "mapping", "dataset"])
def test_the_schemas_are_schemas(name: str) -> None:
    jsonschema.Draft202012Validator.check_schema(validator(name).schema)


def test_a_summary_that_breaks_its_schema_is_a_defect(out: Path) -> None:
    summary = json.loads((out / "summary.json").read_text("utf-8"))
    check_summary(summary)
    for change in ({"rows": -1}, {"outcomes": {}}, {"issued": "soon"}, {"more": 1}):
        with pytest.raises(jsonschema.ValidationError):
            check_summary({**summary, **change})


def test_the_descriptor_describes_every_column(out: Path) -> None:
    """By frictionless, a library of others, from the file alone."""
    from frictionless import validate

    write_descriptor(out)
    descriptor = json.loads((out / "datapackage.json").read_text("utf-8"))
    names = {resource["name"] for resource in descriptor["resources"]}
    assert {"verdicts", "findings", "returned"} <= names
    for resource in descriptor["resources"]:
        with (out / resource["path"]).open(encoding="utf-8", newline="") as file:
            heading = next(csv.reader(file))
        assert [field["name"] for field in resource["schema"]["fields"]] == heading
    report = validate(str(out / "datapackage.json"))
    assert report.valid, report.flatten(["type", "note"])[:3]


@pytest.mark.parametrize("path", sorted(folder("schemas").rglob("*.json")), ids=lambda p: p.name)
def test_every_field_of_every_schema_is_described(path: Path) -> None:
    schema = json.loads(path.read_text("utf-8"))
    for field in schema.get("fields", ()):
        assert field.get("description") or field.get("title"), field["name"]
