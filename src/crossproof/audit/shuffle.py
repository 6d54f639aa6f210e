"""Bring equal keys together that were made in different places: a shuffle in two halves.

A part lays its keys out by their first bits, in one file. Whoever looks for equal ones then takes
of every part the stretch of those that begin alike, some at a time, and holds no others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

KEYS, BOUNDS = "keys.bin", "bounds.npy"
# Keys that are in memory together: few, so that they stay in the processor's cache, unless the
# stretches to be read would be very many.
FEW, MANY = 1 << 16, 500_000
_STRETCHES = 32
_SLOT_BITS = 12  # first bits of a key
_ROW = np.uint64(40)  # bits of a position that count the rows of a part; the others count the parts

Positions = NDArray[np.uint64]
Pairs = NDArray[np.uint64]  # shape (n, 2): keys, and where each stands


def lay_out(keys: NDArray[np.uint64], folder: Path) -> None:
    """Write the keys of a part, shape (kinds, rows), those that begin alike together; no 0."""
    bounds = np.zeros((len(keys), (1 << _SLOT_BITS) + 1), dtype=np.uint32)
    written = 0
    with (folder / KEYS).open("wb") as file:
        for kind, mine in enumerate(keys):
            rows = np.flatnonzero(mine)
            slots = (mine[rows] >> np.uint64(64 - _SLOT_BITS)).astype(np.uint16)
            rows = rows[np.argsort(slots, kind="stable")]  # NumPy sorts these by radix
            np.stack([mine[rows], rows.astype(np.uint64)], axis=1).tofile(file)
            counts = np.bincount(slots, minlength=1 << _SLOT_BITS)
            bounds[kind] = written + np.append(0, np.cumsum(counts))
            written += len(rows)
    np.save(folder / BOUNDS, bounds)


def gather(folders: Sequence[Path], rows: int) -> Iterator[tuple[int, Pairs]]:
    """The keys of all parts, kind by kind, a bucket of those that begin alike at a time.

    Beside each key stands its position: the place of its folder among those given, and its row
    there. `rows` is how many there are in all, about.
    """
    buckets = max(1, min(rows // FEW, _STRETCHES), rows // MANY)
    edges = np.linspace(0, 1 << _SLOT_BITS, min(buckets, 1 << _SLOT_BITS) + 1).astype(np.intp)
    bounds = [np.load(folder / BOUNDS)[:, edges] for folder in folders]
    for kind in range(len(bounds[0]) if bounds else 0):
        for bucket in range(len(edges) - 1):
            stretches = [
                _stretch(folder, number, *mine[kind, bucket : bucket + 2].tolist())
                for number, (folder, mine) in enumerate(zip(folders, bounds, strict=True))
            ]
            yield kind, np.concatenate(stretches)


def _stretch(folder: Path, number: int, start: int, end: int) -> Pairs:
    size = 2 * np.dtype(np.uint64).itemsize
    pairs = np.fromfile(
        folder / KEYS, dtype=np.uint64, count=2 * (end - start), offset=start * size
    ).reshape(-1, 2)
    pairs[:, 1] |= np.uint64(number) << _ROW
    return pairs


def rows_of(positions: Positions) -> NDArray[np.intp]:
    """The rows of positions, each in its part."""
    return (positions & ((np.uint64(1) << _ROW) - np.uint64(1))).astype(np.intp)


def parts_of(positions: Positions) -> NDArray[np.intp]:
    """The parts of positions."""
    return (positions >> _ROW).astype(np.intp)


def within(positions: Positions, part: int) -> NDArray[np.intp]:
    """The rows of one part, of sorted positions."""
    low, high = np.searchsorted(positions, [np.uint64(part) << _ROW, np.uint64(part + 1) << _ROW])
    return rows_of(positions[low:high])
