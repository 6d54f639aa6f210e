"""The table engine against a plain loop, and what it writes."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from crossproof import quality
from crossproof.quality import chunk as chunk_module
from crossproof.quality import table as table_module
from crossproof.quality.amending import amend
from crossproof.quality.distinct import prefixed
from crossproof.quality.writing import FormError

TODAY = date(2026, 11, 25)
VECTORS = Path(__file__).resolve().parents[1] / "vectors" / "quality_cases.json"


def _records() -> list[dict[str, str]]:
    """The records of our own cases, without the sections they test: a table of every oddity."""
    cases = json.loads(VECTORS.read_text(encoding="utf-8"))["cases"]
    return [case["record"] for case in cases if "parameters" not in case]


def _frame() -> pd.DataFrame:
    frame = pd.DataFrame(_records()).rename(columns=lambda term: term.partition(":")[2])
    frame["occurrenceID"] = [f"o{row}" for row in range(len(frame))]
    frame["notes kept"] = "as they are"
    return frame


def _pieces(frame: pd.DataFrame, size: int) -> Iterator[pd.DataFrame]:
    for start in range(0, len(frame), size):
        yield frame.iloc[start : start + size]


def _as_record(frame: pd.DataFrame, row: int) -> dict[str, str]:
    named = prefixed(frame.columns)
    cells = frame.iloc[row]
    return {term: "" if pd.isna(cells[column]) else cells[column] for term, column in named.items()}


def _read(path: Path) -> list[dict[str, str]]:
    if path.suffix == ".parquet":
        return pd.read_parquet(path).astype(str).to_dict("records")
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("form", ["parquet", "csv"])
def test_the_table_says_of_each_record_what_the_record_alone_is_told(
    form: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(table_module, "CHUNK", 100)
    monkeypatch.setattr(chunk_module, "REMEMBERED", 30)
    frame = _frame()
    outcome = quality.check_table(_pieces(frame, 37), tmp_path, today=TODAY, form=form)
    assert outcome.records == len(frame)
    said = {
        (int(row["record"]), row["test"]): (row["status"], row["result"], row["comment"])
        for row in _read(tmp_path / f"responses.{form}")
    }
    assert len(said) == len(frame) * len(quality.tests())
    for row in range(0, len(frame), 5):
        record = _as_record(frame, row)
        for test in quality.tests():
            alone = quality.run(test.guid, record, today=TODAY)
            expected = (alone.status, alone.result, alone.comment)
            assert said[row + 1, test.label] == expected, (test.label, record)


def test_a_frame_is_told_the_same_without_writing_anything() -> None:
    frame = _frame().head(200)
    labels = ["VALIDATION_EVENT_CONSISTENT", "AMENDMENT_EVENTDATE_STANDARDIZED"]
    told = quality.respond(frame, labels, today=TODAY)
    assert list(told) == labels
    for label, (responses, codes) in told.items():
        assert len(codes) == len(frame)
        assert len(set(responses)) == len(responses) > 1
        for row in range(len(frame)):
            alone = quality.run(label, _as_record(frame, row), today=TODAY)
            assert responses[codes[row]] == alone
    assert len(quality.respond(frame, today=TODAY)) == 106


def test_the_tallies_are_the_sums_of_the_responses(tmp_path: Path) -> None:
    frame = _frame()
    outcome = quality.check_table([frame], tmp_path, today=TODAY, form="csv")
    for tally in outcome.tallies:
        if tally.declaration.kind != "MEASURE":
            assert sum(tally.answers.values()) == len(frame)
    complete = {tally.declaration.label for tally in outcome.tallies if tally.complete}
    said = [(row["test"], row["result"]) for row in _read(tmp_path / "responses.csv")]
    judged = {test for test, result in said if result in ("COMPLIANT", "NOT_COMPLIANT")}
    assert complete == judged - {test for test, result in said if result == "NOT_COMPLIANT"}
    assert "VALIDATION_OCCURRENCEID_NOTEMPTY" in complete
    measures = {row["test"]: row for row in _read(tmp_path / "measures.csv")}
    compliant = sum(tally["COMPLIANT"] for tally in outcome.tallies)
    assert int(measures["MEASURE_VALIDATIONTESTS_COMPLIANT"]["total"]) == compliant
    summary = {row["test"]: row for row in _read(tmp_path / "summary.csv")}
    assert sum(int(row["compliant"]) for row in summary.values()) == compliant


def test_amendments_are_proposed_and_the_table_left_alone(tmp_path: Path) -> None:
    frame = _frame()
    before = frame.copy()
    outcome = quality.check_table([frame], tmp_path, today=TODAY, form="csv")
    pd.testing.assert_frame_equal(frame, before)
    assert not (tmp_path / "amended.csv").exists()
    assert outcome.after == ()
    proposals = _read(tmp_path / "amendments.csv")
    assert proposals
    for each in proposals[::7]:
        record = _as_record(frame, int(each["record"]) - 1)
        proposed = quality.run(each["test"], record, today=TODAY).proposed
        assert proposed[each["term"]] == each["proposed"]
        assert record.get(each["term"], "") == each["value"]
        assert each["occurrenceID"] == record["dwc:occurrenceID"]


@pytest.mark.parametrize("size", [50, 5000])
def test_amendments_are_made_when_asked_for_and_written_down(
    size: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(table_module, "CHUNK", size)
    frame = _frame()
    outcome = quality.check_table([frame], tmp_path, today=TODAY, form="csv", apply=True)
    amended = _read(tmp_path / "amended.csv")
    changes = _read(tmp_path / "amendments.csv")
    assert len(amended) == len(frame)
    assert {row["notes kept"] for row in amended} == {"as they are"}
    written = [
        (int(each["record"]), each["test"], each["term"], each["proposed"]) for each in changes
    ]
    expected = []
    for row in range(len(frame)):
        record, made = amend(_as_record(frame, row), today=TODAY)
        expected += [(row + 1, each.test, each.term, each.after) for each in made]
        for term, value in record.items():
            assert amended[row][term.partition(":")[2]] == value
    assert sorted(written) == sorted(expected)
    after = {tally.declaration.label: tally for tally in outcome.after}
    before = {tally.declaration.label: tally for tally in outcome.tallies}
    datum = "VALIDATION_GEODETICDATUM_NOTEMPTY"
    assert before[datum]["NOT_COMPLIANT"] > 0
    assert after[datum]["NOT_COMPLIANT"] == 0


def test_amending_the_amended_table_changes_nothing(tmp_path: Path) -> None:
    quality.check_table([_frame()], tmp_path / "once", today=TODAY, form="csv", apply=True)
    again = pd.read_csv(tmp_path / "once" / "amended.csv", dtype=str, keep_default_na=False)
    quality.check_table([again], tmp_path / "twice", today=TODAY, form="csv", apply=True)
    assert _read(tmp_path / "twice" / "amendments.csv") == []
    assert _read(tmp_path / "twice" / "amended.csv") == _read(tmp_path / "once" / "amended.csv")


def test_only_the_amendments_named_are_made(tmp_path: Path) -> None:
    only = ["AMENDMENT_MONTH_STANDARDIZED"]
    quality.check_table([_frame()], tmp_path, today=TODAY, form="csv", apply=only)
    assert {row["test"] for row in _read(tmp_path / "amendments.csv")} == set(only)


def test_parameters_are_for_the_test_they_are_given_to(tmp_path: Path) -> None:
    given = {"VALIDATION_YEAR_INRANGE": {"bdqval:earliestValidDate": "2000"}}
    frame = pd.DataFrame({"year": ["1999", "2000"], "eventDate": ["1999", "2000"]})
    outcome = quality.check_table([frame], tmp_path, today=TODAY, form="csv", parameters=given)
    tallies = {tally.declaration.label: tally for tally in outcome.tallies}
    assert tallies["VALIDATION_YEAR_INRANGE"]["NOT_COMPLIANT"] == 1
    assert tallies["VALIDATION_EVENTDATE_INRANGE"]["NOT_COMPLIANT"] == 0
    with pytest.raises(KeyError):
        quality.check_table([frame], tmp_path, parameters={"VALIDATION_NONE": {}})


def test_a_table_without_records_is_still_written(tmp_path: Path) -> None:
    outcome = quality.check_table([], tmp_path, today=TODAY)
    assert outcome.records == 0
    assert all(path.is_file() for path in outcome.files)
    assert "0 records" in (tmp_path / "quality.html").read_text(encoding="utf-8")


def test_a_broken_run_leaves_no_table_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(table_module, "CHUNK", 50)

    def broken() -> Iterator[pd.DataFrame]:
        yield _frame().head(100)
        raise OSError("the disk went away")

    with pytest.raises(OSError, match="went away"):
        quality.check_table(broken(), tmp_path, today=TODAY, form="csv")
    assert list(tmp_path.iterdir()) == []


def test_parquet_without_pyarrow_is_refused_in_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("crossproof.quality.writing.find_spec", lambda name: None)
    with pytest.raises(FormError, match=r"crossproof\[parquet\]"):
        quality.check_table([_frame()], tmp_path, form="parquet")
    quality.check_table([_frame()], tmp_path, today=TODAY)
    assert (tmp_path / "responses.csv").is_file()


def test_the_page_is_self_contained_and_escapes_what_it_shows(tmp_path: Path) -> None:
    source = "<script>alert('x')</script>.csv"
    quality.check_table([_frame()], tmp_path, today=TODAY, form="csv", source=source)
    page = (tmp_path / "quality.html").read_text(encoding="utf-8")
    assert "<script" not in page
    assert "&lt;script&gt;" in page
    assert not re.search(r"(?:src|href)=(?!\"#)|url\((?!#)|@import", page)
    assert all(each.label in page for each in quality.tests())
