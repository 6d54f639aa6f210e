"""Write delimited tables fast: each distinct cell and piece of a row is encoded once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Self

import numpy as np

from crossproof.model import Coded, T

if TYPE_CHECKING:
    from numpy.typing import NDArray

REMEMBERED = 1 << 13  # encoded cells of one table: a megabyte or two
AT_ONCE = 1 << 12  # rows put together at a time: a few megabytes


@dataclass(frozen=True, slots=True)
class Block:
    """Neighbouring columns of a table: their distinct rows and, for each row, which one.

    Without `codes` every row has its own cells. `rows[k]` has one text per column.
    """

    columns: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    codes: NDArray[np.intp] | None = None

    def __len__(self) -> int:
        return len(self.rows if self.codes is None else self.codes)


@dataclass(frozen=True, slots=True)
class Strip:
    """One column: a text for each row, or, with `codes`, the texts and which of them each has."""

    name: str
    texts: Sequence[str]
    codes: NDArray[np.intp] | None = None

    @property
    def columns(self) -> tuple[str, ...]:
        return (self.name,)

    @property
    def rows(self) -> Sequence[Sequence[str]]:
        return [(text,) for text in self.texts]

    def __len__(self) -> int:
        return len(self.texts if self.codes is None else self.codes)


def block(columns: Iterable[str], coded: Coded[T], cells: Callable[[T], Sequence[str]]) -> Block:
    """Make a block by turning each distinct value of a coded column into its cells."""
    return Block(tuple(columns), [cells(value) for value in coded.values], coded.codes)


class TableFile:
    """A delimited UTF-8 text file that grows chunk by chunk.

    The heading is written at once, so that a table without rows is still a table. Quoting follows
    RFC 4180: cells that hold a delimiter, a quotation mark or a line end are quoted, and a blank
    one that is alone in its row; no others. Use it as a context manager.
    """

    def __init__(
        self,
        path: Path,
        columns: Sequence[str],
        *,
        delimiter: str = ",",
        terminator: str = "\r\n",
    ) -> None:
        self.path = path
        self.columns = tuple(columns)
        self.rows = 0
        self._delimiter = delimiter
        self._terminator = terminator
        self._cells = _Encoded(self._encoded)
        self._file: BinaryIO = path.open("wb")
        self._append([Block(self.columns, [self.columns])])

    def write(self, blocks: Sequence[Block | Strip]) -> None:
        """Append the rows of `blocks`, whose columns joined are this table's columns.

        Raises:
            ValueError: the blocks' columns are not the table's, in its order, or they have not all
                as many rows.
        """
        columns = tuple(column for block in blocks for column in block.columns)
        if columns != self.columns:
            raise ValueError(f"{self.path.name} has columns {self.columns}, not {columns}")
        if len({len(block) for block in blocks}) > 1:
            raise ValueError(f"blocks of {[len(block) for block in blocks]} rows make no table")
        self.rows += self._append(blocks)

    def _append(self, blocks: Sequence[Block | Strip]) -> int:
        """Put rows together from pieces, some at a time, and tell how many."""
        columns = [strip for block in blocks for strip in _strips(block)]
        ends = [self._delimiter.encode()] * (len(columns) - 1) + [self._terminator.encode()]
        strips = [self._strip(*given) for given in zip(columns, ends, strict=True)]
        for start in range(0, len(blocks[0]), AT_ONCE):
            pieces = [strip(slice(start, start + AT_ONCE)) for strip in strips]
            self._file.write(b"".join(np.stack(pieces, axis=1).ravel().tolist()))
        return len(blocks[0])

    def _strip(self, part: Block | Strip, end: bytes) -> Callable[[slice], NDArray[np.object_]]:
        """What some rows of a part are in the file, and what ends them there."""
        codes = part.codes
        if not isinstance(part, Strip):
            cells = self._joined(part.rows, end)
        elif codes is not None:
            cells = self._column(part.texts, end)
        else:
            return lambda rows: _array(self._column(part.texts[rows], end))
        assert codes is not None  # `_strips` leaves no other part without
        pieces = _array(cells)
        return lambda rows: pieces[codes[rows]]

    def _joined(self, rows: Sequence[Sequence[str]], end: bytes) -> list[bytes]:
        """Each of `rows` as it stands in the file, with what ends it there."""
        cell, join = self._cells.__getitem__, self._delimiter.encode().join
        return [join(map(cell, row)) + end for row in rows]

    def _column(self, texts: Sequence[str], end: bytes) -> list[bytes]:
        """The cells of a column as they stand in the file, with what ends them there.

        Plain ones, identifiers mostly, are encoded all at once.
        """
        lines = "\n".join(texts)
        if lines.count("\n") == len(texts) - 1 and self._is_plain(lines):
            if end.endswith(b"\n"):
                pieces = _utf8(lines).split(b"\n")
                return [piece + end for piece in pieces]
            pieces = _utf8(lines).replace(b"\n", end + b"\n").split(b"\n")
            pieces[-1] += end
            return pieces
        return [self._cells[text] + end for text in texts]

    def _is_plain(self, lines: str) -> bool:
        """Whether cells, one in a line each, stand in the file as they are."""
        alone = len(self.columns) == 1
        return not (alone or self._delimiter in lines or '"' in lines or "\r" in lines)

    def _encoded(self, cell: str) -> bytes:
        """A cell as it stands in the file."""
        if '"' in cell:
            return _utf8('"' + cell.replace('"', '""') + '"')
        if self._delimiter in cell or "\n" in cell or "\r" in cell:
            return _utf8(f'"{cell}"')
        return _utf8(cell) if cell or len(self.columns) > 1 else b'""'

    def close(self) -> None:
        self._file.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


class _Encoded(dict[str, bytes]):
    """What was encoded, for as long as there is room; the rest is encoded when it is asked for."""

    def __init__(self, encode: Callable[[str], bytes]) -> None:
        super().__init__()
        self._encode = encode

    def __missing__(self, cell: str) -> bytes:
        if len(self) >= REMEMBERED:
            self.clear()
        encoded = self[cell] = self._encode(cell)
        return encoded


def _strips(part: Block | Strip) -> Iterator[Block | Strip]:
    """A part with codes; of any other, each column for itself."""
    if part.codes is not None or isinstance(part, Strip):
        yield part
        return
    for place, column in enumerate(part.columns):
        yield Strip(column, [row[place] for row in part.rows])


def _array(pieces: list[bytes]) -> NDArray[np.object_]:
    return np.array(pieces, dtype=object)


def _utf8(text: str) -> bytes:
    """Half a surrogate pair, which UTF-8 has no place for, becomes `?`."""
    return text.encode("utf-8", "replace")
