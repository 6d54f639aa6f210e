"""Arrow's arrays of texts and numbers: made from their bytes, and used as columns.

Arrow's own `array` first asks whether what it is given is one of pandas' kinds, and imports pandas
to do so: a quarter of a second, and a seventh of the memory that an audit may take.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Any, overload

import numpy as np
from numpy.typing import NDArray


@contextmanager
def frugal() -> Iterator[None]:
    """Let Arrow take its memory from the system, which is given back; its own pools keep it.

    What Arrow takes by itself, as it writes Parquet, heeds only what is said before it is loaded.
    """
    if not find_spec("pyarrow"):
        yield
        return
    os.environ.setdefault("ARROW_DEFAULT_MEMORY_POOL", "system")
    import pyarrow as pa

    was = pa.default_memory_pool()
    pa.set_memory_pool(pa.system_memory_pool())
    try:
        yield
    finally:
        pa.set_memory_pool(was)


def give_back() -> None:
    """Give memory that nobody uses, be it Arrow's or not, back to the system."""
    if find_spec("pyarrow"):
        import pyarrow as pa

        pa.system_memory_pool().release_unused()  # in glibc: malloc_trim(3)


def numbers(values: NDArray[Any]) -> Any:
    """An Arrow array of numbers, of the kind that they have."""
    import pyarrow as pa

    values = np.ascontiguousarray(values)
    return pa.Array.from_buffers(
        pa.from_numpy_dtype(values.dtype), len(values), [None, pa.py_buffer(values)]
    )


def values(numbers: Any) -> NDArray[np.int64]:
    """The numbers of an Arrow array of int64 without nulls."""
    found = np.frombuffer(numbers.buffers()[1] or b"", dtype=np.int64)
    return found[numbers.offset : numbers.offset + len(numbers)]


def repeated(text: str, times: int) -> Any:
    """An Arrow array that says one thing over and over."""
    import pyarrow as pa

    data = text.encode()
    ends = np.arange(times + 1, dtype=np.int32) * np.int32(len(data))
    return pa.StringArray.from_buffers(times, pa.py_buffer(ends), pa.py_buffer(data * times))


def first_rows(
    path: Path, columns: Sequence[str], most: int, plain: Collection[str] = ()
) -> dict[str, Any]:
    """Some columns of a CSV file in UTF-8, of its first `most` rows.

    They come as dictionaries, `plain` ones as texts.
    """
    import pyarrow as pa
    from pyarrow import csv

    coded = pa.dictionary(pa.int32(), pa.string())
    kinds = {name: pa.string() if name in plain else coded for name in columns}
    with csv.open_csv(
        path,
        read_options=csv.ReadOptions(use_threads=False, block_size=1 << 18),
        parse_options=csv.ParseOptions(newlines_in_values=True),
        convert_options=csv.ConvertOptions(
            include_columns=[*columns], column_types=kinds, strings_can_be_null=False
        ),
    ) as reader:
        batches = []
        while most > 0 and (batch := next(reader, None)) is not None:
            batches.append(batch[:most])
            most -= len(batch)
        table = pa.Table.from_batches(batches, reader.schema)
    found = table.unify_dictionaries().combine_chunks()
    return {name: found[name].combine_chunks() for name in columns}


def texts(values: Sequence[str]) -> Any:
    """An Arrow array of texts; half a surrogate pair becomes `?`, as in the report."""
    import pyarrow as pa

    joined = "".join(values)
    try:
        data = joined.encode()
    except UnicodeEncodeError:
        return texts([text.encode("utf-8", "replace").decode() for text in values])
    lengths: Iterable[int] = map(len, values)
    if len(data) != len(joined):
        lengths = (len(text.encode()) for text in values)
    ends = np.zeros(len(values) + 1, dtype=np.int32)
    np.cumsum(np.fromiter(lengths, dtype=np.int32, count=len(values)), out=ends[1:])
    return pa.StringArray.from_buffers(len(values), pa.py_buffer(ends), pa.py_buffer(data))


class Unlike(Sequence[str]):
    """A column of texts that are hardly ever the same twice: Arrow holds them, uncoded."""

    def __init__(self, arrow: Any) -> None:
        self.arrow = arrow  # of the type string, without nulls

    def __len__(self) -> int:
        return len(self.arrow)

    def __iter__(self) -> Iterator[str]:
        texts: list[str] = self.arrow.to_pylist()
        return iter(texts)

    @overload
    def __getitem__(self, place: int) -> str: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[str]: ...
    def __getitem__(self, place: int | slice) -> str | Sequence[str]:
        if isinstance(place, slice):
            return Unlike(self.arrow[place])
        text: str = self.arrow[place].as_py()
        return text

    @property
    def is_graphic(self) -> bool:
        """Whether all texts are made of ASCII's visible signs, with no blank among them."""
        data, _ = utf8(self)
        return not len(data) or bool(data.min() > ord(" ") and data.max() <= ord("~"))


def utf8(texts: Sequence[str]) -> tuple[NDArray[np.uint8], NDArray[np.intp]]:
    """The bytes of all texts, one after the other, and how many each of them has."""
    if isinstance(texts, Unlike):
        _, offsets, data = texts.arrow.buffers()
        first, count = texts.arrow.offset, len(texts)
        ends = np.frombuffer(offsets, dtype=np.int32)[first : first + count + 1]
        signs = np.frombuffer(data or b"", dtype=np.uint8)
        return signs[ends[0] : ends[-1]], np.diff(ends).astype(np.intp)
    pieces = [text.encode("utf-8", "surrogatepass") for text in texts]
    lengths = np.fromiter(map(len, pieces), dtype=np.intp, count=len(pieces))
    return np.frombuffer(b"".join(pieces), dtype=np.uint8), lengths


def picked(texts: Sequence[str], rows: NDArray[np.intp]) -> Sequence[str]:
    """Some of the texts of a column."""
    if isinstance(texts, Unlike):
        return Unlike(texts.arrow.take(numbers(rows)))
    return [texts[row] for row in rows.tolist()]
