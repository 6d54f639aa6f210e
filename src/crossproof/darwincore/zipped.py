"""Compressed files with the same bytes from the same content."""

from __future__ import annotations

import gzip
import shutil
import sys
import zipfile
from pathlib import Path

_THEN = (1980, 1, 1, 0, 0, 0)  # the earliest date a zip file can hold
_LEVEL = "compress_level" if sys.version_info >= (3, 13) else "_compresslevel"
_FAST = 1  # a quarter of the time of the default level, two fifths more bytes


def zip_folder(folder: Path, zip_path: Path) -> None:
    """Zip the files of `folder` (sorted, at the root of the zip), a piece at a time."""
    with zipfile.ZipFile(zip_path, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(p for p in folder.rglob("*") if p.is_file()):
            member = zipfile.ZipInfo(path.relative_to(folder).as_posix(), _THEN)
            member.compress_type = zipfile.ZIP_DEFLATED
            setattr(member, _LEVEL, _FAST)  # a member of one's own doesn't take the archive's
            member.external_attr = 0o644 << 16
            member.create_system = 3
            member.file_size = path.stat().st_size  # tells whether it needs the headers of Zip64
            with path.open("rb") as source, archive.open(member, "w") as target:
                shutil.copyfileobj(source, target, 1 << 20)


def gzip_file(path: Path) -> None:
    """Put `<name>.gz` in a file's place, without a name or a time in it."""
    packed = path.with_name(f"{path.name}.gz")
    with (
        path.open("rb") as source,
        packed.open("wb") as file,
        gzip.GzipFile("", "wb", compresslevel=_FAST, fileobj=file, mtime=0) as target,
    ):
        shutil.copyfileobj(source, target, 1 << 20)
    path.unlink()
