"""Every command of the tutorials runs, and answers what the page says it answers."""

from __future__ import annotations

import re
import shlex
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from crossproof.cli import main
from crossproof.resources import folder

TUTORIALS = Path(__file__).parents[1] / "docs" / "tutorials"
PAGES = sorted(TUTORIALS.glob("*.md"))
BLOCK = re.compile(r"^```(\w+)(?: (\S+))?\n(.*?)^```$", re.DOTALL | re.MULTILINE)
by_page = pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)


def blocks(page: Path) -> Iterator[tuple[str, str, str]]:
    """The blocks of a page: its kind (`sh`, `text`, `csv`), its file name, its lines."""
    for match in BLOCK.finditer(page.read_text(encoding="utf-8")):
        yield match[1], match[2] or "", match[3]


@by_page
def test_a_tutorial_answers_as_it_says(page: Path, tmp_path: Path, monkeypatch, capsys) -> None:
    shutil.copytree(folder("demo_data"), tmp_path / "demo_data")
    monkeypatch.chdir(tmp_path)
    said, ran, quoted = "", 0, 0
    for kind, name, text in blocks(page):
        if kind == "csv":
            Path(name).write_text(text, encoding="utf-8")
        elif kind == "sh":
            said = ""
            for line in text.splitlines():
                program, *arguments = shlex.split(line)
                assert program == "crossproof", line
                assert main(arguments) == 0, (line, capsys.readouterr().err)
                said += capsys.readouterr().out
                ran += 1
        elif kind == "text":
            place = 0
            for piece in re.split(r"^…\n", text, flags=re.MULTILINE):
                found = said.find(piece.rstrip("\n"), place)
                assert found >= 0, f"not said, or not in this order: {piece}"
                place = found + len(piece) - 1
                quoted += 1
    assert ran
    assert quoted


@by_page
def test_the_pictures_are_there_and_small(page: Path) -> None:
    named = re.findall(r"!\[([^\]]*)\]\((pictures/[^)]+)\)", page.read_text(encoding="utf-8"))
    assert named
    for words, path in named:
        assert len(words) > 20  # what it shows, for who can't see it
        assert (TUTORIALS / path).stat().st_size < 150_000
        with Image.open(TUTORIALS / path) as picture:
            assert picture.format == "PNG"
            assert picture.width <= 1000


def test_no_picture_is_left_over() -> None:
    text = "".join(page.read_text(encoding="utf-8") for page in PAGES)
    assert all(path.name in text for path in (TUTORIALS / "pictures").iterdir())
