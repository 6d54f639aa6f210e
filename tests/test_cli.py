"""The commands: what they answer; and bad input gets one sentence and leaves nothing behind."""

from __future__ import annotations

import csv
import json
import os
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

from crossproof.cli import main
from crossproof.resources import folder

MESSY = Path(__file__).parent / "messy"
GOOD = "species,grid ref,date,leaves,stem,photo\n"
ROWS = "D. x grandis,SU 123 456,2019-06-14,ring spots,partly hollow,a.jpg\n"
Answer = tuple[int, str, str]


@pytest.fixture
def run(tmp_path: Path, monkeypatch, capsys) -> Callable[..., Answer]:
    """Runs a command in an empty folder: exit code, output, errors."""
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.chdir(home)

    def answer(*arguments: str | Path) -> Answer:
        code = main([str(argument) for argument in arguments])
        said = capsys.readouterr()
        return code, said.out, said.err

    return answer


@pytest.fixture
def good(tmp_path: Path) -> Path:
    path = tmp_path / "records.csv"
    path.write_text(GOOD + ROWS, encoding="utf-8")
    return path


def assert_refused(answer: Answer, *words: str) -> None:
    """Exit 2, one clear sentence on stderr, nothing on stdout, and nothing left in the folder."""
    code, out, err = answer
    assert code == 2
    assert out == ""
    assert err.startswith("crossproof: ")
    assert err.count("\n") == 1, err
    assert "Traceback" not in err
    for word in words:
        assert word in err
    assert [*Path().rglob("*")] == []


# --- bad input ---------------------------------------------------------------------------------


def picture(path: Path) -> None:
    path.write_bytes((next((folder("demo_data") / "photos").glob("*.jpg"))).read_bytes())


def climbing(path: Path) -> None:
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("meta.xml", "<archive/>")
        archive.writestr("../../evil.csv", "x")


@pytest.mark.parametrize(
    ("name", "make", "words"),
    [
        ("none.csv", lambda path: None, "There is no file"),
        ("empty.csv", lambda path: path.touch(), "is empty"),
        ("blank.csv", lambda path: path.write_text("\n\n \n"), "is empty"),
        ("photo.csv", picture, "a JPEG picture"),
        ("locked.xlsx", lambda path: shutil.copy(MESSY / "locked.xlsx", path), "password"),
        ("climbs.zip", climbing, "outside its folder"),
        ("german.csv", lambda path: path.write_text("Wann,Wo\n2019,hier\n"), "no column names"),
        ("twice.csv", lambda path: path.write_text("species,taxon\na,b\n"), "both stand for"),
        ("folder", lambda path: path.mkdir(), "holds no table"),
    ],
)
def test_a_submission_that_cannot_be_used(run, tmp_path: Path, name, make, words) -> None:
    make(tmp_path / name)
    assert_refused(run("vet", tmp_path / name, "--out", "out"), words)


def test_the_second_file_is_bad_and_nothing_of_the_first_is_left(run, good, tmp_path) -> None:
    assert_refused(run("vet", good, tmp_path / "none.csv", "--out", "a/b/out"), "There is no file")


@pytest.mark.parametrize("name", ["secret", "secret/records.csv"])
def test_a_folder_that_may_not_be_read(tmp_path: Path, name: str) -> None:
    secret = tmp_path / "secret"
    secret.mkdir()
    (secret / "records.csv").write_text(GOOD + ROWS)
    secret.chmod(0)
    command = [sys.executable, "-m", "crossproof"]
    if os.getuid() == 0:  # whom no folder is closed to, unless this right is dropped
        if not shutil.which("setpriv"):
            pytest.skip("root may read everything, and setpriv is not here to change that")
        rights = "-dac_override,-dac_read_search"
        command = ["setpriv", f"--bounding-set={rights}", f"--inh-caps={rights}", *command]
    try:
        done = subprocess.run(
            [*command, "vet", tmp_path / name, "--out", tmp_path / "out"],
            capture_output=True,
            text=True,
        )
    finally:
        secret.chmod(0o700)
    assert (done.returncode, done.stdout) == (2, ""), done.stderr
    assert done.stderr.startswith("crossproof: ")
    assert done.stderr.count("\n") == 1, done.stderr
    assert "secret" in done.stderr
    assert "can't be opened" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["secret"]


# --- the output folder -------------------------------------------------------------------------


def test_an_output_folder_that_is_not_ours(run, good, tmp_path: Path) -> None:
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "thesis.txt").write_text("years of work")
    assert_refused(run("vet", good, "--out", mine), "was not written by crossproof")
    assert [path.name for path in mine.iterdir()] == ["thesis.txt"]


def test_a_file_where_the_output_folder_should_be(run, good) -> None:
    assert_refused(run("vet", good, "--out", good), "is a file")
    assert good.read_text("utf-8") == GOOD + ROWS


@pytest.mark.parametrize("out", [".", "..", "submission/out"])
def test_the_output_may_not_lie_in_the_submission_nor_hold_it(run, tmp_path: Path, out) -> None:
    submission = tmp_path / "submission"
    submission.mkdir()
    (submission / "records.csv").write_text(GOOD + ROWS)
    target = submission / out if not out.startswith("sub") else tmp_path / out
    assert_refused(run("vet", submission, "--out", target), "lies in")
    assert [path.name for path in submission.iterdir()] == ["records.csv"]


def test_returned_rows_cannot_be_sent_back_into_their_own_folder(run, tmp_path: Path) -> None:
    source = tmp_path / "records.csv"
    source.write_text(GOOD + "D. x grandis,,2019,,,\n")
    assert run("vet", source, "--out", tmp_path / "out")[0] == 0
    before = (tmp_path / "out" / "returned.csv").read_bytes()
    answer = run("vet", tmp_path / "out" / "returned.csv", "--out", tmp_path / "out")
    assert_refused(answer, "would be replaced")
    assert (tmp_path / "out" / "returned.csv").read_bytes() == before


def test_no_room_to_make_the_folder(run, good, tmp_path: Path) -> None:
    (tmp_path / "plain").write_text("a file")
    assert_refused(run("vet", good, "--out", tmp_path / "plain" / "out"), "can't be")


LIMITED = """
import resource, signal, sys
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[1]), int(sys.argv[1])))
from crossproof.cli import main
sys.exit(main(sys.argv[2:]))
"""


@pytest.mark.parametrize("limit", [1, 4_096, 30_000, 100_000])
def test_a_file_that_may_not_grow(tmp_path: Path, limit: int) -> None:
    """The kernel refuses to write further (EFBIG), at one place of the run and another."""
    source = tmp_path / "records.csv"
    source.write_text(GOOD + ROWS * 300)
    out = tmp_path / "home" / "out"
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, str(limit), "vet", source, "--out", out],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )
    assert (done.returncode, done.stdout) == (2, ""), done.stderr
    assert done.stderr.startswith("crossproof: writing failed")
    assert done.stderr.count("\n") == 1, done.stderr
    assert not (tmp_path / "home").exists()


@pytest.mark.parametrize("size", ["200k", "500k"])
def test_a_disk_that_fills(run, tmp_path: Path, size: str) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(disk)]
    if os.getuid() != 0 or subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("a small disk can be mounted by root only, and not in every container")
    try:
        source = tmp_path / "records.csv"
        source.write_text(GOOD + ROWS * 2_000)
        assert_refused(run("vet", source, "--out", disk / "out"), "writing failed", "No space left")
        assert [*disk.iterdir()] == []
    finally:
        subprocess.run(["umount", str(disk)], check=True)


# --- options -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("option", "content", "words"),
    [
        ("--mapping", None, "There is no mapping file"),
        ("--mapping", "species = ", "not a mapping file"),
        ("--mapping", 'notAField = "Plant"', "notAField"),
        ("--mapping", 'recordedBy = "Nowhere"', "no column is called that"),
        ("--metadata", None, "cannot be read"),
        ("--metadata", "title = ", "not valid TOML"),
        ("--metadata", "titel = 'x'", "there is no key 'titel'"),
        ("--metadata", b"title = '\xff'", "not UTF-8"),
        ("--rulebook", None, "given.toml"),
        ("--rulebook", "id = ", "given.toml"),
        ("--rulebook", b"\xff\xfe", "given.toml"),
    ],
)
def test_a_broken_file_of_the_options(run, good, tmp_path, option, content, words) -> None:
    path = tmp_path / "given.toml"
    if content is not None:
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    assert_refused(run("vet", good, "--out", "out", option, path), words)


def test_a_rulebook_with_many_problems_names_them_and_their_lines(run, good, tmp_path) -> None:
    path = tmp_path / "given.toml"
    path.write_text('id = "x"\ntitle = 3\n')
    code, out, err = run("vet", good, "--out", "out", "--rulebook", path)
    assert (code, out) == (2, "")
    assert "given.toml, line " in err
    assert "Traceback" not in err


@pytest.mark.parametrize("day", ["14.6.2026", "2026-13-01", "2026-02-30", "soon", "2026"])
def test_a_day_that_is_none(run, good, day) -> None:
    answer = run("vet", good, "--out", "out", "--date", day)
    assert_refused(answer, f"--date {day} is not a date; write it as 2026-06-14")


@pytest.mark.parametrize("day", ["2026-06-14", "20260614", "2026-W24-7"])
def test_a_day_in_any_form_of_iso_8601(run, good, day) -> None:
    code, out, _ = run("vet", good, "--out", "out", "--date", day, "--json")
    assert (code, json.loads(out)["issued"]) == (0, "2026-06-14")


@pytest.mark.parametrize(
    "arguments",
    [["vet"], ["vet", "x.csv"], ["nonsense"], ["vet", "x.csv", "--out", "o", "--needs", "much"]],
)
def test_a_command_that_is_none(run, capsys, arguments) -> None:
    with pytest.raises(SystemExit) as left:
        run(*arguments)
    assert left.value.code == 2
    assert "usage: crossproof" in capsys.readouterr().err


# --- what is answered --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        (ROWS, 0),
        ("D. fuchsii,SU 123 456,2019,,,\n", 0),
        ("D. x grandis,SU 123 456,2019,,,\n", 1),  # lowered
        ("D. praetermissa,SU 123 456,2019,,solid,\n", 1),  # contested
        ("D. fuchsii,,,,,\n", 1),  # returned
        ("D. fuchsii,SU 123 456\n", 1),  # broken
    ],
)
def test_strict(run, tmp_path, rows, code) -> None:
    source = tmp_path / "records.csv"
    source.write_text(GOOD + rows, encoding="utf-8")
    assert run("vet", source, "--out", "out", "--strict")[0] == code
    assert run("vet", source, "--out", "out")[0] == 0


def test_json_is_the_summary_and_keeps_its_schema(run, good) -> None:
    code, out, err = run("vet", good, "--out", "out", "--json")
    summary = json.loads(out)
    assert (code, err) == (0, "")
    assert summary == json.loads(Path("out/summary.json").read_text("utf-8"))
    schema = json.loads((folder("schemas") / "summary.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(summary, schema, jsonschema.Draft202012Validator)


def test_what_a_person_reads(run, good) -> None:
    code, out, err = run("vet", good, "--out", "out")
    assert (code, err) == (0, "")  # no progress line in a pipe
    assert out.startswith("1 row judged\n")
    assert "Written to out\n" in out
    assert "\x1b" not in out


def test_the_folder_holds_what_is_promised(run, good) -> None:
    run("vet", good, "--out", "out", "--check")
    assert {
        *("verdicts.csv", "returned.csv", "findings.csv", "summary.json", "report.html"),
        *("dwca", "dwca.zip", "dwc-dp", "datapackage.json"),
    } <= {path.name for path in Path("out").iterdir()}
    assert not any(Path("out").rglob(".*"))
    assert [path.name for path in Path().iterdir()] == ["out"]


def test_an_earlier_output_is_replaced_whole(run, good) -> None:
    run("vet", good, "--out", "out")
    Path("out/left_over.txt").write_text("old")
    assert run("vet", good, "--out", "out")[0] == 0
    assert not Path("out/left_over.txt").exists()


def test_occurrence_status(run, good) -> None:
    for word, expected in ((None, {"present", "detected"}), ("detected", {"detected"})):
        run("vet", good, "--out", "out", *(["--occurrence-status", word] if word else []))
        found = set()
        for path in (Path("out/dwca/occurrence.csv"), Path("out/dwc-dp/occurrence.csv")):
            with path.open(encoding="utf-8", newline="") as file:
                found |= {row["occurrenceStatus"] for row in csv.DictReader(file)}
        assert found == expected


def test_rulebooks_are_listed_shown_and_checked(run, tmp_path) -> None:
    code, out, _ = run("rulebook", "list")
    assert code == 0
    names = [line.split()[0] for line in out.splitlines()]
    assert "dactylorhiza" in names
    for name in names:
        assert run("rulebook", "show", name)[0] == 0
    assert_refused(run("rulebook", "show", "triffid"), "there is no rulebook 'triffid'")
    assert_refused(run("rulebook", "check", tmp_path / "none.toml"), "there is no file")
    own = tmp_path / "own.toml"
    own.write_text("id = 3\n")
    code, out, err = run("rulebook", "check", own)
    assert code == 2
    assert "own.toml, line" in out + err


def test_no_command_teaches(run) -> None:
    code, out, err = run()
    assert (code, err) == (0, "")
    for words in ("crossproof demo", "crossproof vet records.xlsx --out vetted", "exit codes"):
        assert words in out


def test_a_terminal_without_the_sign_of_crosses(tmp_path: Path) -> None:
    source = tmp_path / "records.csv"
    source.write_text("species,×,date,site\nD. fuchsii,1,2019,Fen\n", encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "crossproof", "vet", source, "--out", tmp_path / "out", "--json"],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )
    assert (done.returncode, done.stderr) == (0, b"")


def test_nobody_reads_the_output() -> None:
    done = subprocess.run(
        f"{sys.executable} -m crossproof rulebook show dactylorhiza | head -1; sleep 0.1",
        shell=True,
        capture_output=True,
        text=True,
    )
    assert done.stderr == ""
    assert done.stdout.count("\n") == 1
