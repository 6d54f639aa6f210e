"""Read Parquet: one file, or a folder of parts."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from crossproof.model import Chunk
from crossproof.read.errors import Unreadable
from crossproof.read.headings import Recogniser
from crossproof.read.rows import head, needs_mapped, needs_plant, pour
from crossproof.read.workbook import text


def read(
    path: Path, name: str, recogniser: Recogniser, rows: int, keys: Sequence[tuple[str, str]] = ()
) -> Iterator[Chunk]:
    """Read one Parquet file batch by batch; its first record is row 1.

    `keys` are columns that stand in the path (`year=2019/`), the same for each row.

    Raises:
        Unreadable: pyarrow is not installed, a damaged file, no column for the plant's name.
    """
    try:
        import pyarrow as pa
        import pyarrow.parquet as pq
    except ImportError:
        raise Unreadable(
            f"{name} is a Parquet file, and pyarrow is not installed; install it with "
            "pip install 'crossproof[parquet]'."
        ) from None
    try:
        with pq.ParquetFile(path) as file:
            columns = [*file.schema_arrow.names, *(key for key, _ in keys)]
            found = head(columns, 0, recogniser, file=name)
            needs_plant([found], name)
            needs_mapped([found], recogniser, name)
            constants = [value for _, value in keys]
            yield from pour(
                found.table,
                _rows(file, rows, constants),
                number=1,
                size=rows,
                width=len(columns),
                named=len(columns),
                findings=found.findings,
            )
    except pa.ArrowException as error:
        raise Unreadable(f"{name} is damaged ({error}); copy or write it again.") from None


def _rows(file: Any, size: int, constants: Sequence[str]) -> Iterator[Sequence[str]]:
    for batch in file.iter_batches(batch_size=size):
        columns = [texts_of(column) for column in batch.columns]
        columns += [[value] * batch.num_rows for value in constants]
        yield from zip(*columns, strict=True)


def texts_of(column: Any) -> list[str]:
    import pyarrow as pa

    if pa.types.is_dictionary(column.type):
        column = column.dictionary_decode()
    if (
        pa.types.is_string(column.type)
        or pa.types.is_large_string(column.type)
        or pa.types.is_integer(column.type)
    ):
        texts: list[str] = column.cast(pa.large_string()).fill_null("").to_pylist()
        return texts
    return [_text(cell) for cell in column.to_pylist()]


def _text(cell: object) -> str:
    if isinstance(cell, bytes):
        return cell.decode("utf-8", "replace")
    if isinstance(cell, list | dict):
        return json.dumps(cell, ensure_ascii=False, default=str)
    return text(cell)
