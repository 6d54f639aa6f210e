"""What holds of both outputs: same input, same bytes; checked by frictionless; zipped alike."""

from __future__ import annotations

import os
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from crossproof.darwincore.validate import MOST_ROWS, validate_tables
from crossproof.darwincore.zipped import zip_folder

from .builder import judged
from .conftest import read_table
from .hard import HARD_CASES, HARD_ROWS

Write = Callable[..., Path]
_WRITE = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[2])
from darwincore.builder import judged, told
from darwincore.hard import HARD_ROWS
from darwincore.test_archive import FULL
from crossproof.darwincore.archive import Archive
from crossproof.darwincore.package import DataPackage
from crossproof.darwincore.zipped import zip_folder
for kind, name in ((Archive, "dwca"), (DataPackage, "dwc-dp")):
    with kind(Path(sys.argv[1]) / name, FULL, issued="2026-11-25", methods=["m"]) as output:
        output.write(judged(HARD_ROWS), told(judged(HARD_ROWS)))
zip_folder(Path(sys.argv[1]) / "dwca", Path(sys.argv[1]) / "dwca.zip")
"""

COMPUTED = (
    *("scientificName", "scientificNameAuthorship", "taxonRank", "taxonFormula"),
    *("taxonRemarks", "identificationType", "identificationQualifier"),
    "previousIdentifications",
)


def test_same_input_same_bytes(tmp_path: Path) -> None:
    """Whatever the time zone, the locale or the hash seed."""
    outputs = []
    for number, settings in enumerate(
        (
            {"TZ": "UTC", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "1"},
            {"TZ": "Pacific/Kiritimati", "LC_ALL": "C", "PYTHONHASHSEED": "2", "PYTHONUTF8": "0"},
        )
    ):
        folder = tmp_path / str(number)
        folder.mkdir()
        subprocess.run(
            [sys.executable, "-c", _WRITE, str(folder), str(Path(__file__).parents[1])],
            check=True,
            env={**os.environ, **settings},
        )
        files = [path for path in sorted(folder.rglob("*")) if path.is_file()]
        outputs.append({path.relative_to(folder): path.read_bytes() for path in files})
    assert len(outputs[0]) > 12
    assert outputs[0] == outputs[1]


def test_a_zip_is_the_same_whenever_it_is_made(tmp_path: Path) -> None:
    folder = tmp_path / "folder"
    folder.mkdir()
    for name in ("b.csv", "a.csv"):
        (folder / name).write_text(name, encoding="utf-8")
    zip_folder(folder, tmp_path / "one.zip")
    os.utime(folder / "a.csv", (time.time() + 10_000, time.time() + 10_000))
    zip_folder(folder, tmp_path / "two.zip")
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()
    with zipfile.ZipFile(tmp_path / "one.zip") as archive:
        assert archive.namelist() == ["a.csv", "b.csv"]
        assert archive.testzip() is None
        assert archive.read("a.csv") == b"a.csv"
        # Pythons before 3.11.4 write the headers of Zip64 otherwise than later ones (from memory).
        assert {member.extract_version for member in archive.infolist()} == {20}


@pytest.mark.parametrize("case", HARD_CASES)
def test_our_tables_are_valid(case: str, write_archive: Write, write_package: Write) -> None:
    chunk = judged(HARD_CASES[case])
    ours = validate_tables(write_package(chunk))
    assert ours == []
    # A latitude that is no number is written as it came: the core is not the place to lose it.
    archive = validate_tables(write_archive(chunk))
    assert archive is not None
    assert {problem.message.split(",")[0] for problem in archive} <= {"decimalLatitude"}
    assert bool(archive) == (case == "everything")


def test_a_broken_key_is_found(write_archive: Write) -> None:
    folder = write_archive(judged(HARD_ROWS))
    path = folder / "measurementorfact.csv"
    path.write_bytes(path.read_bytes().replace(b"\nr2,", b"\nr999,"))
    problems = validate_tables(folder) or []
    broken = [p for p in problems if p.rule == "foreign-key-value"]
    assert [(p.file, p.line) for p in broken] == [("measurementorfact.csv", 4)]


@pytest.mark.parametrize(
    ("rows", "whatever_size", "checked"),
    [(MOST_ROWS, False, True), (MOST_ROWS + 1, False, False), (MOST_ROWS + 1, True, True)],
)
def test_what_is_not_checked_is_not_called_valid(
    rows: int, whatever_size: bool, checked: bool, write_package: Write
) -> None:
    folder = write_package(judged())
    problems = validate_tables(folder, rows, whatever_size=whatever_size)
    assert (problems == []) if checked else (problems is None)


def test_cells_survive_reading_the_archive_back(write_archive: Write, tmp_path: Path) -> None:
    """Tabs, quotes, line ends and empty texts inside cells, through the reader of archives."""
    from crossproof import read

    folder = write_archive(judged(HARD_ROWS))
    zip_folder(folder, tmp_path / "dwca.zip")
    written = read_table(folder / "occurrence.csv")
    chunks = list(read.chunks(tmp_path / "dwca.zip"))
    found = [
        dict(zip(chunk.table.headings, cells, strict=True))
        for chunk in chunks
        for cells in zip(*chunk.columns, strict=True)
    ]
    assert len(found) == len(written) == len(HARD_ROWS)
    assert not any(chunk.broken for chunk in chunks)
    for row, cells in zip(written, found, strict=True):
        # What was made of the claim is not read back as the claim; its words are.
        for term in COMPUTED:
            row.pop(term, None)
        assert {term: cells[term] for term in row} == row
