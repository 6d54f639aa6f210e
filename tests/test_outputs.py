"""The output folder of a run: what is in it, and what goes back."""

from __future__ import annotations

import csv
import zipfile
from pathlib import Path

import pytest

from crossproof.options import Options
from crossproof.outputs import citations, methods_of
from crossproof.pipeline import vet_to
from crossproof.report.sheets import under_headings
from crossproof.rulebooks.load import shipped


@pytest.mark.parametrize(
    ("headings", "cells", "expected"),
    [
        (("a", "b"), ("1", "2"), {"a": "1", "b": "2"}),
        (("a", "b"), ("1",), {"a": "1"}),
        (("a",), ("1", "2", "3"), {"a": "1", "cell 2": "2", "cell 3": "3"}),
        (("cell 2",), ("1", "2"), {"cell 2": "1", "cell 2 (no heading)": "2"}),
        (("a",), (), {}),
    ],
)
def test_the_cells_of_a_broken_row_keep_their_places(headings, cells, expected) -> None:
    assert under_headings(headings, cells) == expected


def read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_what_goes_back_goes_back_verbatim_with_what_mends_it(tmp_path: Path) -> None:
    source = tmp_path / "records.csv"
    source.write_text(
        "species,date,site,note\n"
        'D. fuchsii,soon, Fen ,"two\nlines"\n'
        "D. fuchsii,2019,Fen,fine\n"
        "D. fuchsii,2019,Fen,much,too,long\n"
        ",2019,Fen,nameless\n"
    )
    summary = vet_to([source], tmp_path / "out", Options())
    assert summary["outcomes"]["returned"] == 3
    back = read(tmp_path / "out" / "returned.csv")
    assert [row["source_row"] for row in back] == ["2", "4", "5"]
    assert back[0]["site"] == " Fen "
    assert back[0]["note"] == "two\nlines"
    assert back[1]["cell 5"] == "too"
    assert [row["returned_reasons"] for row in back] == [
        "date_unreadable",
        "row_broken",
        "name_missing",
    ]
    assert "2019-06-14" in back[0]["returned_findings"]  # how to write the date
    assert back[1]["returned_findings"]


def test_the_zip_holds_the_archive_and_the_same_bytes_each_time(tmp_path: Path) -> None:
    source = tmp_path / "records.csv"
    source.write_text("species,date,site\nD. fuchsii,2019,Fen\n")
    for name in ("one", "two"):
        vet_to([source], tmp_path / name, Options())
    first, second = ((tmp_path / name / "dwca.zip") for name in ("one", "two"))
    assert first.read_bytes() == second.read_bytes()
    with zipfile.ZipFile(first) as archive:
        assert archive.testzip() is None
        folder = tmp_path / "one" / "dwca"
        assert set(archive.namelist()) == {path.name for path in folder.iterdir()}


@pytest.mark.parametrize("rows", ["", "D. fuchsii,,\n"])
def test_a_submission_of_which_nothing_can_be_exported(tmp_path: Path, rows: str) -> None:
    source = tmp_path / "records.csv"
    source.write_text("species,date,site\n" + rows)
    options = Options(issued="2026-11-25", validate="always")
    summary = vet_to([source], tmp_path / "out", options)
    assert summary["checks"] == {"tables_validated": True, "table_problems": []}
    assert read(tmp_path / "out" / "dwca" / "occurrence.csv") == []
    assert (tmp_path / "out" / "report.html").stat().st_size > 1_000


def test_every_rulebook_is_cited_with_its_version() -> None:
    for book in shipped():
        assert book.version in citations(shipped())[book.id]
        assert book.version in " ".join(methods_of(shipped(), Options()))


@pytest.mark.parametrize(("strict", "words"), [(True, "tiers of practice"), (False, "leaf, stem")])
def test_the_methods_say_what_claims_were_held_to(strict, words) -> None:
    assert words in methods_of(shipped(), Options(strict_needs=strict))[0]
