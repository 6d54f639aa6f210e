"""The data-quality tests inside `vet`: what was written is what was tested, and is said so."""

from __future__ import annotations

import csv
import json
from collections import Counter
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from lxml import html

from crossproof import fitness, quality
from crossproof.checks import check_output, validator
from crossproof.cli import main
from crossproof.demo import options, submission
from crossproof.fitness import ANSWERS, FAILING, chosen
from crossproof.options import Options
from crossproof.pipeline import vet, vet_to
from crossproof.report.terminal import summary_lines

TODAY = date(2026, 11, 25)
QUIET = Options(issued="2026-11-25", today=TODAY, validate="never")
ROWS = """\
occurrenceID,species,date,grid ref,country,countryCode,taxonRank,license,min elev,day
a,Dactylorhiza fuchsii,2024-06-11,TL618827,United Kingdom,GB,,,,
b,D. x grandis leaves ringed stem hollow,12/06/2024,TL618827,Ireland,GB,species,CC-BY,12,40
c,Dactylorhiza × grandis,1987,TL61,,UK,,https://creativecommons.org/publicdomain/zero/1.0/,,
d,Bellis perennis,2019-05,SU12,France,FR,Species,,,
"""


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _alone(record: dict[str, str]) -> dict[str, quality.Response]:
    """Each chosen test put to one row of `occurrence.csv` by itself."""
    by_label = {test.label: test for test in quality.tests()}
    told = {}
    for test in chosen():
        values = {t: record.get(t.partition(":")[2], "") for t in by_label[test.label].inputs}
        told[test.label] = quality.run(test.label, values, dict(test.parameters), TODAY)
    return told


@pytest.fixture(scope="module", params=["rows", "demo"])
def out(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("fit")
    source = home / "records.csv"
    source.write_text(ROWS, encoding="utf-8")
    paths, chosen_options = ([source], QUIET) if request.param == "rows" else (submission(), None)
    # Small chunks: what is said must not depend on where one ends.
    vet_to(paths, home / "out", replace(chosen_options or options(), chunk_rows=3))
    return home / "out"


def test_the_table_says_what_each_record_written_is_told_by_itself(out: Path) -> None:
    """A plain loop over `occurrence.csv`, test by test, is the measure."""
    records = _read(out / "dwca" / "occurrence.csv")
    counts: dict[str, Counter[str]] = {test.label: Counter() for test in chosen()}
    failing = set()
    for record in records:
        for label, said in _alone(record).items():
            counts[label][said.result or said.status] += 1
            if said.result in FAILING:
                failing.add((record["occurrenceID"], label, said.result, said.comment))
    assert failing, "these records were made to fail some tests"
    listed = _read(out / "quality_responses.csv")
    keys = ("occurrenceID", "test", "result", "comment")
    assert {tuple(row[key] for key in keys) for row in listed} == failing
    assert len(listed) == len(failing)
    for row in _read(out / "quality.csv"):
        assert {a: int(row[a.lower()]) for a in ANSWERS} == {
            a: counts[row["test"]][a] for a in ANSWERS
        }
        assert int(row["records"]) == len(records)


def test_each_response_gives_the_place_of_its_record_and_what_was_read(out: Path) -> None:
    places = ("source_file", "source_sheet", "source_row")
    known = {
        row["occurrenceID"]: tuple(row[p] for p in places) for row in _read(out / "verdicts.csv")
    }
    written = {row["occurrenceID"]: row for row in _read(out / "dwca" / "occurrence.csv")}
    inputs = {test.label: test.inputs for test in quality.tests()}
    for row in _read(out / "quality_responses.csv"):
        assert known[row["occurrenceID"]] == tuple(row[place] for place in places)
        record = written[row["occurrenceID"]]
        read = {t: record.get(t.partition(":")[2], "") for t in inputs[row["test"]]}
        assert json.loads(row["values"]) == {t: text for t, text in read.items() if text}


def test_the_summary_and_the_tables_keep_their_schemas(out: Path) -> None:
    summary = json.loads((out / "summary.json").read_text("utf-8"))
    validator("summary").validate(summary)
    assert check_output(out) == []
    for test in summary["quality"]["tests"]:
        assert sum(test["counts"].values()) == summary["quality"]["records"]
        assert len(test["first"]) == min(3, test["listed"])
    described = json.loads((out / "datapackage.json").read_text("utf-8"))["resources"]
    assert {"quality", "quality_responses"} <= {resource["name"] for resource in described}


def test_the_page_names_tests_and_answers_as_the_standard_does(out: Path) -> None:
    page = html.fromstring((out / "report.html").read_text("utf-8"))
    (section,) = page.xpath("//section[@aria-labelledby='quality']")
    summary = json.loads((out / "summary.json").read_text("utf-8"))["quality"]
    shown = [row.text_content() for row in section.xpath(".//tbody//th/code")]
    assert sorted(shown) == sorted(test.label for test in chosen())
    failing = [
        sum(test["counts"].get(answer, 0) for answer in FAILING)
        for label in section.xpath("(.//table)[1]//th/code/text()")
        for test in summary["tests"]
        if test["test"] == label
    ]
    assert failing == sorted(failing, reverse=True) and all(failing), "the worst come first"
    words = section.text_content()
    for name in ("COMPLIANT", "NOT_COMPLIANT", "bdqval:sourceAuthority", "Nothing was amended"):
        assert name in words
    assert "GBIF TaxonRank Vocabulary with the nothotaxa of the ICN" in words


def test_hybrid_ranks_comply_under_the_parameter_that_is_named(out: Path) -> None:
    """ICN Art. H.1 and H.3: the ranks of nothotaxa. The draft standard's default lacks them."""
    ranks = Counter(row["taxonRank"] for row in _read(out / "dwca" / "occurrence.csv"))
    if "nothospecies" not in ranks:
        pytest.skip("no nothospecies goes out of these records")
    (row,) = [r for r in _read(out / "quality.csv") if r["test"] == "VALIDATION_TAXONRANK_STANDARD"]
    assert "nothotaxa of the ICN" in row["parameters"]
    assert row["not_compliant"] == "0"
    default = quality.run("VALIDATION_TAXONRANK_STANDARD", {"dwc:taxonRank": "nothospecies"})
    assert default.result == "NOT_COMPLIANT"


@pytest.mark.parametrize(
    ("identifier", "test"),
    [
        ("b", "VALIDATION_COUNTRYCOUNTRYCODE_CONSISTENT"),
        ("c", "VALIDATION_COUNTRYCODE_STANDARD"),
        ("a", "VALIDATION_LICENSE_NOTEMPTY"),
    ],
)
def test_made_up_faults_are_found(tmp_path: Path, identifier: str, test: str) -> None:
    """ISO 3166-1: GB is the United Kingdom, UK is no code of a country."""
    source = tmp_path / "records.csv"
    source.write_text(ROWS, encoding="utf-8")
    vet_to([source], tmp_path / "out", QUIET)
    rows = _read(tmp_path / "out" / "quality_responses.csv")
    assert (identifier, test) in {(row["occurrenceID"], row["test"]) for row in rows}


def test_the_list_is_bounded_and_the_counts_are_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(fitness, "MOST_LISTED", 2)
    source = tmp_path / "records.csv"
    source.write_text(ROWS, encoding="utf-8")
    summary = vet_to([source], tmp_path / "out", replace(QUIET, chunk_rows=1))
    rows = Counter(row["test"] for row in _read(tmp_path / "out" / "quality_responses.csv"))
    told = {test["test"]: test for test in summary["quality"]["tests"]}
    assert max(rows.values()) == 2
    licence = told["VALIDATION_LICENSE_NOTEMPTY"]
    assert licence["counts"]["NOT_COMPLIANT"] == 2 == licence["listed"]
    rank = told["VALIDATION_GEODETICDATUM_NOTEMPTY"]
    assert rank["counts"] == {"COMPLIANT": 4} and rank["listed"] == 0
    assert "VALIDATION_LICENSE_NOTEMPTY" in "\n".join(summary_lines(summary, tmp_path))


def test_no_quality_leaves_the_tests_out(tmp_path: Path, capsys: pytest.CaptureFixture) -> None:
    source = tmp_path / "records.csv"
    source.write_text(ROWS, encoding="utf-8")
    assert main(["vet", str(source), "--no-quality", "--json", "--out", str(tmp_path / "o")]) == 0
    assert "quality" not in json.loads(capsys.readouterr().out)
    assert not list((tmp_path / "o").glob("quality*"))
    assert "VALIDATION_" not in (tmp_path / "o" / "report.html").read_text("utf-8")


def test_a_submission_of_which_nothing_goes_out_is_tested_without_a_record(tmp_path: Path) -> None:
    source = tmp_path / "records.csv"
    source.write_text("species,date\n,\n,someday\n", encoding="utf-8")
    vetting: Any = vet(source, options=QUIET)
    assert vetting.summary["quality"]["records"] == 0
    assert len(vetting.quality) == len(chosen())
    assert set(vetting.quality["compliant"]) == {"0"}


def test_the_choice_runs_offline_and_says_why() -> None:
    by_label = {test.label: test for test in quality.tests()}
    assert len({test.label for test in chosen()}) == len(chosen())
    for test in chosen():
        declared = by_label[test.label]
        assert declared.offline and declared.kind in ("VALIDATION", "ISSUE")
        assert test.why
        assert test.parameters.keys() <= declared.parameters.keys()
