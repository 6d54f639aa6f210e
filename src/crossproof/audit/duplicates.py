"""Find the records that stand twice: those that have a key in common."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from crossproof.audit import counting
from crossproof.audit.counting import Counts
from crossproof.audit.parts import Part
from crossproof.audit.shuffle import Pairs, Positions, gather, parts_of, rows_of, within
from crossproof.coding import code
from crossproof.tabular import Block, TableFile

WHY = ("identifier", "record")
COLUMNS = (
    *("source_file", "source_sheet", "source_row"),
    *("same_as_file", "same_as_sheet", "same_as_row", "same"),
)


class Duplicates:
    """The records that are counted once already: the places of each and of the first like it.

    `positions`, `firsts` (uint64, sorted by the former) number the records of a run by part and
    row; `why` indexes `WHY`.
    """

    def __init__(self, positions: Positions, firsts: Positions, why: NDArray[np.intp]) -> None:
        order = np.lexsort((why, positions))
        once = np.append(True, np.diff(positions[order]) != 0) if len(order) else order == 0
        order = order[once]
        self.positions, self.firsts, self.why = positions[order], firsts[order], why[order]

    def __len__(self) -> int:
        return len(self.positions)

    def of_part(self, part: int) -> NDArray[np.intp]:
        """The rows of a part that are duplicates."""
        return within(self.positions, part)


def find(parts: Sequence[Part]) -> Duplicates:
    """Find the duplicates among all rows of a run."""
    none = np.zeros(0, dtype=np.uint64)
    found = [(none, none, np.zeros(0, dtype=np.intp))]
    folders, rows = [part.folder for part in parts], sum(part.rows for part in parts)
    for which, pairs in gather(folders, rows):
        again, first = _in_bucket(pairs)
        found.append((again, first, np.full(len(again), which, dtype=np.intp)))
    positions, firsts, why = (np.concatenate(column) for column in zip(*found, strict=True))
    return Duplicates(positions, firsts, why)


def _in_bucket(pairs: Pairs) -> tuple[Positions, Positions]:
    """The positions whose key an earlier one has, and that earliest one's."""
    pairs = pairs[_stands_twice(pairs[:, 0])]
    order = np.lexsort((pairs[:, 1], pairs[:, 0]))
    keys, positions = pairs[order, 0], pairs[order, 1]
    starts = np.append(True, keys[1:] != keys[:-1])[: len(keys)]
    firsts = positions[np.flatnonzero(starts)][np.cumsum(starts) - 1]
    return positions[~starts], firsts[~starts]


def _stands_twice(keys: Positions) -> NDArray[np.intp]:
    """Which keys stand more than once; where they fall together is quicker than all in order."""
    rows = _falling_together(keys)
    some = keys[rows]
    ordered = np.sort(some)
    twice = np.unique(ordered[1:][ordered[1:] == ordered[:-1]])
    if not len(twice):
        return np.zeros(0, dtype=np.intp)
    nearest = np.minimum(np.searchsorted(twice, some), len(twice) - 1)
    return rows[np.flatnonzero(twice[nearest] == some)]


def _falling_together(keys: Positions) -> NDArray[np.intp]:
    """Which keys end with the same bits as another: all that stand twice, and a few more."""
    size = 1 << (len(keys).bit_length() + 2)  # so that one in eight falls on another by chance
    slots = (keys & np.uint64(size - 1)).astype(np.int32)
    rows = np.arange(len(keys), dtype=np.int32)
    last = np.zeros(size, dtype=np.int32)
    last[slots] = rows
    shared = np.zeros(size, dtype=bool)
    shared[slots[last[slots] != rows]] = True
    return np.flatnonzero(shared[slots])


def uncounted(parts: Sequence[Part], duplicates: Duplicates) -> Iterator[Counts]:
    """What was counted of the duplicates, part by part, to be taken away."""
    for number, part in enumerate(parts):
        rows = duplicates.of_part(number)
        if len(rows):
            columns = part.columns(counting.NEEDED, rows)
            yield counting.tally({name: code(texts) for name, texts in columns.items()})


def write(parts: Sequence[Part], duplicates: Duplicates, path: Path) -> None:
    """List the duplicates, and which record each is the same as, as `duplicates.csv`."""
    with TableFile(path, COLUMNS) as file:
        if not len(duplicates):
            return
        numbers = np.zeros((2, len(duplicates)), dtype=np.int64)
        for side, places in enumerate((duplicates.positions, duplicates.firsts)):
            of = parts_of(places)
            for number in np.unique(of).tolist():
                here = np.flatnonzero(of == number)
                rows = rows_of(places[here])
                told = parts[number].columns(["source_row"], rows)["source_row"]
                numbers[side, here] = [int(text) for text in told]
        mine, first = parts_of(duplicates.positions), parts_of(duplicates.firsts)
        for start in range(0, len(duplicates), 10_000):
            some = slice(start, start + 10_000)
            cells = [
                (*_table(parts[a]), str(i), *_table(parts[b]), str(j), WHY[w])
                for a, i, b, j, w in zip(
                    mine[some].tolist(),
                    numbers[0, some].tolist(),
                    first[some].tolist(),
                    numbers[1, some].tolist(),
                    duplicates.why[some].tolist(),
                    strict=True,
                )
            ]
            file.write([Block(COLUMNS, cells)])


def _table(part: Part) -> tuple[str, str]:
    """The file and sheet of a part: a block is always of one table."""
    table: Mapping[str, str] = part.tables[0]
    return table["file"], table["sheet"]
