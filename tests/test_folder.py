"""An output folder is either absent or whole."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from crossproof.folder import MARK, FolderRefused, whole_folder


def write(target: Path, text: str = "new", **options) -> None:
    with whole_folder(target, **options) as draft:
        (draft / "data.csv").write_text(text)
        (draft / MARK).write_text("{}")


def content(target: Path) -> dict[str, str]:
    return {path.name: path.read_text() for path in target.iterdir()}


def test_a_new_folder(tmp_path: Path) -> None:
    write(tmp_path / "a" / "b" / "out")
    assert content(tmp_path / "a" / "b" / "out") == {"data.csv": "new", MARK: "{}"}
    assert [path.name for path in (tmp_path / "a" / "b").iterdir()] == ["out"]


def test_nothing_is_to_be_seen_before_it_is_whole(tmp_path: Path) -> None:
    with whole_folder(tmp_path / "out") as draft:
        assert not (tmp_path / "out").exists()
        (draft / MARK).touch()
    assert (tmp_path / "out").exists()


def test_an_empty_folder_may_be_taken(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    write(tmp_path / "out")
    assert (tmp_path / "out" / MARK).exists()


def test_a_failure_leaves_all_as_it_was(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError), whole_folder(tmp_path / "a" / "b" / "out") as draft:
        (draft / "half").write_text("x")
        raise ZeroDivisionError
    assert [*tmp_path.iterdir()] == []
    write(tmp_path / "out", "old")
    with pytest.raises(ZeroDivisionError), whole_folder(tmp_path / "out"):
        raise ZeroDivisionError
    assert content(tmp_path / "out")["data.csv"] == "old"


def test_a_rename_that_fails_puts_the_earlier_output_back(tmp_path: Path, monkeypatch) -> None:
    write(tmp_path / "out", "old")
    rename = Path.rename

    def fail(self: Path, target: Path) -> Path:
        if self.name == "new":
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", fail)
    with pytest.raises(OSError, match="Input/output"):
        write(tmp_path / "out")
    assert content(tmp_path / "out")["data.csv"] == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda out: out.touch(), "is a file"),
        (lambda out: (out.mkdir(), (out / "thesis.txt").touch()), "not written by crossproof"),
        (lambda out: (out.mkdir(), (out / MARK).mkdir()), "not written by crossproof"),
    ],
)
def test_what_is_not_ours_is_left_alone(tmp_path: Path, make, words) -> None:
    make(tmp_path / "out")
    before = sorted(map(str, tmp_path.rglob("*")))
    with pytest.raises(FolderRefused, match=words):
        write(tmp_path / "out")
    assert sorted(map(str, tmp_path.rglob("*"))) == before


@pytest.mark.parametrize("given", ["out/data.csv", "out", ".", "./out/../out/data.csv"])
def test_inputs_are_not_written_over(tmp_path: Path, given: str) -> None:
    write(tmp_path / "out", "old")
    with pytest.raises(FolderRefused, match="lies in"):
        write(tmp_path / "out", inputs=[tmp_path / given])
    assert content(tmp_path / "out")["data.csv"] == "old"


def test_inputs_beside_it_are_no_matter(tmp_path: Path) -> None:
    write(tmp_path / "out", inputs=[tmp_path / "out.csv", tmp_path / "out2", tmp_path / "none"])


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(tmp_path / "real")
    write(tmp_path / "link", "first")
    write(tmp_path / "link", "second")
    assert (tmp_path / "link").is_symlink()
    assert content(tmp_path / "real")["data.csv"] == "second"


def test_the_folder_one_stands_in(tmp_path: Path, monkeypatch) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    write(Path())
    assert content(tmp_path / "here")["data.csv"] == "new"


def test_the_mask_of_the_user_holds(tmp_path: Path) -> None:
    before = os.umask(0o077)
    try:
        write(tmp_path / "out")
    finally:
        os.umask(before)
    assert (tmp_path / "out").stat().st_mode & 0o777 == 0o700


# --- what a killed run leaves ------------------------------------------------------------------


def dead_workshop(target: Path, *, was: str = "") -> Path:
    """A workshop as a run leaves it that was killed; with `was` just between its two renames."""
    path = target.parent / f".{target.name}.crossproof-dead"
    (path / "new").mkdir(parents=True)
    (path / "new" / "half.csv").touch()
    if was:
        (path / "was").mkdir()
        (path / "was" / MARK).touch()
        (path / "was" / "data.csv").write_text(was)
    return path


def test_it_is_tidied_away(tmp_path: Path) -> None:
    dead_workshop(tmp_path / "out")
    write(tmp_path / "out")
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_an_earlier_output_that_it_set_aside_is_put_back(tmp_path: Path) -> None:
    dead_workshop(tmp_path / "out", was="old")
    with pytest.raises(ZeroDivisionError), whole_folder(tmp_path / "out"):
        raise ZeroDivisionError
    assert content(tmp_path / "out")["data.csv"] == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_a_run_that_lives_is_left_alone(tmp_path: Path) -> None:
    with whole_folder(tmp_path / "out") as first:
        (first / MARK).touch()
        with whole_folder(tmp_path / "out") as second:
            (second / MARK).touch()
            (second / "second").touch()
            assert first != second
        assert first.exists()
        (first / "first").touch()
    assert {path.name for path in (tmp_path / "out").iterdir()} == {MARK, "first"}
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("name", [".out.mine", ".out.crossproof", ".out2.crossproof-x", ".out"])
def test_other_hidden_folders_are_none_of_ours(tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir()
    (tmp_path / name / "thesis.txt").touch()
    write(tmp_path / "out")
    assert (tmp_path / name / "thesis.txt").exists()


def test_a_link_that_looks_like_a_workshop_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "mine" / "was").mkdir(parents=True)
    (tmp_path / ".out.crossproof-x").symlink_to(tmp_path / "mine")
    write(tmp_path / "out")
    assert (tmp_path / "mine" / "was").exists()


def test_a_name_with_signs_of_a_pattern(tmp_path: Path) -> None:
    (tmp_path / ".o.crossproof-x").mkdir()
    dead_workshop(tmp_path / "[o]*")
    write(tmp_path / "[o]*")
    assert {path.name for path in tmp_path.iterdir()} == {"[o]*", ".o.crossproof-x"}
