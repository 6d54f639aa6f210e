"""The same record twice is counted once, and listed."""

from __future__ import annotations

from pathlib import Path

import pytest
from archives import read, rows, write

from crossproof.audit import run, shuffle
from crossproof.audit.run import Settings, audit_to

CSV = Settings(form="csv")
FIRST = ("id-1", "D. x grandis", "SU 123 456", "14/6/2001", "Mab Thornley", "", "", "")
# Each with what makes it the same record as FIRST, or another.
SECOND = [
    (("id-1", "D. fuchsii", "TL99", "1/1/1990", "", "", "", ""), "identifier"),
    (("id-2", "Dactylorhiza × grandis", "SU123456", "2001-06-14", "Thornley, Mab"), "record"),
    (("", "D. fuchsii x praetermissa", "SU123456", "14.vi.2001", "M. Thornley"), "record"),
    (("id-2", "D. x venusta", "SU123456", "2001-06-14", "Thornley, Mab"), ""),
    (("id-2", "D. x grandis", "SU123457", "2001-06-14", "Thornley, Mab"), ""),
    (("id-2", "D. x grandis", "SU123456", "2001-06-15", "Thornley, Mab"), ""),
    (("id-2", "D. x grandis", "SU123456", "2001-06", "Thornley, Mab"), ""),
    (("id-2", "D. x grandis", "SU123456", "2001-06-14", "Oswin Carrow"), ""),
    (("id-2", "D. x grandis", "SU123456", "2001-06-14", ""), ""),
]


@pytest.mark.parametrize(("second", "why"), SECOND)
def test_what_makes_two_records_one(tmp_path: Path, second: tuple[str, ...], why: str) -> None:
    second = (*second, *[""] * (8 - len(second)))
    source = write(tmp_path / "records.csv", [FIRST, second])
    summary = audit_to([source], tmp_path / "out", settings=CSV)
    listed = read(tmp_path / "out" / "duplicates.csv")
    assert [row["same"] for row in listed] == ([why] if why else [])
    assert summary["duplicates"] == len(listed)
    if why:
        assert (listed[0]["source_row"], listed[0]["same_as_row"]) == ("3", "2")


@pytest.mark.parametrize("bucket", [1, 7, 500_000])
def test_an_archive_given_twice_has_the_figures_of_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, bucket: int
) -> None:
    monkeypatch.setattr(run, "BLOCK_BYTES", 1500)
    monkeypatch.setattr(shuffle, "MANY", bucket)
    once = write(tmp_path / "a.csv", rows(90))
    (tmp_path / "again").mkdir()
    again = write(tmp_path / "again" / "a.csv", rows(90))
    single = audit_to([once], tmp_path / "one", settings=CSV)
    double = audit_to([once, again], tmp_path / "two", settings=CSV)
    assert double["duplicates"] == single["duplicates"] + 90
    assert double["figures"] == single["figures"]
    assert double["outcomes"] == single["outcomes"]
    assert double["sample"]["population"] == single["sample"]["population"]
