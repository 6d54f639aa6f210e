"""Open the pictures that records refer to, and read what the camera wrote."""

from __future__ import annotations

import hashlib
import warnings
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

from crossproof.model import Picture

_EXIF, _GPS = 0x8769, 0x8825  # the sub-directories of Exif 2.32
_TAKEN, _CHANGED = 0x9003, 0x0132
_MOST_PIXELS = 200_000_000  # a larger picture is refused rather than unpacked
_EXTENSIONS = frozenset({"jpg", "jpeg", "png", "tif", "tiff", "gif", "webp", "bmp", "heic"})


class Album:
    """A folder of pictures. Each file is opened once.

    A reference may be a path below the folder or a bare file name; it never leads out of it.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder.resolve()
        self._by_name = {p.name.casefold(): p for p in sorted(folder.rglob("*")) if p.is_file()}
        self._seen: dict[str, Picture] = {}

    def look(self, reference: str) -> Picture:
        """What is known of the picture a reference names."""
        if reference not in self._seen:
            self._seen[reference] = self._look(reference)
        return self._seen[reference]

    def path(self, reference: str) -> Path | None:
        """The file a reference names, if it really lies in the folder; links do not lead out."""
        try:
            found = self._find(reference.replace("\\", "/"))
            inside = found is not None and found.resolve().is_relative_to(self._folder)
        except (OSError, ValueError):  # a name no file can have
            return None
        return found if inside else None

    def _look(self, reference: str) -> Picture:
        name = reference.replace("\\", "/")
        if name.startswith(("http://", "https://")):
            return Picture(status="elsewhere")
        path = self._find(name)
        if path is not None:
            return _open(path)
        is_file = name.rpartition(".")[2].casefold() in _EXTENSIONS
        return Picture(status="missing" if is_file else "elsewhere")

    def _find(self, name: str) -> Path | None:
        path = (self._folder / name).resolve()
        if path.is_relative_to(self._folder) and path.is_file():
            return path
        return self._by_name.get(name.rpartition("/")[2].casefold())


def _open(path: Path) -> Picture:
    from PIL import Image, UnidentifiedImageError

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(path) as image:
                if image.width * image.height > _MOST_PIXELS:
                    return Picture(status="unreadable")
                image.verify()  # leaves the image unusable, so it is opened again
            with Image.open(path) as image:
                exif = image.getexif()
        details, gps = exif.get_ifd(_EXIF), exif.get_ifd(_GPS)
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return Picture(status="unreadable")
    return Picture(
        status="found",
        taken=_date(details.get(_TAKEN) or exif.get(_CHANGED)),
        position=_position(gps),
        digest=digest,
    )


def _date(text: object) -> str:
    """Exif writes `2024:06:14 11:20:00`; blanks and zeros mean that the clock was not set."""
    day = str(text or "")[:10].replace(":", "-")
    parts = day.split("-")
    is_date = len(parts) == 3 and all(part.isdigit() for part in parts) and parts[0] > "1826"
    return day if is_date else ""


def _position(gps: Mapping[int, Any]) -> tuple[float, float] | None:
    try:
        latitude = _degrees(gps[2]) * (-1 if str(gps[1]).upper().startswith("S") else 1)
        longitude = _degrees(gps[4]) * (-1 if str(gps[3]).upper().startswith("W") else 1)
    except (KeyError, TypeError, ValueError, ZeroDivisionError, IndexError, OverflowError):
        return None
    plausible = abs(latitude) <= 90 and abs(longitude) <= 180 and (latitude or longitude)
    return (latitude, longitude) if plausible else None


def _degrees(parts: Any) -> float:
    degrees, minutes, seconds = (float(Fraction(str(part))) for part in (*parts, 0, 0)[:3])
    return degrees + minutes / 60 + seconds / 3600
