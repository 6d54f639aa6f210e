"""Arrow's columns as the columns of a chunk, coded as they are asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, overload

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from crossproof.coding import Texts, code
from crossproof.model import Chunk, Coded, Table
from crossproof.read.parquet import texts_of
from crossproof.read.repair import TELL_TALE, repair
from crossproof.read.rows import NAMED

Column = Sequence[str]


class Columns(Sequence[Column]):
    """The columns of an Arrow table; each is coded when it is first asked for.

    `names` are the positions of columns with plant names; text damaged by a wrong encoding is
    repaired where `mend` says so.
    """

    def __init__(self, columns: Sequence[Any], names: frozenset[int], mend: bool) -> None:
        self.arrow = columns
        self._names = names
        self._mend = mend
        self._ready: dict[int, Column] = {}

    def __len__(self) -> int:
        return len(self.arrow)

    @overload
    def __getitem__(self, place: int) -> Column: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[Column]: ...
    def __getitem__(self, place: int | slice) -> Column | Sequence[Column]:
        if isinstance(place, slice):
            return [self[i] for i in range(*place.indices(len(self)))]
        if place not in self._ready:
            coded = _coded(self.arrow[place])
            if self._mend:
                coded = _mended(coded, name=place in self._names)
            self._ready[place] = Texts(coded)
        return self._ready[place]

    def plain(self, place: int) -> Sequence[str]:
        """The texts of one column as they come."""
        return self[place] if self._mend else texts_of(self.arrow[place])

    def rows(self, positions: Sequence[int]) -> list[tuple[str, ...]]:
        """The cells of a few rows, without coding whole columns."""
        import pyarrow as pa

        wanted = pa.array(positions, pa.int64())
        few = Columns([c.take(wanted) for c in self.arrow], self._names, self._mend)
        return list(zip(*few, strict=True))


def rows_of(chunk: Chunk, positions: Sequence[int]) -> list[tuple[str, ...]]:
    """The cells of a few rows of a chunk."""
    if isinstance(chunk.columns, Columns):
        return chunk.columns.rows(positions)
    return [tuple(column[p] for column in chunk.columns) for p in positions]


def plain_texts(chunk: Chunk, heading: str) -> Sequence[str]:
    """A column that is not worth coding, since its texts are hardly ever the same twice."""
    place = chunk.table.headings.index(heading)
    if isinstance(chunk.columns, Columns):
        return chunk.columns.plain(place)
    return chunk.columns[place]


def chunk_of(
    table: Table, number: int, columns: Sequence[Any], length: int, *, mend: bool
) -> Chunk:
    """A chunk of Arrow columns, its rows numbered from `number`; blank rows are left out."""
    blank = _blank(columns, length)
    numbers: Sequence[int] = range(number, number + length)
    if blank.any():
        import pyarrow as pa

        kept = np.flatnonzero(~blank)
        numbers = [number + int(i) for i in kept]
        columns = [column.take(pa.array(kept)) for column in columns]
    named = {table.fields.get(field) for field in NAMED}
    places = frozenset(i for i, heading in enumerate(table.headings) if heading in named)
    return Chunk(table, numbers, Columns(columns, places, mend))


def _blank(columns: Sequence[Any], length: int) -> NDArray[np.bool_]:
    """Which rows hold nothing but blanks."""
    import pyarrow as pa
    import pyarrow.compute as pc

    blank = np.ones(length, dtype=bool)
    for column in columns:
        if not blank.any():
            return blank
        if pa.types.is_string(column.type) or pa.types.is_large_string(column.type):
            full = pc.and_not(pc.greater(pc.binary_length(column), 0), pc.utf8_is_space(column))
            blank &= ~pc.fill_null(full, False).to_numpy(zero_copy_only=False)
        else:
            blank &= np.fromiter((not t.strip() for t in texts_of(column)), bool, length)
    return blank


def _coded(column: Any) -> Coded[str]:
    import pyarrow as pa

    if pa.types.is_string(column.type) or pa.types.is_large_string(column.type):
        column = column.dictionary_encode(null_encoding="encode")
    elif not (pa.types.is_dictionary(column.type) and pa.types.is_string(column.type.value_type)):
        return code(texts_of(column))
    indices = column.indices.fill_null(-1).to_numpy(zero_copy_only=False)
    used, distinct = pd.factorize(indices, use_na_sentinel=False)
    texts = [*column.dictionary.to_pylist(), None]
    return _joined([texts[k] or "" for k in distinct.tolist()], used)


def _joined(values: list[str], codes: Any) -> Coded[str]:
    """A coded column, whose values may have come to be equal, with each value held once."""
    numbers: dict[str, int] = {}
    renumber = [numbers.setdefault(value, len(numbers)) for value in values]
    if len(numbers) < len(values):
        codes = np.asarray(renumber, dtype=np.intp)[codes]
    return Coded(list(numbers), np.asarray(codes, dtype=np.intp))


def _mended(coded: Coded[str], *, name: bool) -> Coded[str]:
    text = "\n".join(coded.values)
    if (text.isascii() and "&" not in text) or not TELL_TALE.search(text):
        return coded
    return _joined([repair(cell, name=name) for cell in coded.values], coded.codes)


def constant(text: str, length: int) -> Any:
    """An Arrow column that says one thing in every row."""
    import pyarrow as pa

    return pa.DictionaryArray.from_arrays(pa.array(np.zeros(length, np.int32)), pa.array([text]))
