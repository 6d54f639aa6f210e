"""Code columns: find the distinct values, so that each is parsed and judged once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any, Generic, TypeVar, overload

import numpy as np

from crossproof.model import Coded, U

if TYPE_CHECKING:
    from numpy.typing import NDArray

H = TypeVar("H")  # hashable
K = TypeVar("K")
V = TypeVar("V")


def code(cells: Sequence[H]) -> Coded[H]:
    """Code a column by its distinct values, which must be hashable, in order of appearance."""
    values = list(dict.fromkeys(cells))
    numbers = dict(zip(values, range(len(values)), strict=True))
    codes = np.fromiter(map(numbers.__getitem__, cells), dtype=np.intp, count=len(cells))
    return Coded(values, codes)


def numbered(codes: NDArray[np.int64], most: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Number codes from 0 to `most` anew, without gaps: (the new ones, what each was before)."""
    if most > _SPARSE * (len(codes) + 1000):  # a table of all codes would be larger than they are
        before, anew = np.unique(codes, return_inverse=True)
        return anew.astype(np.intp, copy=False), before
    used = np.zeros(most, dtype=bool)
    used[codes] = True
    before = np.flatnonzero(used)
    places = np.empty(most, dtype=np.intp)
    places[before] = np.arange(len(before))
    return places[codes], before


_SPARSE = 8


class Texts(Sequence[str]):
    """A coded column of texts, to be had like a list of them: a reader may code as it reads."""

    def __init__(self, coded: Coded[str]) -> None:
        self.coded = coded

    def __len__(self) -> int:
        return len(self.coded.codes)

    def __iter__(self) -> Iterator[str]:
        return iter(self.coded)

    @overload
    def __getitem__(self, place: int) -> str: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[str]: ...
    def __getitem__(self, place: int | slice) -> str | Sequence[str]:
        if isinstance(place, slice):
            return Texts(Coded(self.coded.values, self.coded.codes[place]))
        return self.coded.values[int(self.coded.codes[place])]


def same(value: U, rows: int) -> Coded[U]:
    """A column of `rows` rows that all hold one value."""
    return Coded([value], np.zeros(rows, dtype=np.intp))


def cross(*columns: Coded[Any]) -> Coded[tuple[Any, ...]]:
    """The distinct combinations of coded columns.

    Raises:
        ValueError: the columns differ in length.
    """
    if len({len(column) for column in columns}) > 1:
        raise ValueError(f"columns of {[len(column) for column in columns]} rows can't be crossed")
    codes, most = columns[0].codes.astype(np.int64), len(columns[0].values)
    for column in columns[1:]:
        if most * len(column.values) >= _MOST_CODES:
            codes, found = numbered(codes, most)
            most = len(found)
        codes = codes * len(column.values) + column.codes
        most *= len(column.values)
    codes, found = numbered(codes, most)
    rows = np.empty(len(found), dtype=np.intp)
    rows[codes] = np.arange(len(codes))  # of each combination some row, whichever
    picked = [[column.values[k] for k in column.codes[rows].tolist()] for column in columns]
    return Coded(list(zip(*picked, strict=True)), codes)


_MOST_CODES = 1 << 62  # what a signed number of 64 bits can tell apart, and some to spare


def distinct(column: Coded[H]) -> Coded[H]:
    """The same column with equal values held once. The values must be hashable.

    Values that are one object, as a `Memo` gives them, are compared once.
    """
    given = list(column.values)  # held, lest one object take the place and the id of another
    objects = dict(zip(map(id, given), given, strict=True))
    values = list(dict.fromkeys(objects.values()))
    if len(values) == len(given):
        return column
    numbers = dict(zip(values, range(len(values)), strict=True))
    anew = {key: numbers[value] for key, value in objects.items()}
    codes = np.fromiter(map(anew.__getitem__, map(id, given)), dtype=np.intp, count=len(given))
    return Coded(values, codes[column.codes])


class Memo(Generic[K, V]):
    """Remembers what a pure function gave for each value, up to `limit` values.

    A chunk may bring only values never seen before, so the memory is bounded: when it is full it
    is emptied, and fills again.
    """

    def __init__(self, function: Callable[[K], V], limit: int = 100_000) -> None:
        self._function = function
        self._limit = limit
        self._known: dict[K, V] = {}

    def __call__(self, value: K) -> V:
        try:
            return self._known[value]
        except KeyError:
            if len(self._known) >= self._limit:
                self._known.clear()
            result = self._known[value] = self._function(value)
            return result


class ByObject(Generic[K, V]):
    """Remembers what a pure function gave for each object, up to `limit` of them.

    For values that a `Memo` gives, chunk after chunk the same objects: they need not be hashed.
    """

    def __init__(self, function: Callable[[K], V], limit: int = 20_000) -> None:
        self._function = function
        self._limit = limit
        self._known: dict[int, tuple[K, V]] = {}  # the objects too, lest an id pass to another

    def __call__(self, value: K) -> V:
        known = self._known.get(id(value))
        if known is None:
            if len(self._known) >= self._limit:
                self._known.clear()
            known = self._known[id(value)] = (value, self._function(value))
        return known[1]


class Remembered(Generic[K, V]):
    """Remembers what a pure function of many values gave for each, up to `limit` values.

    The function is asked for all that is new at once, so that it may do together what costs most.
    """

    def __init__(self, function: Callable[[Sequence[K]], Sequence[V]], limit: int) -> None:
        self._function = function
        self._limit = limit
        self._known: dict[K, V] = {}

    def __call__(self, values: Sequence[K]) -> list[V]:
        known = self._known
        new = list(dict.fromkeys(value for value in values if value not in known))
        found = dict(zip(new, self._function(new), strict=True)) if new else {}
        given = [known[value] if value in known else found[value] for value in values]
        if len(known) + len(found) > self._limit:
            known.clear()
        if len(found) <= self._limit:
            known.update(found)
        return given


def rows_where(coded: Coded[U], wanted: Callable[[U], bool]) -> Iterator[tuple[int, U]]:
    """The rows whose value is wanted: (position, value), in file order."""
    flags = np.fromiter((wanted(v) for v in coded.values), dtype=bool, count=len(coded.values))
    for position in np.flatnonzero(flags[coded.codes]).tolist() if len(flags) else ():
        yield position, coded.values[coded.codes[position]]
