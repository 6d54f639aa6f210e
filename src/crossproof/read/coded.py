"""Arrow's columns as the columns of a chunk, coded as they are asked for."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from typing import Any, overload

import numpy as np
from numpy.typing import NDArray

from crossproof import arrow
from crossproof.arrow import Unlike, utf8
from crossproof.coding import Texts, code, distinct, numbered
from crossproof.model import Chunk, Coded, Table
from crossproof.read.parquet import texts_of
from crossproof.read.repair import TELL_TALE, repair
from crossproof.read.rows import NAMED

Column = Sequence[str]
# Fields whose texts are hardly ever the same twice, so that nothing is gained by coding them.
UNLIKE = frozenset({"occurrenceID", "photo", "associatedMedia"})


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
            coded = recoded(self.arrow[place])
            if self._mend:
                coded = _mended(coded, name=place in self._names)
            self._ready[place] = Texts(coded)
        return self._ready[place]

    def plain(self, place: int) -> Sequence[str]:
        """One column that is not worth coding."""
        column = self.arrow[place]
        if _is_text(column.type):
            texts = _unlike(column)
            if not self._mend or not _may_be_damaged(utf8(texts)[0].tobytes().decode()):
                return texts
        return self[place]

    def between(self, begin: int, end: int) -> Columns:
        """The cells of some rows that follow each other."""
        return Columns([c[begin:end] for c in self.arrow], self._names, self._mend)

    def rows(self, positions: Sequence[int]) -> list[tuple[str, ...]]:
        """The cells of a few rows, without coding whole columns."""
        wanted = arrow.numbers(np.asarray(positions, dtype=np.int64))
        few = Columns([c.take(wanted) for c in self.arrow], self._names, self._mend)
        return list(zip(*few, strict=True))


def rows_of(chunk: Chunk, positions: Sequence[int]) -> list[tuple[str, ...]]:
    """The cells of a few rows of a chunk."""
    if isinstance(chunk.columns, Columns):
        return chunk.columns.rows(positions)
    return [tuple(column[p] for column in chunk.columns) for p in positions]


def parts(chunk: Chunk, rows: int) -> Iterator[Chunk]:
    """Cut a chunk into ones of at most `rows` rows; broken rows stay with those above them."""
    if len(chunk) <= rows:
        yield chunk
        return
    broken = sorted(chunk.broken, key=lambda row: row.number)
    above = [row.number for row in broken]
    done = 0
    for begin in range(0, len(chunk), rows):
        end = min(begin + rows, len(chunk))
        upto = bisect_left(above, chunk.numbers[end]) if end < len(chunk) else len(above)
        columns: Sequence[Column]
        if isinstance(chunk.columns, Columns):
            columns = chunk.columns.between(begin, end)
        else:
            columns = [column[begin:end] for column in chunk.columns]
        findings = () if begin else chunk.findings
        numbers = chunk.numbers[begin:end]
        yield Chunk(chunk.table, numbers, columns, broken[done:upto], findings)
        done = upto


def plain_texts(chunk: Chunk, heading: str) -> Sequence[str]:
    """A column that is not worth coding, since its texts are hardly ever the same twice.

    It is `Unlike` where Arrow can hold it so.
    """
    place = chunk.table.headings.index(heading)
    if isinstance(chunk.columns, Columns):
        return chunk.columns.plain(place)
    return chunk.columns[place]


def coded_as_one(texts: Sequence[str], pattern: re.Pattern[str], one: str) -> Coded[str]:
    """Code a column, taking all texts that a pattern fits wholly for `one`.

    The pattern must say the same to Python and to RE2 (so no \\w, which differs beyond ASCII).
    """
    if isinstance(texts, Unlike):
        import pyarrow.compute as pc

        whole = f"^(?:{pattern.pattern})$"
        return recoded(pc.replace_substring_regex(texts.arrow, pattern=whole, replacement=one))
    coded = texts.coded if isinstance(texts, Texts) else code(texts)
    return distinct(coded.map(lambda text: one if pattern.fullmatch(text) else text))


def chunk_of(
    table: Table, number: int, columns: Sequence[Any], length: int, *, mend: bool
) -> Chunk:
    """A chunk of Arrow columns, its rows numbered from `number`; blank rows are left out."""
    blank = _blank(columns, length)
    numbers: Sequence[int] = range(number, number + length)
    if blank.any():
        kept = np.flatnonzero(~blank)
        numbers = (number + kept).tolist()
        columns = [column.take(arrow.numbers(kept)) for column in columns]
    named = {table.fields.get(field) for field in NAMED}
    places = frozenset(i for i, heading in enumerate(table.headings) if heading in named)
    return Chunk(table, numbers, Columns(columns, places, mend))


def _blank(columns: Sequence[Any], length: int) -> NDArray[np.bool_]:
    """Which rows hold nothing but blanks."""
    blank = np.ones(length, dtype=bool)
    for column in columns:
        if not blank.any():
            return blank
        blank &= _blank_texts(_unlike(column)) if _is_text(column.type) else _blank_codes(column)
    return blank


def _blank_codes(column: Any) -> NDArray[np.bool_]:
    coded = recoded(column)
    return np.array([not text.strip() for text in coded.values], dtype=bool)[coded.codes]


def _blank_texts(texts: Unlike) -> NDArray[np.bool_]:
    """Which texts are blank; those whose first sign may be a blank are looked at one by one."""
    data, lengths = utf8(texts)
    blank: NDArray[np.bool_] = lengths == 0
    full = np.flatnonzero(~blank)
    first = data[(np.cumsum(lengths) - lengths)[full]]
    for row in full[(first <= ord(" ")) | (first > ord("~"))].tolist():
        blank[row] = not texts[row].strip()
    return blank


def _unlike(column: Any) -> Unlike:
    texts = column.cast("string")
    if texts.null_count:
        import pyarrow.compute as pc

        texts = pc.coalesce(texts, arrow.repeated("", len(texts)))
    return Unlike(texts)


def _is_text(kind: Any) -> bool:
    import pyarrow as pa

    return bool(pa.types.is_string(kind) or pa.types.is_large_string(kind))


def recoded(column: Any) -> Coded[str]:
    """An Arrow column of any kind as a coded one of texts."""
    import pyarrow as pa

    if _is_text(column.type):
        column = column.dictionary_encode(null_encoding="encode")
    elif not (pa.types.is_dictionary(column.type) and _is_text(column.type.value_type)):
        return code(texts_of(column))
    texts = [text or "" for text in (*column.dictionary.to_pylist(), None)]
    indices = column.indices.cast("int64")
    if indices.null_count:
        import pyarrow.compute as pc

        blank = np.full(len(indices), len(texts) - 1, dtype=np.int64)
        indices = pc.coalesce(indices, arrow.numbers(blank))
    used, which = numbered(arrow.values(indices), len(texts))
    return distinct(Coded([texts[k] for k in which.tolist()], used))


def _mended(coded: Coded[str], *, name: bool) -> Coded[str]:
    if not _may_be_damaged("\n".join(coded.values)):
        return coded
    return distinct(coded.map(lambda cell: repair(cell, name=name)))


def _may_be_damaged(text: str) -> bool:
    """Whether text may have signs of a wrong encoding; text of plain ASCII has none."""
    return not (text.isascii() and "&" not in text) and bool(TELL_TALE.search(text))


def constant(text: str, length: int) -> Any:
    """An Arrow column that says one thing in every row."""
    import pyarrow as pa

    codes = arrow.numbers(np.zeros(length, dtype=np.int32))
    return pa.DictionaryArray.from_arrays(codes, arrow.texts([text]))
