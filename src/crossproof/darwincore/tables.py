"""Tables whose columns are known only when the last row is written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, islice
from pathlib import Path
from typing import TYPE_CHECKING

from crossproof.darwincore.columns import blank, filled, in_use
from crossproof.long_cells import reader
from crossproof.model import Coded, T
from crossproof.tabular import Block, Strip, TableFile, block

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Part:
    """Columns that stand together: those that hold something, and a way to write any of them."""

    columns: tuple[str, ...]
    blocks: Callable[[tuple[str, ...]], list[Block | Strip]]


def fixed(columns: Sequence[str], coded: Coded[T], cells: Callable[[T], Sequence[str]]) -> Part:
    """Columns that are always written."""
    names = tuple(columns)
    return Part(names, lambda _: [block(names, coded, cells)])


def each(column: str, texts: Iterable[str], codes: NDArray[np.intp] | None = None) -> Part:
    """One column: the texts row by row, or, with `codes`, which of them each row has."""
    return Part((column,), lambda _: [Strip(column, [*texts], codes)])


def chosen(
    texts: Mapping[str, Coded[str]],
    mappings: Sequence[Coded[Mapping[str, str]]],
    terms: Sequence[str],
    rows: int,
) -> Part:
    """Those of `terms` that some row has a value for.

    A term is looked for in the mappings, in their order, then among the texts. Neighbours from one
    mapping make one block.
    """
    homes: dict[str, Coded[Mapping[str, str]]] = {}
    for coded in mappings:
        for term in filled(coded):
            homes.setdefault(term, coded)
    used = homes.keys() | {term for term, coded in texts.items() if any(in_use(coded))}
    nothing = blank(rows)

    def blocks(names: tuple[str, ...]) -> list[Block | Strip]:
        made: list[Block | Strip] = []
        for home, group in groupby(names, homes.get):
            these = tuple(group)
            if home is not None:
                made.append(_cells(these, home))
            else:
                found = [(name, texts.get(name, nothing)) for name in these]
                made += [Strip(name, coded.values, coded.codes) for name, coded in found]
        return made

    return Part(tuple(term for term in terms if term in used), blocks)


def _cells(names: tuple[str, ...], coded: Coded[Mapping[str, str]]) -> Block:
    return block(names, coded, lambda value: [value.get(name, "") for name in names])


class GrowingTable:
    """A delimited table written chunk by chunk, each chunk with the columns it has.

    The rows are spooled in segments, a new one whenever a chunk brings a column not seen before,
    and joined by `close`. So the file has only columns that hold something, in the order of the
    parts, and does not depend on where one chunk ends and the next begins.
    """

    def __init__(self, path: Path, *, terminator: str = "\r\n") -> None:
        self.path = path
        self.columns: tuple[str, ...] = ()
        self.rows = 0
        self._terminator = terminator
        self._parts: list[tuple[str, ...]] = []
        self._segments: list[TableFile] = []

    def write(self, parts: Sequence[Part], order: Callable[[str], int]) -> list[Block | Strip]:
        """Append rows, and return them. `parts` are as many, and mean the same, every time."""
        known = self._parts or [part.columns for part in parts]
        wanted = [
            names
            if names and set(part.columns) <= set(names)
            else tuple(sorted({*names, *part.columns}, key=order))
            for names, part in zip(known, parts, strict=True)
        ]
        if wanted != self._parts or not self._segments:
            self._roll(wanted)
        segment = self._segments[-1]
        before = segment.rows
        blocks = [b for part, names in zip(parts, wanted, strict=True) for b in part.blocks(names)]
        segment.write(blocks)
        self.rows += segment.rows - before
        return blocks

    def _roll(self, parts: list[tuple[str, ...]]) -> None:
        if self._segments:
            self._segments[-1].close()
        self._parts = parts
        self.columns = tuple(name for part in parts for name in part)
        path = self.path.with_name(f".{self.path.name}.{len(self._segments)}")
        self._segments.append(TableFile(path, self.columns, terminator=self._terminator))

    def close(self, heading: Sequence[str] = ()) -> None:
        """Join the segments into the one file.

        Where no row was ever written there is none, or one of `heading` alone.
        """
        if not self._segments:
            if heading:
                self.columns = tuple(heading)
                TableFile(self.path, heading, terminator=self._terminator).close()
            return
        self._segments[-1].close()
        if len(self._segments) == 1:
            self._segments[0].path.replace(self.path)
            return
        whole = TableFile(self.path, self.columns, terminator=self._terminator)
        for segment in self._segments:
            self._append(segment, whole)
            segment.path.unlink()
        whole.close()

    def _append(self, segment: TableFile, whole: TableFile) -> None:
        with segment.path.open(encoding="utf-8", newline="") as file:
            rows = reader(file)
            heading = next(rows)
            places = [heading.index(name) if name in heading else -1 for name in self.columns]
            while many := list(islice(rows, 10_000)):
                cells = [[row[at] if at >= 0 else "" for at in places] for row in many]
                whole.write([Block(self.columns, cells)])
