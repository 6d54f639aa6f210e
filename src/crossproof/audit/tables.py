"""The tables of one part: the verdicts on its rows, and the changes among them."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from importlib.util import find_spec
from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossproof import arrow
from crossproof.arrow import Unlike
from crossproof.audit.facts import COLUMNS, Facts
from crossproof.coding import code
from crossproof.model import Coded
from crossproof.read.coded import recoded
from crossproof.spreadsheet import GuardedFile
from crossproof.tabular import Block, Strip, TableFile

_RENAMED = {"claim": "before", "determined_name": "after"}
_UNCHANGED = frozenset({"claim_kind", "outcome", "determined_rank", "support", "visit_square"})
CHANGES = tuple(_RENAMED.get(name, name) for name in COLUMNS if name not in _UNCHANGED)
VERDICTS = {"parquet": "verdicts.parquet", "csv": "verdicts.csv"}
UNCODED = frozenset({"source_row", "occurrenceID"})


class Changes(GuardedFile):
    """`changes.csv`: the records that leave with another name."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, CHANGES)

    def add(self, facts: Facts, rows: NDArray[np.intp]) -> None:
        """Append the rows given."""
        self.write([*map(_changed, facts.text_blocks(rows))])


def _changed(block: Block | Strip) -> Block | Strip:
    """The columns of a block that changes have."""
    kept = [i for i, name in enumerate(block.columns) if name not in _UNCHANGED]
    if len(kept) == len(block.columns):
        return block
    names = tuple(_RENAMED.get(block.columns[i], block.columns[i]) for i in kept)
    return Block(names, [[row[i] for i in kept] for row in block.rows], block.codes)


def first_rows(
    path: Path, columns: Sequence[str], most: int
) -> dict[str, Coded[str] | Sequence[str]]:
    """Some columns of a table written here, of its first rows; those of `UNCODED` are not coded."""
    plain = [name for name in columns if name in UNCODED]
    if find_spec("pyarrow"):
        found = arrow.first_rows(path, columns, most, plain)
        return {n: c.to_pylist() if n in plain else recoded(c) for n, c in found.items()}
    with path.open(encoding="utf-8", newline="") as file:
        rows = islice(csv.DictReader(file), most)
        kept = [[row[name] for name in columns] for row in rows]
    texts = {name: [row[i] for row in kept] for i, name in enumerate(columns)}
    return {name: own if name in plain else code(own) for name, own in texts.items()}


def verdicts(folder: Path, form: str) -> CsvVerdicts | ParquetVerdicts:
    """The table of verdicts of a part, in one of the forms of `VERDICTS`."""
    return (CsvVerdicts if form == "csv" else ParquetVerdicts)(folder / VERDICTS[form])


class CsvVerdicts(TableFile):
    """Verdicts as CSV."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, COLUMNS)

    def add(self, facts: Facts) -> None:
        """Append the rows of a chunk."""
        self.write([*facts.text_blocks(np.arange(len(facts)))])


class ParquetVerdicts:
    """Verdicts as Parquet, written by the codes they have: nothing is coded twice."""

    def __init__(self, path: Path) -> None:
        import pyarrow as pa
        import pyarrow.parquet as pq

        text, coded = pa.string(), pa.dictionary(pa.int32(), pa.string())
        kinds = {"source_row": pa.int64(), "occurrenceID": text}
        self._schema = pa.schema([(name, kinds.get(name, coded)) for name in COLUMNS])
        self._file = pq.ParquetWriter(
            path,
            self._schema,
            store_schema=False,
            use_dictionary=[name for name in COLUMNS if name not in UNCODED],
            write_statistics=False,
        )

    def add(self, facts: Facts) -> None:
        """Append the rows of a chunk."""
        import pyarrow as pa

        if len(facts):
            columns = [*_arrow(facts)]
            self._file.write_table(pa.Table.from_arrays(columns, schema=self._schema))

    def close(self) -> None:
        self._file.close()


def _arrow(facts: Facts) -> Iterator[Any]:
    import pyarrow as pa

    for name in COLUMNS:
        if name == "source_row":
            yield arrow.numbers(facts.numbers)
        elif name == "occurrenceID":
            yield facts.ids.arrow if isinstance(facts.ids, Unlike) else arrow.texts(facts.ids)
        else:
            column = facts.column(name)
            codes = arrow.numbers(column.codes.astype(np.int32))
            yield pa.DictionaryArray.from_arrays(codes, arrow.texts(column.values))
