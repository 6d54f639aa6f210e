"""The recorder's kit on the command line: form, vet --rows, letters."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from crossproof.cli import main
from crossproof.kit.advice import MOST
from crossproof.kit.columns import columns
from crossproof.rulebooks.load import shipped, shipped_rulebook

Answer = tuple[int, str, str]
HEADING = "species,grid ref,date,recorder,leaves,stem,photo,notes\n"
GRANDIS = "D. x grandis,SU 123 456,2019-06-14,{who},{leaf},{stem},{photo},\n"


@pytest.fixture
def run(tmp_path: Path, monkeypatch, capsys) -> Callable[..., Answer]:
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.chdir(home)

    def answer(*arguments: str | Path) -> Answer:
        code = main([str(argument) for argument in arguments])
        said = capsys.readouterr()
        return code, said.out, said.err

    return answer


@pytest.fixture
def sheet(tmp_path: Path) -> Callable[..., Path]:
    """A recorder's small sheet of crosses, a row for each (recorder, leaf, stem, photo)."""

    def write(*rows: tuple[str, str, str, str]) -> Path:
        path = tmp_path / "mine.csv"
        lines = [GRANDIS.format(who=w, leaf=leaf, stem=s, photo=p) for w, leaf, s, p in rows]
        path.write_text(HEADING + "".join(lines), encoding="utf-8")
        return path

    return write


def assert_refused(answer: Answer, *words: str) -> None:
    code, out, err = answer
    assert code == 2
    assert out == ""
    assert err.startswith("crossproof: ")
    assert err.count("\n") == 1, err
    for word in words:
        assert word in err


# --- form ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("book", shipped(), ids=lambda book: book.id)
@pytest.mark.parametrize("kind", ["xlsx", "html"])
def test_form(run, book, kind: str) -> None:
    code, out, err = run("form", f"form.{kind}", "--rulebook", book.id)
    assert (code, err) == (0, "")
    assert book.title in out
    assert [path.name for path in Path().iterdir()] == [f"form.{kind}"]


def test_a_form_vetted_before_it_is_filled_in(run) -> None:
    run("form", "form.xlsx")
    code, out, _ = run("vet", "form.xlsx", "--out", "out", "--rows")
    assert code == 0
    assert out.startswith("0 rows judged")
    assert "0 of 0 rows need nothing" in out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["form.pdf"], ["form.pdf", ".xlsx or .html"]),
        (["form.xlsx", "--rulebook", "salix"], ["'salix'", "rulebook list"]),
        (["nowhere/form.xlsx"], ["nowhere"]),
    ],
)
def test_a_form_that_cannot_be_written(run, arguments, words) -> None:
    assert_refused(run("form", *arguments), *words)
    assert [*Path().iterdir()] == []


def test_a_filled_form_is_not_written_over(run) -> None:
    Path("form.xlsx").write_text("somebody's summer", encoding="utf-8")
    assert_refused(run("form", "form.xlsx"), "there already")
    assert Path("form.xlsx").read_text(encoding="utf-8") == "somebody's summer"


def test_a_form_of_a_rulebook_of_ones_own(run) -> None:
    own = Path(__file__).parent / "rulebooks" / "rumex.toml"
    code, _, _ = run("form", "docks.html", "--rulebook", own)
    assert code == 0
    assert "field sheet" in Path("docks.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("book", shipped(), ids=lambda book: book.id)
def test_the_field_sheet_has_the_order_of_the_form(run, book) -> None:
    run("form", "sheet.html", "--rulebook", book.id)
    text = Path("sheet.html").read_text(encoding="utf-8")
    head = text[text.index("<thead>") : text.index("</thead>")]
    on_top = ("recordedBy", "eventDate", "locality", "habitat")
    places = [head.index(f"<b>{c.heading}") for c in columns(book) if c.field not in on_top]
    assert places == sorted(places)
    assert "<script" not in text
    for line in (*book.cautions, *(c.look for c in book.characters.values())):
        assert line.split("'")[0] in text


# --- vet --rows ---------------------------------------------------------------------------------


def test_what_each_row_lacks(run, sheet) -> None:
    path = sheet(
        ("Ann Wren", "ring spots", "partly hollow", "a.jpg"), ("Ann Wren", "spotted", "", "")
    )
    code, out, _ = run("vet", path, "--out", "out", "--rows")
    assert code == 0
    told = out.partition("a determiner decides.\n\n")[2]
    assert "1 of 2 rows need nothing" in told
    assert "row 2:" not in told
    assert (
        "  row 3: D. x grandis – lowered to Dactylorhiza\n"
        "      Stem: needed, but not recorded; photo: needed, but no reference is given\n"
        "      To add: state the stem; give a photo reference.\n"
        "How to look\n  Stem: "
    ) in told
    assert shipped_rulebook("dactylorhiza").characters["stem"].look[:40] in told


def test_a_row_that_states_enough_is_left_in_peace(run, sheet) -> None:
    path = sheet(("Ann Wren", "plain", "hollow", "a.jpg"))
    _, out, _ = run("vet", path, "--out", "out", "--rows")
    assert "To add" not in out
    assert "a good record" in out


def test_a_returned_row_is_told_what_mends_it(run, tmp_path: Path) -> None:
    path = tmp_path / "mine.csv"
    path.write_text(HEADING + "D. x grandis,SU 12 3456,2019-06-14,A,x,y,z,\n,SU12,2019,,,,,\n")
    _, out, _ = run("vet", path, "--out", "out", "--rows")
    assert "row 2: D. x grandis – returned" in out
    assert "Grid ref:" in out
    assert "row 3: no plant named – returned" in out
    assert "Write the plant's name" in " ".join(out.split())


def test_many_rows_are_cut_short_and_said_so(run, sheet) -> None:
    path = sheet(*[("Ann Wren", "spotted", "", "")] * (MOST + 5))
    _, out, _ = run("vet", path, "--out", "out", "--rows")
    assert out.count("\n  row ") == MOST
    assert "… and 5 more" in out


def test_rows_and_strict(run, sheet) -> None:
    path = sheet(("Ann Wren", "spotted", "", ""))
    code, out, _ = run("vet", path, "--out", "out", "--rows", "--strict")
    assert code == 1
    assert "row 2: D. x grandis" in out


def test_json_stays_json(run, sheet) -> None:
    path = sheet(("Ann Wren", "spotted", "", ""))
    _, out, _ = run("vet", path, "--out", "out", "--rows", "--json")
    assert json.loads(out)["rows"] == 1


# --- letters ------------------------------------------------------------------------------------


def test_letters(run, sheet) -> None:
    path = sheet(("Ann Wren", "spotted", "", ""), ("Bo Finch", "spotted", "", ""), ("", "", "", ""))
    run("vet", path, "--out", "out")
    code, out, err = run("letters", "out", "--sender", "S. Crake")
    assert (code, err) == (0, "")
    assert out.startswith("2 letters written to letters")
    assert "1 record names nobody" in out
    names = sorted(path.name for path in Path("letters").iterdir())
    assert len(names) == 2 * 2 + 2
    assert all(
        name.startswith(("ann-wren-", "bo-finch-", "letters.", "summary.")) for name in names
    )
    again = {path.name: path.read_bytes() for path in Path("letters").iterdir()}
    assert run("letters", "out", "--sender", "S. Crake")[0] == 0
    assert {path.name: path.read_bytes() for path in Path("letters").iterdir()} == again


def test_letters_with_the_files_themselves(run, sheet) -> None:
    path = sheet(("Ann Wren", "spotted", "", ""))
    run("vet", path, "--out", "out", "--recorders", "initials")
    assert_refused(run("letters", "out"), "--submission")
    assert not Path("letters").exists()
    code, _, _ = run("letters", "out", "--submission", path)
    assert code == 0
    assert any(path.name.startswith("ann-wren-") for path in Path("letters").iterdir())


def test_files_that_were_not_vetted(run, sheet, tmp_path: Path) -> None:
    run("vet", sheet(("Ann Wren", "spotted", "", "")), "--out", "out")
    other = tmp_path / "other.csv"
    other.write_text(HEADING + GRANDIS.format(who="Bo Finch", leaf="", stem="", photo=""))
    assert_refused(run("letters", "out", "--submission", other), "mine.csv, row 2", "--submission")


@pytest.mark.parametrize("folder", ["nowhere", "empty"])
def test_no_output_of_ours(run, folder: str) -> None:
    Path("empty").mkdir()
    assert_refused(run("letters", folder), "vet --out")
    assert not Path("letters").exists()


def test_a_folder_of_somebody_else_s_is_left_alone(run, sheet) -> None:
    run("vet", sheet(("Ann Wren", "spotted", "", "")), "--out", "out")
    Path("letters").mkdir()
    Path("letters/poem.txt").write_text("o", encoding="utf-8")
    assert_refused(run("letters", "out"), "not written by crossproof")
    assert_refused(run("letters", "out", "--out", "out"), "another folder")
    assert Path("out/verdicts.csv").is_file()
