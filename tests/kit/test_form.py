"""The recording form: filled in by another library, it is read back without a mapping."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.worksheet.worksheet import Worksheet

import crossproof
from crossproof.kit.columns import columns, needed, words
from crossproof.kit.example import example
from crossproof.kit.form import HEADING, ROWS, grid_rule, write_form
from crossproof.parse.place import parse_place
from crossproof.rulebooks.load import shipped, shipped_rulebook
from crossproof.rulebooks.model import Rulebook

BOOKS = pytest.mark.parametrize("book", shipped(), ids=lambda book: book.id)
ORCHIDS = shipped_rulebook("dactylorhiza")
FIRST = HEADING + 2  # the first row to fill in, as a spreadsheet counts


@pytest.fixture
def form(tmp_path: Path):
    """Writes the form of a group, and gives its path."""

    def write(book: Rulebook) -> Path:
        path = tmp_path / f"{book.id}.xlsx"
        write_form(path, book)
        return path

    return write


def fill(path: Path, *rows: dict[str, object]) -> Path:
    """Fill in rows by field, as a person does under the headings."""
    book = openpyxl.load_workbook(path)
    sheet = book["Records"]
    for number, row in enumerate(rows, start=FIRST):
        for field, value in row.items():
            sheet.cell(number, place(sheet, field), value)
    filled = path.with_name("filled.xlsx")
    book.save(filled)
    return filled


def place(sheet: Worksheet, field: str) -> int:
    headings = {
        column.field: column.heading
        for book in shipped()
        for column in columns(book)
        if column.heading in {cell.value for cell in sheet[HEADING + 1]}
    }
    found = [cell.column for cell in sheet[HEADING + 1] if cell.value == headings[field]]
    assert len(found) == 1
    return found[0]


@BOOKS
def test_an_empty_form_holds_no_record(form, book: Rulebook) -> None:
    assert crossproof.vet(form(book), quality=False).summary["rows"] == 0


@BOOKS
def test_the_example_is_upheld_once_it_is_a_record(form, book: Rulebook) -> None:
    shown = {k: v for k, v in example(book, columns(book)).items() if v}
    vetting = crossproof.vet(fill(form(book), shown), quality=False)
    assert vetting.verdicts["outcome"].tolist() == ["upheld"]
    codes = {*vetting.findings["code"]} - {"heading_assumed", "sheet_skipped"}
    assert codes == set()
    unknown = vetting.findings["code"] == "heading_unknown"
    assert not unknown.any()


@BOOKS
def test_every_state_offered_is_read_as_that_state(form, book: Rulebook) -> None:
    plant = book.written(book.hybrids[0].id)
    base = {"scientificName": plant, "gridReference": "TL 612 823", "eventDate": "1/6/2020"}
    wanted, rows = [], []
    for character in book.ordered_characters:
        for state in character.states:
            wanted.append(f"{character.id}: {state.id}")
            rows.append({**base, character.id: state.title})
    verdicts = crossproof.vet(fill(form(book), *rows), quality=False).verdicts
    shown = ("leaf", "stem", "flower")
    found = [
        "; ".join(
            [f"{c}: {row[c]}" for c in shown if row[c] != "not_recorded"]
            + ([row["other_evidence"]] if row["other_evidence"] else [])
        )
        for row in verdicts.to_dict("records")
    ]
    assert found == wanted


@BOOKS
def test_not_examined_is_no_evidence_and_no_complaint(form, book: Rulebook) -> None:
    plant = book.written(book.hybrids[0].id)
    row = {"scientificName": plant, "gridReference": "TL 612 823", "eventDate": "1/6/2020"}
    row |= {c.id: words()["unseen"] for c in book.ordered_characters if c.states}
    vetting = crossproof.vet(fill(form(book), row), quality=False)
    verdict = vetting.verdicts.iloc[0]
    assert (verdict["leaf"], verdict["stem"], verdict["other_evidence"]) == (
        "not_recorded",
        "not_recorded",
        "",
    )
    assert "evidence_unread" not in {*vetting.findings["code"]}


def test_each_missing_part_is_what_the_form_shades(form) -> None:
    wants = needed(ORCHIDS)
    grandis = "Dactylorhiza × grandis"
    assert [what for what, hybrids in wants.items() if grandis in hybrids] == [
        "leaf",
        "stem",
        "photo",
    ]
    row = {"scientificName": grandis, "gridReference": "TL 612 823", "eventDate": "14/6/2024"}
    verdict = crossproof.vet(fill(form(ORCHIDS), row), quality=False).verdicts.iloc[0]
    assert verdict["reasons"] == "leaf_missing;stem_missing;photo_missing"


@BOOKS
def test_the_order_is_from_the_ground_up(book: Rulebook) -> None:
    form = columns(book)
    fields = [column.field for column in form]
    own = [c.id for c in book.ordered_characters]
    assert [f for f in fields if f in book.characters] == own
    assert fields.index("eventDate") < fields.index(own[0])
    assert fields.index("photo") > fields.index(own[-1])


@BOOKS
def test_what_a_spreadsheet_program_is_told(form, book: Rulebook) -> None:
    made = openpyxl.load_workbook(form(book))
    assert made.sheetnames == ["Records", "How to look", "Care", "Lists"]
    assert made["Lists"].sheet_state == "hidden"
    sheet = made["Records"]
    headings = [cell.value for cell in sheet[HEADING + 1]]
    assert len({*headings}) == len(headings)
    assert headings == [column.heading for column in columns(book)]
    for cell, column in zip(sheet[HEADING + 1], columns(book), strict=True):
        assert cell.comment.text.strip() == column.look
    checks = {str(v.sqref): v for v in sheet.data_validations.dataValidation}
    lists = [v for v in checks.values() if v.type == "list"]
    for check in lists:  # every list stands where it is said to stand, whole
        cells = made["Lists"][check.formula1.partition("!")[2].replace("$", "")]
        offered = [cell.value for row in cells for cell in row]
        assert all(offered)
    titles = {s.title for c in book.characters.values() for s in c.states}
    assert titles <= {cell.value for row in made["Lists"].iter_rows() for cell in row}
    kinds = {v.type for v in checks.values()}
    assert {"list", "date", "custom", "whole"} <= kinds
    # ECMA-376 leaves it open; Excel refuses a workbook whose check is longer.
    assert all(len(v.formula1 or "") <= 255 for v in checks.values())
    care = {cell.value for row in made["Care"].iter_rows() for cell in row}
    assert {*book.cautions} <= care
    last = {int(re.findall(r"\d+", where)[-1]) for where in checks}
    assert last == {HEADING + 1 + ROWS}


def test_the_same_rulebook_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a.xlsx", "b.xlsx"):
        write_form(tmp_path / name, ORCHIDS)
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()


# --- the check of grid references, as LibreOffice reckons it --------------------------------------

GOOD_GRIDS = [
    "TL 612 823",
    "SU16",
    "SU 1234 5678",
    "tl6182",
    "H 12 34",
    "V1234567890",
    "NX 12345 67890",
]
BAD_GRIDS = ["TL", "TL 612 82", "612823", "TL 612 8O3", "TL 1.5 23", "SU 1E 23", "by the dyke", ""]


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_the_grid_check_in_a_spreadsheet_program(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    for number, grid in enumerate([*GOOD_GRIDS, *BAD_GRIDS], start=1):
        book.active.cell(number, 1, grid)
        book.active.cell(number, 2, grid_rule(f"A{number}"))
    book.save(tmp_path / "grids.xlsx")
    home = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    subprocess.run(
        [
            "soffice",
            home,
            "--headless",
            "--convert-to",
            "csv",
            "--outdir",
            tmp_path,
            tmp_path / "grids.xlsx",
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    lines = (tmp_path / "grids.csv").read_text(encoding="utf-8").split()
    answers = [line.rpartition(",")[2] for line in lines if line.endswith(("TRUE", "FALSE"))]
    assert answers == ["TRUE"] * len(GOOD_GRIDS) + ["FALSE"] * len(BAD_GRIDS)


@pytest.mark.parametrize("grid", GOOD_GRIDS)
def test_what_the_check_lets_pass_is_a_place(grid: str) -> None:
    assert parse_place(grid).latitude


# --- rulebooks of one's own -----------------------------------------------------------------------


@settings(max_examples=20, deadline=None)
@given(st.text(min_size=1, max_size=60))
def test_any_words_of_a_rulebook_stay_words(tmp_path_factory, text: str) -> None:
    text = text.encode("utf-8", "ignore").decode()
    leaf = replace(ORCHIDS.characters["leaf"], look=text)
    characters = {**ORCHIDS.characters, "leaf": leaf}
    book = replace(ORCHIDS, title=f"={text}", cautions=(f"=1+1{text}",), characters=characters)
    path = tmp_path_factory.mktemp("form") / "form.xlsx"
    write_form(path, book)
    for row in openpyxl.load_workbook(path)["Care"].iter_rows():
        assert all(cell.data_type != "f" for cell in row)
