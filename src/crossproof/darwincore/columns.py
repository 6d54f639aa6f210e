"""Coded columns in use: subsets, blanks, and lists with one row per item."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING, Generic

import numpy as np

from crossproof.model import Coded, T

if TYPE_CHECKING:
    from numpy.typing import NDArray


def in_use(coded: Coded[T]) -> list[T]:
    """The distinct values that some row really has."""
    used = np.flatnonzero(np.bincount(coded.codes, minlength=len(coded.values)))
    return [coded.values[code] for code in used.tolist()]


def filled(coded: Coded[Mapping[str, str]]) -> list[str]:
    """The terms that some row has a text for."""
    values = in_use(coded)
    terms = dict.fromkeys(chain.from_iterable(values))
    return [term for term in terms if any(value.get(term) for value in values)]


def masked(coded: Coded[str], keep: NDArray[np.bool_]) -> Coded[str]:
    """The same texts, blank in the rows that are not to be kept."""
    blank = len(coded.values)
    return Coded([*coded.values, ""], np.where(keep, coded.codes, blank))


def blank(rows: int) -> Coded[str]:
    """A column without a text."""
    return Coded([""], np.zeros(rows, dtype=np.intp))


@dataclass(frozen=True, slots=True)
class Items(Generic[T]):
    """Rows that are the items of lists: the row each belongs to, the item, its number from 1."""

    rows: NDArray[np.intp]
    items: Coded[T]
    numbers: NDArray[np.intp]

    def __len__(self) -> int:
        return len(self.rows)


def itemise(*lists: Coded[tuple[T, ...]]) -> Items[T]:
    """One row per item of the lists of each row, list after list, rows in their order."""
    values: list[T] = []
    counts, codes = [], []
    for column in lists:
        sizes = np.fromiter((len(value) for value in column.values), np.intp, len(column.values))
        starts = len(values) + np.cumsum(sizes) - sizes
        values += [item for value in column.values for item in value]
        size = sizes[column.codes]
        counts.append(size)
        codes.append(np.repeat(starts[column.codes], size) + _number(size))
    total: NDArray[np.intp] = np.stack(counts).sum(axis=0)
    free = np.cumsum(total) - total  # where the next item of each row goes
    code = np.empty(total.sum(), dtype=np.intp)
    for size, item in zip(counts, codes, strict=True):
        code[np.repeat(free, size) + _number(size)] = item
        free += size
    rows = np.repeat(np.arange(len(total), dtype=np.intp), total)
    return Items(rows, Coded(values, code), _number(total) + 1)


def _number(counts: NDArray[np.intp]) -> NDArray[np.intp]:
    """0, 1, … for each of `counts` runs: [2, 0, 3] → [0, 1, 0, 1, 2]."""
    ends = np.cumsum(counts)
    return np.arange(ends[-1] if len(ends) else 0, dtype=np.intp) - np.repeat(ends - counts, counts)
