"""Tables that grow chunk by chunk, as Parquet or as CSV, from columns of codes and values."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Form = Literal["parquet", "csv"]
# A column is either whole numbers, or texts by code into their distinct values.
Coded = tuple[Sequence[str], "NDArray[np.int64]"]
Cells = Mapping[str, "Coded | NDArray[np.int64]"]


class FormError(ValueError):
    """The form of table asked for cannot be written here."""


def default_form() -> Form:
    """Return `parquet` where pyarrow is installed, else `csv`."""
    return "parquet" if find_spec("pyarrow") else "csv"


class Table:
    """A file of rows under fixed headings: `numbers` are whole-number columns, the rest text.

    Use it as a context manager. It is written beside its final name and renamed when complete, so
    that a broken run leaves no half table behind.

    Raises:
        FormError: Parquet is asked for and pyarrow is not installed.
    """

    def __init__(
        self,
        folder: Path,
        name: str,
        form: Form,
        headings: Sequence[str],
        numbers: Sequence[str] = (),
    ) -> None:
        self.path = folder / f"{name}.{form}"
        self.rows = 0
        self.headings, self._numbers = tuple(headings), frozenset(numbers)
        self._partial = self.path.with_name(self.path.name + ".part")
        self._parquet: Any = None
        self._file: Any = None
        if form == "parquet":
            self._parquet = self._open_parquet()
        else:
            self._file = self._partial.open("w", encoding="utf-8", newline="")
            self._csv = csv.writer(self._file)
            self._csv.writerow(self.headings)

    def _open_parquet(self) -> Any:
        if not find_spec("pyarrow"):
            raise FormError("Parquet needs pyarrow: install crossproof[parquet], or ask for CSV")
        import pyarrow as pa
        import pyarrow.parquet as pq

        text = pa.dictionary(pa.int32(), pa.string())
        fields = [(name, pa.int64() if name in self._numbers else text) for name in self.headings]
        self._schema = pa.schema(fields)
        return pq.ParquetWriter(
            self._partial,
            self._schema,
            compression="zstd",
            write_statistics=False,
            use_dictionary=[name for name in self.headings if name not in self._numbers],
            column_encoding=dict.fromkeys(self._numbers, "DELTA_BINARY_PACKED"),
        )

    def write(self, cells: Cells) -> None:
        """Append rows, given column by column under the table's headings."""
        if self._file is not None:
            lists = [_texts(cells[name]) for name in self.headings]
            self.rows += len(lists[0])
            self._csv.writerows(zip(*lists, strict=True))
            return
        import pyarrow as pa

        arrays = []
        for name in self.headings:
            column = cells[name]
            if isinstance(column, tuple):
                codes = pa.array(column[1].astype("int32", copy=False))
                arrays.append(
                    pa.DictionaryArray.from_arrays(codes, pa.array(column[0], pa.string()))
                )
            else:
                arrays.append(pa.array(column))
        table = pa.Table.from_arrays(arrays, schema=self._schema)
        self.rows += table.num_rows
        self._parquet.write_table(table, row_group_size=1 << 20)

    def __enter__(self) -> Table:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        (self._file or self._parquet).close()
        if kind is None:
            self._partial.replace(self.path)
        else:
            self._partial.unlink(missing_ok=True)


def _texts(column: Coded | NDArray[np.int64]) -> list[Any]:
    if isinstance(column, tuple):
        values = column[0]
        return [values[code] for code in column[1].tolist()]
    return list(column.tolist())


def write_small(path: Path, headings: Sequence[str], rows: Sequence[Sequence[object]]) -> Path:
    """Write a small table as CSV, whole or not at all."""
    partial = path.with_name(path.name + ".part")
    with partial.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(headings)
        writer.writerows(rows)
    return partial.replace(path)
