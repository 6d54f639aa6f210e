"""Data packages that others made, and those that nobody should send.

Source: Darwin Core Data Package guide (TDWG, 2026-05-26): tables and keys; Frictionless Data
Package, version 1: the descriptor.
"""

from __future__ import annotations

import csv
import gzip
import json
import zipfile
from pathlib import Path

import pytest

from crossproof.options import Options
from crossproof.pipeline import vet
from crossproof.read import Unreadable, chunks

TABLES: dict[str, list[list[str]]] = {
    "event": [
        [
            "event_pk",
            "eventID",
            "eventCategory",
            "eventDate",
            "decimalLatitude",
            "decimalLongitude",
        ],
        ["e1", "visit 1", "Occurrence", "2024-06-14", "51.2", "-1.8"],
    ],
    "occurrence": [
        ["occurrence_pk", "occurrenceID", "event_fk", "occurrenceStatus", "recordedBy"],
        ["o1", "urn:o1", "e1", "detected", "Mab Thornley"],
        ["o2", "urn:o2", "e1", "detected", "Idris Quell"],
    ],
    "identification": [
        [
            *("identification_pk", "occurrence_fk", "isAcceptedIdentification", "taxonFormula"),
            *("identifiedBy", "dateIdentified", "scientificName"),
        ],
        ["i1", "o1", "false", "A", "Idris Quell", "2024-06-15", "Dactylorhiza praetermissa"],
        ["i2", "o1", "true", "A x B", "", "", ""],
        ["i3", "o2", "true", "A", "", "", "Dactylorhiza fuchsii"],
    ],
    "identification-taxon": [
        ["identification_fk", "taxonOrder", "scientificName"],
        ["i2", "1", "Dactylorhiza fuchsii"],
        ["i2", "2", "Dactylorhiza praetermissa"],
    ],
    "occurrence-assertion": [
        ["assertionID", "occurrence_fk", "assertionType", "assertionValue", "assertionUnit"],
        ["a1", "o1", "leaf", "ring spots", ""],
        ["a2", "o1", "stem", "partly hollow", ""],
        ["a3", "o2", "height", "31", "cm"],
        ["a4", "o2", "individualCount", "12", ""],
    ],
    "media": [
        ["media_pk", "mediaType", "accessURI"],
        ["m1", "StillImage", "https://a.example/1.jpg"],
    ],
    "occurrence-media": [["media_fk", "occurrence_fk"], ["m1", "o1"]],
    "survey": [["survey_pk", "event_fk"], ["s1", "e1"]],
}


def write(folder: Path, *, gzipped: bool = False, **changes: object) -> Path:
    folder.mkdir()
    suffix = ".csv.gz" if gzipped else ".csv"
    for name, rows in TABLES.items():
        opener = gzip.open if gzipped else open
        with opener(folder / f"{name}{suffix}", "wt", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(rows)
    listed = [{"name": name, "path": f"{name}{suffix}"} for name in TABLES]
    descriptor = {"name": "others", "resources": listed, **changes}
    (folder / "datapackage.json").write_text(json.dumps(descriptor), encoding="utf-8")
    return folder


@pytest.mark.parametrize("form", ["folder", "gzip", "zip"])
def test_what_is_said_elsewhere_comes_to_its_occurrence(tmp_path: Path, form: str) -> None:
    source = write(tmp_path / "package", gzipped=form == "gzip")
    if form == "zip":
        with zipfile.ZipFile(tmp_path / "package.zip", "w") as archive:
            for path in source.iterdir():
                archive.write(path, path.name)
        source = tmp_path / "package.zip"
    vetting = vet(source, options=Options(quality=False))
    first, second = vetting.verdicts.to_dict("records")
    assert (first["occurrenceID"], first["claimed_name"]) == ("urn:o1", "Dactylorhiza × grandis")
    assert (first["outcome"], first["leaf"], first["stem"]) == (
        "upheld",
        "ring_spots",
        "partly_hollow",
    )
    assert second["claimed_name"] == "Dactylorhiza fuchsii"
    one, two = vetting.occurrences.to_dict("records")
    assert one["previousIdentifications"] == (
        "Dactylorhiza praetermissa, det. Idris Quell 2024-06-15"
    )
    assert (two["eventDate"], two["eventID"], two["individualCount"]) == (
        "2024-06-14",
        "visit 1",
        "12",
    )
    assert json.loads(two["dynamicProperties"])["height"] == "31 cm"
    assert any(
        row["code"] == "sheet_skipped" and "survey" in row["message"]
        for row in vetting.findings.to_dict("records")
    )


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"resources": [{"name": "occurrence", "path": "../records.csv"}]}, "outside the package"),
        ({"resources": [{"name": "occurrence", "path": "/etc/passwd"}]}, "outside the package"),
        (
            {"resources": [{"name": "occurrence", "path": "https://a.example/o.csv"}]},
            "outside the package",
        ),
        ({"resources": [{"name": "occurrence", "path": "none.csv"}]}, "that is not there"),
        ({"resources": [{"name": "event", "path": "event.csv"}]}, "without a table 'occurrence'"),
        ({"resources": "none"}, "describes no tables"),
        ({"resources": [{"name": "occurrence", "path": "event.csv"}]}, "no column occurrence_pk"),
        (
            {"resources": [{"name": "occurrence", "path": "occurrence.csv", "encoding": "utf-77"}]},
            "unknown encoding",
        ),
        ({"resources": [{"name": "occurrence", "path": "occurrence.csv"}]}, "names the plant"),
    ],
)
def test_what_cannot_be_read_is_one_sentence(
    tmp_path: Path, changes: dict[str, object], said: str
) -> None:
    with pytest.raises(Unreadable, match=said):
        list(chunks(write(tmp_path / "package", **changes)))


def test_a_link_that_leads_out_is_not_followed(tmp_path: Path) -> None:
    source = write(tmp_path / "package")
    (tmp_path / "secret.csv").write_text("occurrence_pk\nsecret\n", encoding="utf-8")
    (source / "occurrence.csv").unlink()
    (source / "occurrence.csv").symlink_to(tmp_path / "secret.csv")
    with pytest.raises(Unreadable, match="leads out of the package"):
        list(chunks(source))


def test_a_descriptor_that_is_no_json_is_one_sentence(tmp_path: Path) -> None:
    source = write(tmp_path / "package")
    (source / "datapackage.json").write_text("{", encoding="utf-8")
    with pytest.raises(Unreadable, match="describes no tables"):
        list(chunks(source))


@pytest.mark.parametrize("rows", [1, 2])
def test_chunks_of_any_size_hold_the_same(tmp_path: Path, rows: int) -> None:
    source = write(tmp_path / "package")
    (whole,) = chunks(source)
    parts = list(chunks(source, rows=rows))
    for index in range(len(whole.columns)):
        assert [cell for part in parts for cell in part.columns[index]] == list(
            whole.columns[index]
        )
