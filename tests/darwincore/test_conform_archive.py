# ruff: noqa: E501  (a case a line)
"""One archive broken on purpose per rule of the Darwin Core text guide (TDWG, 2023-09-13)."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from crossproof.darwincore.archive import Archive
from crossproof.darwincore.conform import check
from crossproof.darwincore.zipped import zip_folder

from .builder import ROWS, judged, told
from .test_archive import FULL
from .test_conform_package import ARCHIVE_RULES

Break = Callable[[Path], None]
DWC = "http://rs.tdwg.org/dwc/terms/"


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("whole") / "dwca"
    with Archive(folder, FULL, issued="2026-11-25") as archive:
        archive.write(judged(ROWS), told(judged(ROWS)))
    return folder


@pytest.fixture
def archive(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "dwca"))


def edit(name: str, old: str, new: str, times: int = 1) -> Break:
    def do(folder: Path) -> None:
        path = folder / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, times), encoding="utf-8", newline="")

    return do


def remove(name: str) -> Break:
    return lambda folder: (folder / name).unlink()


def recode(name: str, encoding: str) -> Break:
    def do(folder: Path) -> None:
        path = folder / name
        path.write_bytes(
            path.read_text(encoding="utf-8").replace("“", "").replace("”", "").encode(encoding)
        )

    return do


CASES: list[tuple[str, str, Break]] = [
    ("meta-xml", "meta.xml:3", edit("meta.xml", "<core ", "<core<")),
    ("meta-xml", "meta.xml:1", edit("meta.xml", "<archive", '<!DOCTYPE a [<!ENTITY b "c">]>\n<archive')),
    ("meta-schema", "meta.xml:39", edit("meta.xml", '<coreid index="0"/>', "")),
    ("meta-schema", "meta.xml:2", edit("meta.xml", "http://rs.tdwg.org/dwc/text/", "http://rs.tdwg.org/dwc/xml/")),
    ("meta-schema", "meta.xml:7", edit("meta.xml", 'id index="0"', 'id index="first"')),
    ("core-id", "meta.xml:3", edit("meta.xml", '<id index="0"/>', "")),
    ("file-missing", "meta.xml:3", remove("occurrence.csv")),
    ("file-missing", "meta.xml:3", edit("meta.xml", ">occurrence.csv<", ">../occurrence.csv<")),
    ("metadata-missing", "meta.xml:2", remove("eml.xml")),
    ("field-index", "meta.xml:9", edit("meta.xml", 'field index="1" ', "field ")),
    ("row-short", "occurrence.csv:2", edit("meta.xml", 'field index="1" ', 'field index="99" ')),
    ("row-short", "occurrence.csv:3", edit("occurrence.csv", "\nr2,", "\nr2\nr2,")),
    ("term-twice", "meta.xml:10", edit("meta.xml", f"{DWC}occurrenceStatus", f"{DWC}basisOfRecord")),
    ("term-not-current", "meta.xml:10", edit("meta.xml", f"{DWC}occurrenceStatus", f"{DWC}individualID")),
    ("term-not-current", "meta.xml:10", edit("meta.xml", f"{DWC}occurrenceStatus", f"{DWC}occurenceStatus")),
    ("term-not-current", "meta.xml:10", edit("meta.xml", f"{DWC}occurrenceStatus", "http://purl.org/dc/terms/licence")),
    ("term-not-current", "meta.xml:10", edit("meta.xml", f"{DWC}occurrenceStatus", "http://rs.tdwg.org/ac/terms/accessURL")),
    ("term-not-current", "meta.xml:3", edit("meta.xml", f'rowType="{DWC}Occurrence"', f'rowType="{DWC}Record"')),
    ("term-required", "meta.xml:3", edit("meta.xml", f"{DWC}basisOfRecord", f"{DWC}recordNumber")),
    ("separator", "meta.xml:3", edit("meta.xml", 'fieldsTerminatedBy=","', 'fieldsTerminatedBy=", "')),
    ("separator", "meta.xml:3", edit("meta.xml", 'fieldsEnclosedBy="&quot;"', 'fieldsEnclosedBy="&quot;&quot;"')),
    ("encoding", "occurrence.csv", recode("occurrence.csv", "cp1252")),
    ("encoding", "occurrence.csv", edit("meta.xml", 'encoding="UTF-8"', 'encoding="no-such"', 2)),
    ("id-empty", "occurrence.csv:3", edit("occurrence.csv", "\nr2,", "\n,")),
    ("id-empty", "identification.csv:3", edit("identification.csv", "\nr2,", "\n,")),
    ("id-twice", "occurrence.csv:3", edit("occurrence.csv", "\nr2,", "\nr1,")),
    ("coreid-unknown", "identification.csv:3", edit("identification.csv", "\nr2,", "\nr9,")),
    ("eml", "eml.xml:3", edit("eml.xml", "<title>Marsh-orchids of Osier Fen</title>", "<title> </title>")),
    ("eml", "eml.xml:2", edit("eml.xml", ' system="crossproof"', "")),
]  # fmt: skip


def test_what_we_write_conforms(archive: Path) -> None:
    assert check(archive) == []


def test_its_zip_conforms(archive: Path, tmp_path: Path) -> None:
    zip_folder(archive, tmp_path / "dwca.zip")
    assert check(tmp_path / "dwca.zip") == []


@pytest.mark.parametrize(
    ("rule", "place", "breaks"), CASES, ids=[f"{n}-{case[0]}" for n, case in enumerate(CASES)]
)
def test_a_broken_archive(rule: str, place: str, breaks: Break, archive: Path) -> None:
    breaks(archive)
    problems = check(archive)
    named = [problem for problem in problems if problem.rule == rule]
    assert named, [str(problem) for problem in problems]
    file, _, line = place.partition(":")
    assert any(p.file == file and (not line or p.line == int(line)) for p in named), [
        *map(str, named)
    ]


def test_every_rule_has_a_broken_case() -> None:
    assert {rule for rule, *_ in CASES} >= ARCHIVE_RULES


def test_the_published_minimal_archive(standards: Path, tmp_path: Path) -> None:
    """A tab-separated archive that is not ours, with a default instead of a column."""
    shutil.copy(standards / "dwca/minimal-meta.xml", tmp_path / "meta.xml")
    shutil.copy(standards / "eml-2.2.0/minimal-eml.xml", tmp_path / "eml.xml")
    (tmp_path / "occurrence.txt").write_text('id\tname\n1\tA "b\n2\tC\n', encoding="utf-8")
    (tmp_path / "identification.txt").write_text("id\tname\n1\ta\n3\tb\n", encoding="utf-8")
    assert [(p.rule, p.file, p.line) for p in check(tmp_path)] == [
        ("coreid-unknown", "identification.txt", 3)
    ]


def test_quoted_line_ends_are_counted(archive: Path) -> None:
    edit("occurrence.csv", "Osier Fen", '"Osier\nFen"')(archive)
    edit("occurrence.csv", "\nr2,", "\nr1,")(archive)
    assert [(p.rule, p.line) for p in check(archive) if p.file == "occurrence.csv"] == [
        ("id-twice", 4)
    ]
