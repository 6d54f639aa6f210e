"""Any input, under Darwin Core names, tested record by record, each with its place."""

from __future__ import annotations

import csv
import json
import zipfile
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof import quality
from crossproof.checks import validator
from crossproof.fitness import chosen
from crossproof.folder import FolderRefused
from crossproof.model import Table
from crossproof.options import Options
from crossproof.pipeline import vet_to
from crossproof.quality_run import PLACE, QualityOptions, check_to, load_parameters, named
from crossproof.read import Unreadable

TODAY = date(2026, 11, 25)
CSV = QualityOptions(form="csv", today=TODAY)
SHEET = """\
Species,Date,Grid Ref,Type,Warden's tick
Dactylorhiza fuchsii,12.vi.1987,SU123456,cutting,y
Bellis perennis,2019-05-04,SU12,,n
too,few
Dactylorhiza × grandis,31.2.2001,,x,
"""
TERMS = """\
occurrenceID,scientificName,taxonRank,eventDate,year,countryCode
a1,Bellis perennis,species,1990-02-30,1990,GB
a2,Dactylorhiza × grandis,nothospecies,1990-02-28,1991,UK
"""
META = """\
<archive xmlns="http://rs.tdwg.org/dwc/text/"><core rowType="http://rs.tdwg.org/dwc/terms/Occurrence"
 fieldsTerminatedBy="," fieldsEnclosedBy='"' ignoreHeaderLines="1" encoding="UTF-8">
<files><location>occurrence.csv</location></files><id index="0"/>
<field index="0" term="http://rs.tdwg.org/dwc/terms/occurrenceID"/>
<field index="1" term="http://rs.tdwg.org/dwc/terms/scientificName"/>
<field index="2" term="http://purl.org/dc/elements/1.1/type"/>
<field index="3" term="http://rs.tdwg.org/dwc/terms/day"/>
<field default="HumanObservation" term="http://rs.tdwg.org/dwc/terms/basisOfRecord"/>
</core></archive>
"""
CORE = """\
id,name,type,day
x1,Bellis perennis,PhysicalObject,31
x2,Geum rivale,Specimen, 7
"""


@pytest.fixture
def inputs(tmp_path: Path) -> list[Path]:
    (tmp_path / "sheet.csv").write_text(SHEET, encoding="utf-8")
    (tmp_path / "terms.csv").write_text(TERMS, encoding="utf-8")
    with zipfile.ZipFile(tmp_path / "archive.zip", "w") as archive:
        archive.writestr("meta.xml", META)
        archive.writestr("occurrence.csv", CORE)
    return [tmp_path / name for name in ("sheet.csv", "terms.csv", "archive.zip")]


def _read(path: Path) -> list[dict[str, str]]:
    if path.suffix == ".parquet":
        return pd.read_parquet(path).astype(str).to_dict("records")
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


EXPECTED: list[dict[str, str]] = [  # what each record says, by its place
    {"dwc:scientificName": "Dactylorhiza fuchsii", "dwc:eventDate": "12.vi.1987"},
    {"dwc:scientificName": "Bellis perennis", "dwc:eventDate": "2019-05-04"},
    {"dwc:scientificName": "Dactylorhiza × grandis", "dwc:eventDate": "31.2.2001"},
    {
        "dwc:occurrenceID": "a1",
        "dwc:scientificName": "Bellis perennis",
        "dwc:taxonRank": "species",
        "dwc:eventDate": "1990-02-30",
        "dwc:year": "1990",
        "dwc:countryCode": "GB",
    },
    {
        "dwc:occurrenceID": "a2",
        "dwc:scientificName": "Dactylorhiza × grandis",
        "dwc:taxonRank": "nothospecies",
        "dwc:eventDate": "1990-02-28",
        "dwc:year": "1991",
        "dwc:countryCode": "UK",
    },
    {
        "dwc:occurrenceID": "x1",
        "dwc:scientificName": "Bellis perennis",
        "dc:type": "PhysicalObject",
        "dwc:day": "31",
        "dwc:basisOfRecord": "HumanObservation",
    },
    {
        "dwc:occurrenceID": "x2",
        "dwc:scientificName": "Geum rivale",
        "dc:type": "Specimen",
        "dwc:day": " 7",
        "dwc:basisOfRecord": "HumanObservation",
    },
]
PLACES = [
    ("sheet.csv", "", "2"),
    ("sheet.csv", "", "3"),
    ("sheet.csv", "", "5"),
    ("terms.csv", "", "2"),
    ("terms.csv", "", "3"),
    ("archive.zip/occurrence.csv", "", "2"),
    ("archive.zip/occurrence.csv", "", "3"),
]


@pytest.mark.parametrize("form", ["csv", "parquet"])
def test_each_record_is_told_what_it_is_told_alone_and_where_it_stands(
    inputs: list[Path], tmp_path: Path, form: Any
) -> None:
    """Every test put to the records by itself is the measure; `Type` of a sheet is no `dc:type`."""
    out = tmp_path / "out"
    summary = check_to(inputs, out, QualityOptions(form=form, today=TODAY))
    assert summary["records"] == len(EXPECTED)
    records = {
        row["record"]: tuple(row[p] for p in PLACE) for row in _read(out / f"records.{form}")
    }
    assert records == {str(n): place for n, place in enumerate(PLACES, start=1)}
    said = {(r["record"], r["test"]): r for r in _read(out / f"responses.{form}")}
    failing = {(r["record"], r["test"]): r for r in _read(out / f"failing.{form}")}
    locations = {"dwc:verbatimCoordinates", "dwc:verbatimLocality"}
    for number, record in enumerate(EXPECTED, start=1):
        for test in quality.tests():
            if test.kind == "MEASURE" or locations & set(test.inputs):
                continue  # measures count the others; the sheet's grid references are no record's
            alone = quality.run(test.guid, record, today=TODAY)
            key = (str(number), test.label)
            row = said[key]
            assert (row["status"], row["result"]) == (alone.status, alone.result), (key, alone)
            assert (key in failing) == (alone.result in ("NOT_COMPLIANT", "POTENTIAL_ISSUE"))
    for (number, _), row in failing.items():
        assert tuple(row[p] for p in PLACE) == PLACES[int(number) - 1]
        assert row["occurrenceID"] == EXPECTED[int(number) - 1].get("dwc:occurrenceID", "")


def test_the_summary_counts_what_the_tables_hold(inputs: list[Path], tmp_path: Path) -> None:
    out = tmp_path / "out"
    summary = check_to(inputs, out, CSV)
    assert json.loads((out / "summary.json").read_text("utf-8")) == summary
    validator("quality").validate(summary)
    rows = _read(out / "responses.csv")
    assert len(rows) == len(EXPECTED) * len(quality.tests())
    for test in summary["tests"]:
        mine = [row["result"] or row["status"] for row in rows if row["test"] == test["test"]]
        for answer in ("COMPLIANT", "NOT_COMPLIANT", "POTENTIAL_ISSUE", "NOT_ISSUE"):
            assert test["counts"].get(answer, 0) == mine.count(answer)
        assert sum(test["counts"].values()) == len(EXPECTED)
    assert summary["broken_rows"] == 1
    assert summary["broken"] == ["sheet.csv, row 4: the row has 2 cells, the heading 5"]


def test_a_row_that_did_not_fit_is_not_tested(inputs: list[Path], tmp_path: Path) -> None:
    check_to(inputs[:1], tmp_path / "out", CSV)
    assert [row["source_row"] for row in _read(tmp_path / "out" / "records.csv")] == ["2", "3", "5"]


def test_amendments_are_made_in_a_copy_of_tables_of_different_columns(
    inputs: list[Path], tmp_path: Path
) -> None:
    before = [path.read_bytes() for path in inputs]
    out = tmp_path / "out"
    summary = check_to(inputs, out, QualityOptions(form="csv", today=TODAY, apply=True))
    amended = _read(out / "amended.csv")
    assert [tuple(row[p] for p in PLACE) for row in amended] == PLACES
    assert [row["Warden's tick"] for row in amended[:3]] == ["y", "n", ""]
    assert [row["Type"] for row in amended[:3]] == ["cutting", "", "x"]
    assert [row["type"] for row in amended[:3]] == ["", "", ""]
    assert amended[0]["eventDate"] == "1987-06-12"  # ISO 8601-1; the month in Roman figures
    changes = _read(out / "amendments.csv")
    last: dict[tuple[str, str], dict[str, str]] = {}
    for change in changes:
        assert tuple(change[p] for p in PLACE) == PLACES[int(change["record"]) - 1]
        last[change["record"], change["term"]] = change
    assert {"AMENDED", "FILLED_IN"} == {change["status"] for change in changes}
    for (record, term), change in last.items():
        assert amended[int(record) - 1][term.partition(":")[2]] == change["proposed"]
    assert [path.read_bytes() for path in inputs] == before
    validator("quality").validate(summary)
    day = next(t for t in summary["tests"] if t["test"] == "VALIDATION_DAY_STANDARD")
    assert day["counts_after"].get("NOT_COMPLIANT", 0) == 0


def test_amended_records_have_nothing_more_to_amend(inputs: list[Path], tmp_path: Path) -> None:
    """Issue 5: running twice changes nothing."""
    options = QualityOptions(form="csv", today=TODAY, apply=True)
    check_to(inputs[1:2], tmp_path / "one", options)
    again = tmp_path / "again.csv"
    again.write_bytes((tmp_path / "one" / "amended.csv").read_bytes())
    check_to([again], tmp_path / "two", options)
    assert _read(tmp_path / "one" / "amendments.csv")
    assert _read(tmp_path / "two" / "amendments.csv") == []


def test_a_mapping_says_what_a_heading_holds(tmp_path: Path) -> None:
    source = tmp_path / "records.csv"
    source.write_text("Plant,Seen\nBellis perennis,1990-02-30\n", encoding="utf-8")
    mapping = {"scientificName": "Plant", "dateIdentified": "Seen"}
    check_to([source], tmp_path / "out", QualityOptions(form="csv", today=TODAY, mapping=mapping))
    failed = {row["test"] for row in _read(tmp_path / "out" / "failing.csv")}
    assert "VALIDATION_DATEIDENTIFIED_STANDARD" in failed
    assert "VALIDATION_EVENTDATE_NOTEMPTY" in failed


def test_an_earlier_output_is_replaced_and_anything_else_left_alone(
    inputs: list[Path], tmp_path: Path
) -> None:
    check_to(inputs[:1], tmp_path / "out", QualityOptions(form="parquet", today=TODAY))
    check_to(inputs[1:], tmp_path / "out", CSV)
    assert not list((tmp_path / "out").glob("*.parquet"))
    with pytest.raises(FolderRefused):
        check_to(inputs, tmp_path, CSV)


@pytest.mark.parametrize(
    ("change", "error"),
    [
        ({"taxa": Path("nowhere.csv")}, quality.TaxonListError),
        ({"parameters": {"VALIDATION_NO_SUCH": {}}}, KeyError),
    ],
)
def test_what_cannot_be_run_leaves_nothing_behind(
    inputs: list[Path], tmp_path: Path, change: Any, error: type[Exception]
) -> None:
    with pytest.raises(error):
        check_to(inputs, tmp_path / "out", QualityOptions(today=TODAY, **change))
    missing = tmp_path / "missing.csv"
    with pytest.raises(Unreadable):
        check_to([*inputs, missing], tmp_path / "out", CSV)
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(path.name for path in inputs)


_names = st.sampled_from(
    ["eventDate", "dwc:day", "type", "source_row", "Date", "x", "x (submitted)", "scientificName"]
)


@given(
    headings=st.lists(_names, unique=True),
    taken=st.lists(st.sampled_from(["eventDate", "day", "scientificName", "leaf"]), unique=True),
    verbatim=st.booleans(),
)
def test_no_column_is_lost_or_taken_for_another(
    headings: list[str], taken: list[str], verbatim: bool
) -> None:
    table = Table("t.csv", "", tuple(headings), 1, dict(zip(taken, headings, strict=False)))
    whole = named(table, verbatim=verbatim, whole=True)
    assert sorted(whole.values()) == list(range(len(headings)))
    assert not set(PLACE) & whole.keys()
    few = named(table, verbatim=verbatim, whole=False)
    read = {term for test in quality.tests() for term in test.inputs}
    bare = {term.partition(":")[2] for term in read}
    assert few == {name: place for name, place in whole.items() if name in read | bare}
    if not verbatim:
        assert set(few) <= set(taken)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[VALIDATION_NO_SUCH]\n", "there is no test 'VALIDATION_NO_SUCH'"),
        ("[VALIDATION_DAY_STANDARD]\nx = 1\n", "has no parameter 'x'; it takes none"),
        (
            'VALIDATION_YEAR_INRANGE = "1800"\n',
            "needs a table of parameters; it takes bdqval:earliestValidDate, "
            "bdqval:latestValidDate",
        ),
        ("[half\n", "is not a file of parameters"),
    ],
)
def test_parameters_that_are_none_are_refused(tmp_path: Path, text: str, sentence: str) -> None:
    path = tmp_path / "parameters.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=r"parameters\.toml") as refused:
        load_parameters(path)
    assert sentence in str(refused.value)


def test_parameters_go_by_label_or_guid_and_reach_the_test(
    inputs: list[Path], tmp_path: Path
) -> None:
    """ICN Art. H.1, H.3: the vocabulary with nothotaxa; the draft standard's default has none."""
    path = tmp_path / "parameters.toml"
    path.write_text(
        "[7bdb13a4-8a51-4ee5-be7f-20693fdb183e]\n"
        '"bdqval:sourceAuthority" = "GBIF TaxonRank Vocabulary with the nothotaxa of the ICN"\n'
        "[VALIDATION_YEAR_INRANGE]\n"
        '"bdqval:earliestValidDate" = 1991\n',
        encoding="utf-8",
    )
    given_ = load_parameters(path)
    assert set(given_) == {"VALIDATION_TAXONRANK_STANDARD", "VALIDATION_YEAR_INRANGE"}
    options = QualityOptions(form="csv", today=TODAY, parameters=given_)
    summary = check_to(inputs[1:2], tmp_path / "out", options)
    told = {test["test"]: test for test in summary["tests"]}
    assert told["VALIDATION_TAXONRANK_STANDARD"]["counts"] == {"COMPLIANT": 2}
    assert told["VALIDATION_TAXONRANK_STANDARD"]["parameters"]
    assert told["VALIDATION_YEAR_INRANGE"]["counts"] == {"COMPLIANT": 1, "NOT_COMPLIANT": 1}


def test_an_archive_of_ours_is_tested_as_it_stands(tmp_path: Path) -> None:
    """What `vet` says of the records it wrote and what `quality` says of its archive are one."""
    source = tmp_path / "records.csv"
    source.write_text(
        "species,date,grid ref,leaves,notes\n"
        "D. x grandis,12/06/2024,TL618827,ring spots,\n"
        "Bellis perennis,2019-05,SU12,,small\n"
        "D. fuchsii x praetermissa,1987,TL61,unspotted,stem hollow\n",
        encoding="utf-8",
    )
    vet_to([source], tmp_path / "vetted", Options(today=TODAY, validate="never"))
    parameters = {test.label: test.parameters for test in chosen() if test.parameters}
    options = QualityOptions(form="csv", today=TODAY, parameters=parameters)
    told = {
        test["test"]: test["counts"]
        for archive in ("dwca", "dwca.zip")
        for test in check_to([tmp_path / "vetted" / archive], tmp_path / "out", options)["tests"]
    }
    within = json.loads((tmp_path / "vetted" / "summary.json").read_text("utf-8"))["quality"]
    assert within["records"] == 3 and within["tests"]
    for test in within["tests"]:
        assert told[test["test"]] == test["counts"], test["test"]
