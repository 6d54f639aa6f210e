"""The demonstration data: invented, messy, and the script that makes it gives it again."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from crossproof.demo import ISSUED, options, submission
from crossproof.resources import folder


def test_all_its_files_ship() -> None:
    assert [path.suffix for path in submission()] == [".csv", ".xlsx", ".csv"]
    for path in (*submission(), options().metadata):
        assert path.is_file()


def test_nothing_is_taken_from_the_clock() -> None:
    assert options().issued == ISSUED == options().today.isoformat()


def test_its_photos_open_and_carry_a_date() -> None:
    from PIL import Image

    photos = sorted((folder("demo_data") / "photos").glob("*.jpg"))
    assert len(photos) >= 3
    for path in photos:
        with Image.open(path) as picture:
            picture.load()
            assert picture.getexif()


def test_the_script_that_is_kept_makes_it_again(tmp_path: Path) -> None:
    home = folder("demo_data")
    script = home / "make_demo.py"
    if not script.is_file():
        pytest.skip("the script is in a checkout only")
    copy = tmp_path / "demo_data"
    copy.mkdir()
    (copy / script.name).write_bytes(script.read_bytes())
    subprocess.run([sys.executable, copy / script.name], check=True, cwd=copy, capture_output=True)
    for path in home.glob("*.csv"):
        assert (copy / path.name).read_bytes() == path.read_bytes(), path.name
