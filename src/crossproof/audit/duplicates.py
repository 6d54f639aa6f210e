"""Find the records that stand twice, by a shuffle: equal keys meet in one bucket on disk."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from crossproof.audit import counting
from crossproof.audit.counting import Counts
from crossproof.audit.parts import Part
from crossproof.coding import code
from crossproof.tabular import Block, TableFile

BUCKET = 500_000  # keys that are in memory together, about
_SLOT_BITS = 21
_ROW = np.uint64(40)  # bits of a position that count the rows of a part; the others count the parts
WHY = ("identifier", "record")
COLUMNS = (
    *("source_file", "source_sheet", "source_row"),
    *("same_as_file", "same_as_sheet", "same_as_row", "same"),
)
Positions = NDArray[np.uint64]


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
        low, high = np.searchsorted(
            self.positions, [np.uint64(part) << _ROW, np.uint64(part + 1) << _ROW]
        )
        return _rows(self.positions[low:high])


def _rows(positions: Positions) -> NDArray[np.intp]:
    return (positions & ((np.uint64(1) << _ROW) - np.uint64(1))).astype(np.intp)


def _parts(positions: Positions) -> NDArray[np.intp]:
    return (positions >> _ROW).astype(np.intp)


def find(parts: Sequence[Part], folder: Path) -> Duplicates:
    """Find the duplicates among all rows of a run; `folder` is a place for the buckets."""
    folder.mkdir(exist_ok=True)
    buckets = min(max(1, sum(part.rows for part in parts) // BUCKET), 1 << 16)
    found: list[tuple[Positions, Positions, NDArray[np.intp]]] = []
    for which in range(len(WHY)):
        files = [folder / f"{which}-{i}" for i in range(buckets)]
        for number, part in enumerate(parts):
            _scatter(part.keys()[which], number, files)
        for file in files:
            if file.exists():
                again, first = _in_bucket(np.fromfile(file, dtype=np.uint64).reshape(-1, 2))
                found.append((again, first, np.full(len(again), which, dtype=np.intp)))
                file.unlink()
    folder.rmdir()
    if not found:
        none = np.zeros(0, dtype=np.uint64)
        return Duplicates(none, none, np.zeros(0, dtype=np.intp))
    positions, firsts, why = (np.concatenate(column) for column in zip(*found, strict=True))
    return Duplicates(positions, firsts, why)


def _scatter(keys: Positions, number: int, files: Sequence[Path]) -> None:
    """Add the keys of one part, each with its position, to the buckets they belong in."""
    rows = np.flatnonzero(keys)
    keys = keys[rows]
    pairs = np.stack([keys, (np.uint64(number) << _ROW) | rows.astype(np.uint64)], axis=1)
    belongs = (keys % np.uint64(len(files))).astype(np.uint16)  # NumPy sorts these by radix
    order = np.argsort(belongs, kind="stable")
    ends = np.cumsum(np.bincount(belongs, minlength=len(files)))
    for file, mine in zip(files, np.split(pairs[order], ends[:-1]), strict=True):
        if len(mine):
            with file.open("ab") as out:
                mine.tofile(out)


def _in_bucket(pairs: NDArray[np.uint64]) -> tuple[Positions, Positions]:
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
    """Which keys begin with the same bits as another: all that stand twice, and a few more."""
    slots = (keys >> np.uint64(64 - _SLOT_BITS)).astype(np.int32)
    rows = np.arange(len(keys), dtype=np.int32)
    last = np.zeros(1 << _SLOT_BITS, dtype=np.int32)
    last[slots] = rows
    shared = np.zeros(1 << _SLOT_BITS, dtype=bool)
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
            of = _parts(places)
            for number in np.unique(of).tolist():
                here = np.flatnonzero(of == number)
                rows = _rows(places[here])
                told = parts[number].columns(["source_row"], rows)["source_row"]
                numbers[side, here] = [int(text) for text in told]
        mine, first = _parts(duplicates.positions), _parts(duplicates.firsts)
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
