"""The check as frictionless's users meet it: from Python, and from its command line.

Source: frictionless-py 5, "Checks" and "Plugin" (framework.frictionlessdata.io): a check yields
errors with row and field numbers; plugins are modules named `frictionless_…`.
"""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from pathlib import Path

import pytest
from frictionless import Checklist, Resource, system, validate

from crossproof.demo import options, submission
from crossproof.frictionless_plugin import CrossproofPlugin, HybridEvidenceCheck
from crossproof.pipeline import vet, vet_to

ROWS = [
    ["species", "leaf markings", "stem", "photo", "remarks"],
    ["D. x grandis", "ring spots", "partly hollow", "img_7.jpg", ""],
    ["D. x grandis", "ring spots", "partly hollow", "", ""],
    ["D. x venusta", "", "solid", "img_8.jpg", ""],
    ["D. praetermissa", "unmarked", "hollow", "", ""],
    ["D. x grandis", "unmarked", "hollow", "img_9.jpg", "leaves with ring spots"],
]


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "records.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(ROWS)
    return path


def told(path: Path, **wanted: str) -> list[tuple[int, str, str]]:
    """Row, field and type of each error."""
    checklist = Checklist(checks=[HybridEvidenceCheck(**wanted)])
    resource = Resource(path=path.name, basepath=str(path.parent))
    report = resource.validate(checklist, limit_errors=10_000)
    found = report.flatten(["rowNumber", "fieldName", "type", "note"])
    ours = ("hybrid-evidence", "record-finding")  # not those that frictionless itself finds
    return [(row, field, kind) for row, field, kind, _ in found if kind in ours]


def test_each_reason_is_an_error_at_its_cell(table: Path) -> None:
    assert told(table, findings="none") == [
        (3, "photo", "hybrid-evidence"),
        (4, "leaf markings", "hybrid-evidence"),
        (4, "stem", "hybrid-evidence"),
        (6, "species", "hybrid-evidence"),
    ]


def test_findings_are_errors_too(table: Path) -> None:
    assert (6, "leaf markings", "record-finding") in told(table)
    assert not any(kind == "record-finding" for *_, kind in told(table, findings="none"))


def test_notes_say_what_is_missing_and_what_mends_it(table: Path) -> None:
    report = Resource(path=table.name, basepath=str(table.parent)).validate(
        Checklist(checks=[HybridEvidenceCheck()])
    )
    first = report.tasks[0].errors[0]
    assert first.note == (
        "no photo reference is given; to restore the claim: give a photo reference; until then it "
        "goes out as Dactylorhiza cf. × grandis (photo_missing)."
    )
    assert (first.cell, first.cells) == ("", ROWS[2])


def test_the_errors_are_the_verdicts_of_the_library(tmp_path: Path) -> None:
    """Each lowered or contested row of the demonstration, with all its reasons, and no other."""
    path = submission()[0]
    verdicts = vet(path, lenient=True, quality=False).verdicts
    wanted = [
        int(row.source_row)
        for row in verdicts.itertuples()
        if row.outcome in ("lowered", "contested")
        for _ in row.reasons.split(";")
    ]
    assert [row for row, *_ in told(path, findings="none")] == wanted
    assert wanted


def test_batches_make_no_difference(tmp_path: Path) -> None:
    path = tmp_path / "many.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([ROWS[0], *ROWS[1:] * 500])
    found = told(path, findings="none")
    assert len(found) == 4 * 500
    assert found[-1] == (2501, "species", "hybrid-evidence")


def test_a_table_without_plants_is_one_error(tmp_path: Path) -> None:
    path = tmp_path / "birds.csv"
    path.write_text("colour,wind\nred,west\n", encoding="utf-8")
    report = Resource(path=path.name, basepath=str(tmp_path)).validate(
        Checklist(checks=[HybridEvidenceCheck()])
    )
    ((kind, note),) = report.flatten(["type", "note"])
    assert kind == "check-error"
    assert "no column names the plant" in note


def test_frictionless_finds_the_plugin() -> None:
    assert isinstance(system.plugins["crossproof"], CrossproofPlugin)
    assert system.select_check_class("hybrid-evidence") is HybridEvidenceCheck


def test_a_checklist_file_may_name_it(table: Path) -> None:
    checklist = Checklist.from_descriptor(
        {"checks": [{"type": "hybrid-evidence", "needs": "strict", "findings": "none"}]}
    )
    (check,) = checklist.checks
    assert (check.needs, check.findings) == ("strict", "none")


def command(*arguments: str, at: Path) -> subprocess.CompletedProcess[str]:
    line = [sys.executable, "-m", "frictionless", "validate", *arguments]
    return subprocess.run(line, cwd=at, capture_output=True, text=True, check=False)


def test_the_command_line_of_frictionless(table: Path) -> None:
    """Options of a check follow its type after a colon."""
    check = "hybrid-evidence:findings=none"
    done = command(table.name, "--checks", check, "--json", at=table.parent)
    assert done.returncode == 1, done.stderr
    found = json.loads(done.stdout)["tasks"][0]["errors"]
    places = [(e["rowNumber"], e["fieldName"]) for e in found]
    assert places == [(3, "photo"), (4, "leaf markings"), (4, "stem"), (6, "species")]


def test_outputs_are_valid_without_us(tmp_path: Path) -> None:
    """A `frictionless` that cannot see this project accepts what `vet` writes."""
    out = tmp_path / "out"
    vet_to(submission(), out, options())
    # The profile of the data package lies on the web, by its standard; its tables do not.
    script = (
        "import pkgutil; modules = pkgutil.iter_modules; pkgutil.iter_modules = lambda *a: "
        "(m for m in modules(*a) if m.name != 'frictionless_crossproof'); "
        "import frictionless, json; assert 'crossproof' not in frictionless.system.plugins; "
        "d = json.load(open('datapackage.json')); d.pop('profile', None); "
        "r = frictionless.Package.from_descriptor(d).validate(); "
        "print(r.valid, len(r.tasks), r.flatten(['type', 'note'])[:3])"
    )
    for folder in (out, out / "dwc-dp"):
        line = [sys.executable, "-c", script]
        done = subprocess.run(line, cwd=folder, capture_output=True, text=True, check=False)
        assert done.stdout.startswith("True"), (folder.name, done.stdout, done.stderr[-500:])
    done = command("datapackage.json", at=out)
    assert done.returncode == 0, done.stdout


def test_validate_from_python_takes_the_check(table: Path) -> None:
    report = validate(
        Resource(path=table.name, basepath=str(table.parent)),
        checks=[HybridEvidenceCheck(findings="none")],
    )
    assert not report.valid
