"""Read whatever was submitted: one file of any kind, or a folder."""

from __future__ import annotations

import sqlite3
import zlib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from os import PathLike
from pathlib import Path
from types import MappingProxyType
from zipfile import BadZipFile

from crossproof.model import Chunk
from crossproof.read.errors import Unreadable
from crossproof.read.headings import Recogniser
from crossproof.read.kinds import kind

_TABLES = {
    *(".csv", ".tsv", ".tab", ".txt", ".xlsx", ".xlsm", ".xlsb", ".xls", ".ods"),
    *(".parquet", ".zip"),
}
_NOTHING: Mapping[str, Sequence[str]] = MappingProxyType({})


def chunks(
    path: str | PathLike[str],
    *,
    mapping: Mapping[str, str] | None = None,
    extra_headings: Mapping[str, Sequence[str]] = _NOTHING,
    rows: int = 20_000,
    alone: bool = False,
) -> Iterator[Chunk]:
    """Read a submission as chunks of at most `rows` rows, all cells text.

    `path` is a CSV, TSV, XLSX, XLS, ODS or Parquet file, a Darwin Core archive or data package (zip
    or folder), or a folder of such files. `mapping` gives the heading of a field as written;
    `extra_headings` the headings that mean a field of evidence. With `alone` an archive's
    occurrences are read as they stand, without what its extensions say of them. A table's first
    chunk carries what is to be said of the table, and comes even when the table has no rows.

    Raises:
        Unreadable: the file can't be used; the sentence says why and what to do.
        It may come while iterating, since files are read as they are asked for.
    """
    path = Path(path)
    recogniser = Recogniser(mapping or {}, extra_headings)
    if path.is_dir():
        yield from _folder(path, recogniser, rows, alone)
    elif not path.exists():
        raise Unreadable(f"There is no file {path}; check its name and folder.")
    else:
        yield from file_chunks(path, path.name, recogniser, rows, alone)


@contextmanager
def refusing(name: str) -> Iterator[None]:
    """Turn what the libraries raise over a damaged file into one sentence."""
    try:
        yield
    except sqlite3.Error as error:
        raise Unreadable(
            f"{name}: its extensions could not be kept on disk ({error}); make room in the folder "
            "for temporary files."
        ) from None
    except (OSError, EOFError, NotImplementedError, BadZipFile, zlib.error) as error:
        raise Unreadable(f"{name} is damaged ({error}); copy or download it again.") from None


def file_chunks(
    path: Path, name: str, recogniser: Recogniser, rows: int, alone: bool = False
) -> Iterator[Chunk]:
    with refusing(name):
        # Each reader is imported when a file needs it: lxml, pyarrow and calamine are heavy.
        match kind(path):
            case "delimited":
                from crossproof.read import delimited

                yield from delimited.read(name, lambda: path.open("rb"), recogniser, rows)
            case "workbook":
                from crossproof.read import workbook

                yield from workbook.read(path, name, recogniser, rows)
            case "parquet":
                from crossproof.read import parquet

                keys = [pair for part in Path(name).parts[:-1] if (pair := partition_key(part))]
                yield from parquet.read(path, name, recogniser, rows, keys)
            case "archive":
                from crossproof.read import archive

                yield from archive.read_zip(path, recogniser, rows, alone=alone)
            case "package":
                from crossproof.read import package

                yield from package.read_zip(path, recogniser, rows)


def partition_key(part: str) -> tuple[str, str] | None:
    name, equals, value = part.partition("=")
    return (name, value) if equals else None


def _folder(path: Path, recogniser: Recogniser, rows: int, alone: bool) -> Iterator[Chunk]:
    if (path / "meta.xml").is_file():
        from crossproof.read import archive

        with refusing(path.name):
            yield from archive.read_folder(path, recogniser, rows, alone=alone)
        return
    if (path / "datapackage.json").is_file():
        from crossproof.read import package

        with refusing(path.name):
            yield from package.read_folder(path, recogniser, rows)
        return
    parts = sorted(p for p in path.rglob("*") if p.is_file() and is_table(p, path))
    if not parts:
        raise Unreadable(
            f"The folder {path} holds no table; give a CSV, XLSX, ODS or Parquet file, or a folder "
            "of them."
        )
    for part in parts:
        yield from file_chunks(part, part.relative_to(path).as_posix(), recogniser, rows, alone)


def is_table(part: Path, root: Path) -> bool:
    hidden = any(p.startswith((".", "_", "~$")) for p in part.relative_to(root).parts)
    return part.suffix.lower() in _TABLES and not hidden
