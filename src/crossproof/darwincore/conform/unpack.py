"""Open a folder, a zip file or a gzipped tar file, without trusting it."""

from __future__ import annotations

import tarfile
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import Any

MOST_BYTES = 20_000_000_000
MOST_TIMES = 1000  # bytes unpacked per byte packed; text compresses a hundredfold at best
_SMALL = 50_000_000  # below this size nothing is a bomb
# Python 3.11.4 and later can leave out what no data holds (PEP 706); links are refused in any case.
_DATA_ONLY: dict[str, Any] = {"filter": "data"} if hasattr(tarfile, "data_filter") else {}


class UnpackError(ValueError):
    """The file can't be unpacked, or must not be."""


@contextmanager
def opened(path: Path) -> Iterator[Path]:
    """Yield the folder that holds the files of `path`; unpacked into a temporary one if need be.

    Raises:
        UnpackError: the file is missing, broken, climbs out of its folder, or is a bomb.
    """
    if path.is_dir():
        yield path
        return
    if not path.is_file():
        raise UnpackError("there is no such file or folder")
    with tempfile.TemporaryDirectory(prefix="crossproof-") as place:
        folder = Path(place)
        try:
            if zipfile.is_zipfile(path):
                _unzip(path, folder)
            elif tarfile.is_tarfile(path):
                _untar(path, folder)
            else:
                raise UnpackError("it is neither a folder nor a zip or tar.gz file")
        except (zipfile.BadZipFile, tarfile.TarError, OSError, EOFError, RuntimeError) as error:
            raise UnpackError(f"it can't be unpacked: {error}") from error
        entries = list(folder.iterdir())
        # Some tools wrap everything in one folder; what is inside is meant.
        yield entries[0] if len(entries) == 1 and entries[0].is_dir() else folder


def _unzip(path: Path, folder: Path) -> None:
    with zipfile.ZipFile(path) as archive:
        members = archive.infolist()
        for member in members:
            _stays_inside(member.filename)
        _no_bomb(sum(member.file_size for member in members), path)
        archive.extractall(folder)


def _untar(path: Path, folder: Path) -> None:
    with tarfile.open(path) as archive:
        total = 0
        for member in archive:
            _stays_inside(member.name)
            if not (member.isfile() or member.isdir()):
                raise UnpackError(f"its member {member.name!r} is no file; nothing was unpacked")
            total += member.size
            _no_bomb(total, path)
        archive.extractall(folder, **_DATA_ONLY)


def _stays_inside(name: str) -> None:
    parts = PurePosixPath(name.replace("\\", "/"))
    if parts.is_absolute() or ".." in parts.parts or (parts.parts and ":" in parts.parts[0]):
        raise UnpackError(f"its member {name!r} climbs out of the folder; nothing was unpacked")


def _no_bomb(unpacked: int, path: Path) -> None:
    packed = max(path.stat().st_size, 1)
    if unpacked > MOST_BYTES or (unpacked > _SMALL and unpacked / packed > MOST_TIMES):
        raise UnpackError(f"it would unpack to {unpacked:,} bytes from {packed:,}; refused")
