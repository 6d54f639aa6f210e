"""The library's front door: `vet` and `vet_frame`."""

from __future__ import annotations

import gc
import json
from pathlib import Path

import pandas as pd
import pytest

import crossproof as cp
from crossproof.folder import FolderRefused
from crossproof.options import Options
from crossproof.pipeline import vet_to
from crossproof.read import Unreadable
from crossproof.report.sheets import VERDICT_COLUMNS
from crossproof.vetter import Vetter

TEXT = """species,grid ref,date,leaves,stem,photo,comments
D. x grandis,SU 123 456,2019-06-14,ring spots,partly hollow,a.jpg,"two, or
three"
D. x grandis,SU 123 456,2019-06-14,,,,
D. fuchsii,,,,,,lost
"""


@pytest.fixture
def source(tmp_path: Path) -> Path:
    path = tmp_path / "records.csv"
    path.write_text(TEXT)
    return path


def test_vet(source: Path) -> None:
    vetting = cp.vet(source, issued="2026-11-25")
    assert vetting.summary["rows"] == 3
    assert vetting.verdicts["outcome"].tolist() == ["upheld", "lowered", "returned"]
    assert vetting.verdicts["source_row"].tolist() == ["2", "3", "4"]
    assert vetting.occurrences["scientificName"].tolist() == [
        "Dactylorhiza × grandis (Druce) P.F.Hunt",
        "Dactylorhiza Neck. ex Nevski",
    ]
    assert vetting.occurrences["occurrenceRemarks"].tolist()[0] == "two, or\nthree"
    assert vetting.returned["comments"].tolist() == ["lost"]
    assert set(vetting.findings["code"]) >= {"date_unreadable", "place_unreadable"}
    for frame in (vetting.verdicts, vetting.occurrences, vetting.returned, vetting.findings):
        assert not frame.isna().any().any()


def test_options_may_be_given_one_by_one_or_together(source: Path) -> None:
    by_one = cp.vet(source, strict_needs=True).summary
    together = cp.vet(source, options=Options(strict_needs=True)).summary
    assert by_one == together
    assert by_one["needs"] == "strict"


def test_write(source: Path, tmp_path: Path) -> None:
    vetting = cp.vet(source)
    vetting.write(tmp_path / "out")
    summary = json.loads((tmp_path / "out" / "summary.json").read_text("utf-8"))
    assert summary == vetting.summary
    vetting.write(str(tmp_path / "out"))  # over an earlier output
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "thesis.txt").touch()
    with pytest.raises(FolderRefused):
        vetting.write(tmp_path / "mine")


def test_its_files_last_as_long_as_it_does(source: Path) -> None:
    vetting = cp.vet(source)
    place = vetting.folder
    assert place.exists()
    del vetting
    gc.collect()
    assert not place.parent.exists()


def test_a_failed_run_leaves_no_files(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with pytest.raises(Unreadable):
        cp.vet(tmp_path / "none.csv")
    assert [*tmp_path.iterdir()] == []


def test_several_files_are_one_submission(source: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.csv"
    other.write_text("taxon,site,date\nBellis perennis,Fen,2019\n")
    summary = cp.vet(source, other).summary
    assert summary["rows"] == 4
    assert [table["file"] for table in summary["submission"]] == ["records.csv", "other.csv"]


def test_progress_counts_every_row(source: Path, tmp_path: Path) -> None:
    source.write_text(TEXT + "broken\n")
    told: list[int] = []
    vet_to([source], tmp_path / "out", Options(chunk_rows=2), told.append)
    assert sum(told) == 4


FRAME = pd.DataFrame(
    {
        "Species": ["D. x grandis", "Bellis perennis", None],
        "Date": ["2019-06-14", "2019", pd.Timestamp("2019-06-14")],
        "Site": ["Fen", "Fen", float("nan")],
        "Leaves": ["ring spots", "", ""],
        "Stem": ["partly hollow", "", ""],
        "Photo": ["a.jpg", "", ""],
    },
    index=["x", "y", "z"],
)


def test_vet_frame() -> None:
    before = FRAME.copy(deep=True)
    verdicts = cp.vet_frame(FRAME)
    pd.testing.assert_frame_equal(FRAME, before)
    assert tuple(verdicts.columns) == VERDICT_COLUMNS
    assert verdicts.index.tolist() == ["x", "y", "z"]
    assert verdicts["outcome"].tolist() == ["upheld", "no_claim", "returned"]
    assert verdicts["source_row"].tolist() == ["1", "2", "3"]


def test_vet_frame_gives_the_same_again_whatever_its_vetter_has_seen() -> None:
    vetter = Vetter(Options())
    first = cp.vet_frame(FRAME, vetter=vetter)
    pd.testing.assert_frame_equal(cp.vet_frame(FRAME, vetter=vetter), first)
    pd.testing.assert_frame_equal(cp.vet_frame(FRAME), first)


def test_vet_frame_of_no_rows_has_the_columns() -> None:
    verdicts = cp.vet_frame(FRAME.iloc[:0])
    assert tuple(verdicts.columns) == VERDICT_COLUMNS
    assert len(verdicts) == 0


def test_vet_frame_follows_a_mapping() -> None:
    frame = FRAME.rename(columns={"Species": "Wort"})
    with pytest.raises(Unreadable):
        cp.vet_frame(frame)
    verdicts = cp.vet_frame(frame, options=Options(mapping={"scientificName": "Wort"}))
    assert verdicts["outcome"].tolist() == ["upheld", "no_claim", "returned"]


def test_a_frame_and_its_file_are_judged_alike(tmp_path: Path) -> None:
    frame = FRAME.iloc[:2]
    frame.to_csv(tmp_path / "records.csv", index=False)
    read = cp.vet(tmp_path / "records.csv").verdicts
    direct = cp.vet_frame(frame).reset_index(drop=True)
    same = [column for column in VERDICT_COLUMNS if not column.startswith("source_")]
    pd.testing.assert_frame_equal(read[same].astype(object), direct[same].astype(object))
