"""Cut a Parquet file into its row groups, and read each as codes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from crossproof.model import Chunk, Table
from crossproof.read.coded import UNLIKE, chunk_of, constant
from crossproof.read.errors import Unreadable
from crossproof.read.headings import Recogniser
from crossproof.read.rows import head, needs_mapped, needs_plant


@dataclass(frozen=True, slots=True)
class RowGroup:
    """One row group of a Parquet file; `number` is that of its first row."""

    path: Path
    table: Table
    group: int
    number: int
    size: int
    rows: int  # of one chunk
    keys: tuple[str, ...]  # cells of columns that stand in the path

    def chunks(self) -> Iterator[Chunk]:
        import pyarrow as pa
        import pyarrow.parquet as pq

        own = len(self.table.headings) - len(self.keys)
        written = frozenset(self.table.headings[:own])
        fields = self.table.fields.items()
        coded = [h for f, h in fields if f not in UNLIKE and h in written]
        number = self.number
        try:
            with pq.ParquetFile(self.path, read_dictionary=coded) as file:
                for batch in file.iter_batches(
                    self.rows, row_groups=[self.group], use_threads=False
                ):
                    columns = [*batch.columns]
                    columns += [constant(key, batch.num_rows) for key in self.keys]
                    yield chunk_of(self.table, number, columns, batch.num_rows, mend=True)
                    number += batch.num_rows
        except pa.ArrowException as error:
            raise damaged(self.path.name, error) from None


def damaged(name: str, error: Exception) -> Unreadable:
    return Unreadable(f"{name} is damaged ({error}); copy or write it again.")


def cut(
    path: Path, name: str, recogniser: Recogniser, rows: int, keys: Sequence[tuple[str, str]]
) -> Iterator[RowGroup]:
    """Cut a Parquet file into its row groups, to be read at most `rows` rows at a time.

    `keys` are columns that stand in the path (`year=2019/`).

    Raises:
        Unreadable: a damaged file, no column for the plant's name.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        with pq.ParquetFile(path) as file:
            columns = [*file.schema_arrow.names, *(key for key, _ in keys)]
            groups = [file.metadata.row_group(i) for i in range(file.num_row_groups)]
            found = head(columns, 0, recogniser, file=name)
    except pa.ArrowException as error:
        raise damaged(name, error) from None
    needs_plant([found], name)
    needs_mapped([found], recogniser, name)
    number = 1
    for i, group in enumerate(groups):
        values = tuple(value for _, value in keys)
        evenly = _evenly(group.num_rows, rows)
        yield RowGroup(path, found.table, i, number, group.total_byte_size, evenly, values)
        number += group.num_rows


def _evenly(rows: int, most: int) -> int:
    """Rows of a chunk where `rows` are cut into as few as can be, all but the last of one size."""
    chunks = max(1, math.ceil(rows / most))
    return max(1, math.ceil(rows / chunks))
