"""Cut what was submitted into blocks that can each be read on their own, here or elsewhere.

A block of a plain CSV file is a stretch of its bytes, one of Parquet a row group; what can only be
read from its beginning (workbooks, archives, files in other encodings) comes as chunks ready read.
Whichever way, the chunks hold what `read.chunks` gives.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from crossproof.model import Chunk
from crossproof.read import coded
from crossproof.read.errors import Unreadable
from crossproof.read.files import chunks, file_chunks, is_table, partition_key, refusing
from crossproof.read.headings import Recogniser
from crossproof.read.kinds import kind

if TYPE_CHECKING:
    from crossproof.read.plain_text import Stretch


class Block(Protocol):
    """A piece of a submission. `size` is what of the file it takes, in bytes."""

    @property
    def size(self) -> int: ...

    def chunks(self) -> Iterator[Chunk]:
        """Read it."""
        ...


@dataclass(frozen=True, slots=True)
class Ready:
    """A chunk that was read already. Nobody knows how much of its file it took."""

    chunk: Chunk
    size: int = 0

    def chunks(self) -> Iterator[Chunk]:
        yield self.chunk


def files_of(path: Path) -> list[tuple[Path, str]]:
    """The files of a submission, and what each is called: itself, or the tables of a folder."""
    if path.is_dir() and not any((path / n).is_file() for n in ("meta.xml", "datapackage.json")):
        parts = sorted(p for p in path.rglob("*") if p.is_file() and is_table(p, path))
        if parts:
            return [(part, part.relative_to(path).as_posix()) for part in parts]
    return [(path, path.name)]


def blocks(
    path: Path,
    *,
    mapping: Mapping[str, str] | None = None,
    extra_headings: Mapping[str, Sequence[str]],
    size: int = 8 << 20,
    rows: int = 50_000,
) -> Iterator[Block]:
    """Cut a submission into blocks of some `size` bytes, or of `rows` rows.

    Raises:
        Unreadable: as `read.chunks`; it may come while iterating, or as a block is read.
    """
    recogniser = Recogniser(mapping or {}, extra_headings)
    for file, name in files_of(path):
        if not file.is_file():
            for chunk in chunks(file, mapping=mapping, extra_headings=extra_headings, rows=rows):
                yield Ready(chunk)
            continue
        with refusing(name):
            yield from _blocks(file, name, recogniser, size, rows)


def coded_chunks(
    path: Path,
    *,
    mapping: Mapping[str, str] | None = None,
    extra_headings: Mapping[str, Sequence[str]],
    rows: int,
) -> Iterator[Chunk]:
    """What `read.chunks` gives, read by Arrow into coded columns where a file is plain CSV.

    Where one chunk ends and the next begins may differ.

    Raises:
        Unreadable: as `read.chunks`.
    """
    recogniser = Recogniser(mapping or {}, extra_headings)
    for file, name in files_of(path):
        if not file.is_file():
            yield from chunks(file, mapping=mapping, extra_headings=extra_headings, rows=rows)
            continue
        with refusing(name):
            stretches = _stretches(file, name, recogniser, _STRETCH)
            for stretch in stretches or ():
                for chunk in stretch.chunks():
                    yield from coded.parts(chunk, rows)
        if stretches is None:
            yield from file_chunks(file, name, recogniser, rows)


_STRETCH = 5 << 20  # bytes of CSV read at a time: some 40,000 rows of twelve columns


def _stretches(
    path: Path, name: str, recogniser: Recogniser, size: int
) -> Iterator[Stretch] | None:
    """The stretches of a plain CSV file; None for any other, and where pyarrow is missing."""
    if not find_spec("pyarrow") or kind(path) != "delimited":
        return None
    from crossproof.read import plain_text

    plain = plain_text.plain(path, name, recogniser)
    return plain_text.cut(plain, size) if plain else None


def _blocks(path: Path, name: str, recogniser: Recogniser, size: int, rows: int) -> Iterator[Block]:
    stretches = _stretches(path, name, recogniser, size)
    if stretches is not None:
        yield from stretches
        return
    # Without pyarrow everything is read by the readers that need nothing else.
    if find_spec("pyarrow") and kind(path) == "parquet":
        from crossproof.read import row_groups

        keys = [pair for part in Path(name).parts[:-1] if (pair := partition_key(part))]
        yield from row_groups.cut(path, name, recogniser, rows, keys)
        return
    for chunk in file_chunks(path, name, recogniser, rows):
        yield Ready(chunk)


__all__ = ["Block", "Ready", "Unreadable", "blocks", "coded_chunks", "files_of"]
