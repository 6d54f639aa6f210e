"""Pictures as files: found or not, opened or not, and what the camera wrote (Exif 2.32)."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from crossproof.read.pictures import Album


def make(path: Path, *, taken: str = "", gps: dict | None = None) -> Path:
    exif = Image.Exif()
    if taken:
        exif.get_ifd(0x8769)[0x9003] = taken
    if gps:
        exif.get_ifd(0x8825).update(gps)
    Image.new("RGB", (8, 8), (10, 120, 40)).save(path, exif=exif)
    return path


def test_date_and_position_as_the_camera_wrote_them(tmp_path: Path) -> None:
    gps = {1: "N", 2: (51.0, 12.0, 30.0), 3: "W", 4: (1.0, 30.0, 0.0)}
    make(tmp_path / "a.jpg", taken="2024:06:14 11:20:00", gps=gps)
    picture = Album(tmp_path).look("a.jpg")
    assert (picture.status, picture.taken) == ("found", "2024-06-14")
    assert picture.position == pytest.approx((51 + 12.5 / 60, -1.5))


@pytest.mark.parametrize("taken", ["", "0000:00:00 00:00:00", "    :  :     :  :  ", "yesterday"])
def test_a_clock_that_was_not_set_tells_nothing(tmp_path: Path, taken: str) -> None:
    make(tmp_path / "a.jpg", taken=taken)
    assert Album(tmp_path).look("a.jpg").taken == ""


@pytest.mark.parametrize(
    ("reference", "status"),
    [
        ("a.jpg", "found"),
        ("A.JPG", "found"),
        (r"C:\photos\a.jpg", "found"),
        ("sub/b.png", "found"),
        ("b.png", "found"),
        ("c.jpg", "missing"),
        ("not.jpg", "unreadable"),
        ("https://photos.invalid/a.jpg", "elsewhere"),
        ("slide 114", "elsewhere"),
        ("../secret.jpg", "missing"),
    ],
)
def test_references_are_looked_up_in_the_folder_only(
    tmp_path: Path, reference: str, status: str
) -> None:
    folder = tmp_path / "photos"
    (folder / "sub").mkdir(parents=True)
    make(folder / "a.jpg")
    make(folder / "sub" / "b.png")
    make(tmp_path / "secret.jpg")
    (folder / "not.jpg").write_text("no picture", encoding="utf-8")
    assert Album(folder).look(reference).status == status


def test_the_same_bytes_have_the_same_digest(tmp_path: Path) -> None:
    first = make(tmp_path / "a.jpg")
    (tmp_path / "b.jpg").write_bytes(first.read_bytes())
    album = Album(tmp_path)
    assert album.look("a.jpg").digest == album.look("b.jpg").digest != ""
