"""Write delimited tables fast: each distinct piece of a row is encoded once."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Self, TextIO

from crossproof.model import Coded, T

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Block:
    """Neighbouring columns of a table: their distinct rows and, for each row, which one.

    Without `codes` every row has its own cells. `rows[k]` has one text per column.
    """

    columns: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    codes: NDArray[np.intp] | None = None


def block(columns: Iterable[str], coded: Coded[T], cells: Callable[[T], Sequence[str]]) -> Block:
    """Make a block by turning each distinct value of a coded column into its cells."""
    return Block(tuple(columns), [cells(value) for value in coded.values], coded.codes)


class TableFile:
    """A delimited UTF-8 text file that grows chunk by chunk.

    The heading is written at once, so that a table without rows is still a table. Quoting follows
    RFC 4180 through the standard library's csv. Use it as a context manager.
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
        self._file: TextIO = path.open("w", encoding="utf-8", newline="")
        self._file.write(self._encode([self.columns])[0] + terminator)

    def write(self, blocks: Sequence[Block]) -> None:
        """Append the rows of `blocks`, whose columns joined are this table's columns.

        Raises:
            ValueError: the blocks' columns are not the table's, in its order.
        """
        columns = tuple(column for block in blocks for column in block.columns)
        if columns != self.columns:
            raise ValueError(f"{self.path.name} has columns {self.columns}, not {columns}")
        pieces = [self._pieces(block) for block in blocks]
        lines = list(map(self._delimiter.join, zip(*pieces, strict=True)))
        if lines:
            self._file.write(self._terminator.join(lines) + self._terminator)
        self.rows += len(lines)

    def _pieces(self, block: Block) -> Iterable[str]:
        encoded = self._encode(block.rows)
        if block.codes is None:
            return encoded
        return map(encoded.__getitem__, block.codes.tolist())

    def _encode(self, rows: Sequence[Sequence[str]]) -> list[str]:
        lines = _Lines()
        # With the default terminator csv quotes every line end inside a cell, whatever ends ours.
        csv.writer(lines, delimiter=self._delimiter).writerows(rows)
        # It marks a row of one empty cell with quotes; as a piece of a longer row it needs none.
        lone = bool(rows) and len(rows[0]) == 1 < len(self.columns)
        return ["" if lone and line == '""\r\n' else line[:-2] for line in lines]

    def close(self) -> None:
        self._file.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


class _Lines(list[str]):
    """Collects what csv.writer writes, one entry per row."""

    def write(self, line: str) -> None:
        self.append(line)
