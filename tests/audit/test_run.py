"""An audit from files to folder: what is judged, what is written, and that it can be stopped."""

from __future__ import annotations

import csv
import json
from collections import Counter
from pathlib import Path

import pandas as pd
import pytest
from archives import HEADINGS, contents, read, rows, write

from crossproof.audit import run
from crossproof.audit.run import Progress, Settings, audit_to
from crossproof.checks import validator
from crossproof.options import Options
from crossproof.pipeline import vet_frame

CSV = Settings(form="csv")


@pytest.fixture(autouse=True)
def small_blocks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "BLOCK_BYTES", 2000)
    monkeypatch.setattr(run, "BLOCK_ROWS", 20)


def test_the_verdicts_are_those_of_the_frame_function(tmp_path: Path) -> None:
    table = rows(150)
    source = write(tmp_path / "records.csv", table)
    audit_to([source], tmp_path / "out", settings=CSV)
    got = pd.read_csv(tmp_path / "out" / "verdicts.csv", dtype=str, keep_default_na=False)
    frame = pd.DataFrame(table, columns=list(HEADINGS))
    expected = vet_frame(frame, options=Options(lenient=True))
    assert got["source_row"].tolist() == [str(i) for i in range(2, 152)]
    shared = [c for c in expected.columns if c in got.columns and not c.startswith("source_")]
    assert len(shared) > 18
    pd.testing.assert_frame_equal(got[shared], expected[shared])


@pytest.mark.parametrize("form", ["csv", "parquet"])
def test_parquet_and_csv_say_the_same(tmp_path: Path, form: str) -> None:
    source = write(tmp_path / "records.csv", rows(80))
    pq = pytest.importorskip("pyarrow.parquet")
    audit_to([source], tmp_path / "csv", settings=CSV)
    audit_to([source], tmp_path / "pq", settings=Settings(form="parquet"))
    ours = pq.read_table(tmp_path / "pq" / "verdicts.parquet").to_pylist()
    theirs = read(tmp_path / "csv" / "verdicts.csv")
    assert [{k: str(v) for k, v in row.items()} for row in ours] == theirs


def test_every_row_is_counted(tmp_path: Path) -> None:
    table = rows(120)
    table[5] = ("id-x", "", *table[5][2:])
    table[7] = (*table[7], "one cell too many")
    source = write(tmp_path / "records.csv", table)
    summary = audit_to([source], tmp_path / "out", settings=CSV)
    assert summary["rows"] == 120
    assert sum(summary["outcomes"].values()) + summary["duplicates"] == 120
    assert summary["outcomes"]["returned"] == summary["returned"] == 2
    verdicts = Counter(row["outcome"] for row in read(tmp_path / "out" / "verdicts.csv"))
    assert verdicts["lowered"] == summary["changes"]
    assert set(summary) >= {"figures", "sample"}
    validator("audit").validate(json.loads((tmp_path / "out" / "summary.json").read_text()))


def test_returned_rows_are_kept_and_explained(tmp_path: Path) -> None:
    table = [("id-1", "", "SU1245", "1/6/1999", "", "", "", ""), ("id-2", "D. fuchsii", "x")]
    source = write(tmp_path / "records.csv", [*table, *rows(3)])
    audit_to([source], tmp_path / "out", settings=CSV)
    first, second = read(tmp_path / "out" / "returned.csv")
    assert (first["occurrenceID"], first["returned_reasons"]) == ("id-1", "name_missing")
    assert (second["occurrenceID"], second["returned_reasons"]) == ("id-2", "row_broken")
    assert "3 cells" in second["returned_findings"]


def test_rows_without_place_or_date_are_judged(tmp_path: Path) -> None:
    row = ("id-1", "D. x grandis", "", "long ago", "", "ring spots", "partly hollow", "a.jpg")
    source = write(tmp_path / "records.csv", [row])
    summary = audit_to([source], tmp_path / "out", settings=CSV)
    assert summary["outcomes"]["upheld"] == 1


def test_only_records_that_would_change_are_listed(tmp_path: Path) -> None:
    source = write(tmp_path / "records.csv", rows(100))
    audit_to([source], tmp_path / "out", settings=CSV)
    verdicts = read(tmp_path / "out" / "verdicts.csv")
    changes = read(tmp_path / "out" / "changes.csv")
    lowered = [v for v in verdicts if v["outcome"] == "lowered"]
    assert [c["occurrenceID"] for c in changes] == [v["occurrenceID"] for v in lowered]
    assert [c["after"] for c in changes] == [v["determined_name"] for v in lowered]
    assert all(c["before"] and c["reasons"] and c["after"] != c["claimed_name"] for c in changes)


def test_sources_are_not_touched(tmp_path: Path) -> None:
    source = write(tmp_path / "records.csv", rows(10))
    before = source.read_bytes(), source.stat().st_mtime_ns
    audit_to([source], tmp_path / "out")
    assert (source.read_bytes(), source.stat().st_mtime_ns) == before


class Killed(BaseException):
    pass


@pytest.mark.parametrize("parts", [1, 3, 5])
def test_a_run_that_was_killed_goes_on_with_the_same_bytes(tmp_path: Path, parts: int) -> None:
    sources = [write(tmp_path / f"{i}.csv", rows(60, seed=i)) for i in (1, 2)]
    audit_to(sources, tmp_path / "whole")
    told: list[Progress] = []

    def killed(progress: Progress) -> None:
        told.append(progress)
        if len(told) == parts:
            raise Killed

    with pytest.raises(Killed):
        audit_to(sources, tmp_path / "out", tell=killed)
    assert not (tmp_path / "out").exists()
    written = sorted((tmp_path / ".out.audit").glob("part-*"))
    assert len(written) == parts
    stamps = [part.stat().st_mtime_ns for part in written]

    def check(progress: Progress) -> None:
        here = [part.stat().st_mtime_ns for part in written]
        assert here == stamps, "a finished part was done again"

    audit_to(sources, tmp_path / "out", tell=check)
    assert contents(tmp_path / "out") == contents(tmp_path / "whole")
    assert not (tmp_path / ".out.audit").exists()


def test_a_run_with_other_options_begins_anew(tmp_path: Path) -> None:
    source = write(tmp_path / "1.csv", rows(60))

    def killed(progress: Progress) -> None:
        raise Killed

    with pytest.raises(Killed):
        audit_to([source], tmp_path / "out", tell=killed)
    audit_to([source], tmp_path / "out", Options(strict_needs=True))
    audit_to([source], tmp_path / "whole", Options(strict_needs=True))
    assert contents(tmp_path / "out") == contents(tmp_path / "whole")


def test_mixed_files_and_folders(tmp_path: Path) -> None:
    pq = pytest.importorskip("pyarrow.parquet")
    import pyarrow as pa
    import xlsxwriter

    archive = tmp_path / "archive"
    (archive / "decade=1990").mkdir(parents=True)
    write(archive / "a.csv", rows(30, seed=1))
    write(archive / "b.csv", [("id-q", "D. x grandis", "", "", 'said "hm"\nand left', *[""] * 3)])
    columns = list(zip(*rows(50, seed=2), strict=True))
    pq.write_table(
        pa.table(dict(zip(HEADINGS, map(list, columns), strict=True))),
        archive / "decade=1990" / "c.parquet",
        row_group_size=17,
    )
    book = xlsxwriter.Workbook(tmp_path / "d.xlsx")
    sheet = book.add_worksheet("2001")
    for i, row in enumerate([HEADINGS, *rows(25, seed=3)]):
        sheet.write_row(i, 0, row)
    book.close()
    summary = audit_to([archive, tmp_path / "d.xlsx"], tmp_path / "out", settings=CSV)
    assert {t["file"]: t["rows"] for t in summary["archive"]} == {
        "a.csv": 30,
        "b.csv": 1,
        "decade=1990/c.parquet": 50,
        "d.xlsx": 25,
    }
    places = Counter(v["source_file"] for v in read(tmp_path / "out" / "verdicts.csv"))
    assert places["d.xlsx"] == 25


def test_recorders_are_pseudonymous_on_request(tmp_path: Path) -> None:
    source = write(tmp_path / "records.csv", rows(60))
    options = Options(recorders="pseudonyms", key=b"a secret of some length")
    audit_to([source], tmp_path / "out", options, CSV)
    for path in (tmp_path / "out").rglob("*"):
        if path.is_file():
            assert b"Thornley" not in path.read_bytes(), path.name
    verdicts = read(tmp_path / "out" / "verdicts.csv")
    assert any(v["recorder"].startswith("recorder-") for v in verdicts)


def test_tables_are_safe_to_open_in_a_spreadsheet(tmp_path: Path) -> None:
    source = write(tmp_path / "records.csv", [("=1+1", "D. x grandis", *["=2"] * 3, "", "", "")])
    audit_to([source], tmp_path / "out", settings=CSV)
    for name in ("changes.csv", "sample.csv"):
        with (tmp_path / "out" / name).open(encoding="utf-8", newline="") as file:
            cells = [cell for row in csv.reader(file) for cell in row]
        assert cells
        assert not any(cell.startswith("=") for cell in cells)
