"""What is written of one block: a part, which is whole or absent, and never depends on another."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossproof.audit import counting
from crossproof.audit.counting import Counts
from crossproof.audit.facts import COLUMNS, Auditor, Facts
from crossproof.audit.identity import Numbers
from crossproof.audit.sampling import candidates, lots
from crossproof.read.blocks import Block as Piece
from crossproof.read.coded import rows_of
from crossproof.report.sheets import under_headings
from crossproof.spreadsheet import GuardedFile
from crossproof.tabular import Block, TableFile

CHANGED = "lowered"  # the one outcome by which a record leaves with another name
_RENAMED = {"claim": "before", "determined_name": "after"}
_UNCHANGED = frozenset({"claim_kind", "outcome", "determined_rank", "support", "visit_square"})
CHANGES = tuple(_RENAMED.get(name, name) for name in COLUMNS if name not in _UNCHANGED)
VERDICTS = {"parquet": "verdicts.parquet", "csv": "verdicts.csv"}


@dataclass(frozen=True, slots=True)
class Plan:
    """What every part of a run is made by."""

    form: str  # of the verdicts: a key of VERDICTS
    seed: int
    most: int  # records of one stratum that the sample may need


@dataclass(frozen=True, slots=True)
class Part:
    """A finished part: its folder, how many rows it has, and what was counted."""

    folder: Path
    rows: int
    changes: int
    tables: Sequence[Mapping[str, Any]]
    counts: Counts
    lots: Mapping[str, Sequence[int]]  # of the sample's candidates, by stratum

    @property
    def name(self) -> str:
        return self.folder.name

    def keys(self) -> Numbers:
        """Two numbers for each row, shape (2, rows); see `Facts`."""
        found: Numbers = np.load(self.folder / "keys.npy", mmap_mode="r")
        return found

    def columns(
        self, names: Sequence[str], rows: NDArray[np.intp] | None = None
    ) -> dict[str, Sequence[str]]:
        """Columns of the verdicts as text, of all rows or of those given."""
        path = next(p for form in VERDICTS.values() if (p := self.folder / form).exists())
        if path.suffix == ".parquet":
            import pyarrow as pa
            import pyarrow.parquet as pq

            coded = [name for name in names if name not in ("source_row", "occurrenceID")]
            table = pq.read_table(path, columns=[*names], read_dictionary=coded)
            table = table if rows is None else table.take(pa.array(rows))
            return {name: table[name].cast(pa.string()).to_pylist() for name in names}
        import pandas as pd

        frame = pd.read_csv(path, dtype=str, keep_default_na=False, usecols=[*names])
        frame = frame if rows is None else frame.iloc[rows]
        return {name: frame[name].tolist() for name in names}

    def unread(self) -> Iterator[dict[str, Any]]:
        return _lines(self.folder / "unread.jsonl")

    def sample(self) -> Iterator[dict[str, Any]]:
        return _lines(self.folder / "sample.jsonl")


def _lines(path: Path) -> Iterator[dict[str, Any]]:
    with path.open(encoding="utf-8") as file:
        yield from map(json.loads, file)


def finished(folder: Path) -> Part | None:
    """The part in a folder, None where there is none."""
    try:
        told = json.loads((folder / "part.json").read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None
    counts = counting.from_json(told["counts"])
    return Part(folder, told["rows"], told["changes"], told["tables"], counts, told["lots"])


def write_part(
    piece: Piece, folder: Path, auditor: Auditor, plan: Plan, below: Sequence[int] | None = None
) -> Part:
    """Judge a block and write its part; `below` as for `sampling.candidates`.

    The folder appears when all of it is written. One that is there already is left as it is: it
    was written by another worker, from the same block.
    """
    folder.parent.mkdir(parents=True, exist_ok=True)
    draft = Path(tempfile.mkdtemp(prefix=f"draft-{folder.name}-", dir=folder.parent))
    with ExitStack() as stack:
        writer = stack.enter_context(_Writer(draft, auditor, plan, below))
        for chunk in piece.chunks():
            writer.add(auditor.facts(chunk))
    part = writer.finish(folder)
    try:
        draft.rename(folder)
    except OSError:
        if finished(folder) is None:
            raise
        shutil.rmtree(draft, ignore_errors=True)
    return part


class _Writer:
    def __init__(
        self, folder: Path, auditor: Auditor, plan: Plan, below: Sequence[int] | None
    ) -> None:
        self._folder, self._plan, self._below = folder, plan, below
        self._stack = ExitStack()
        self._verdicts = self._stack.enter_context(_verdicts(folder, plan.form))
        self._changes = self._stack.enter_context(GuardedFile(folder / "changes.csv", CHANGES))
        self._unread = self._stack.enter_context(_open(folder / "unread.jsonl"))
        self._sample = self._stack.enter_context(_open(folder / "sample.jsonl"))
        self._counts = counting.empty()
        self._keys: list[Numbers] = []
        self._tables: dict[tuple[str, str], dict[str, Any]] = {}
        self._lots: dict[str, list[int]] = {}
        self._rows = 0

    def add(self, facts: Facts) -> None:
        columns = facts.columns()
        counting.add(self._counts, counting.tally(columns))
        if facts.broken:
            self._counts["outcomes"][("returned",)] += len(facts.broken)
        self._verdicts.add(facts)
        outcome = columns["outcome"]
        changed = _rows_with(outcome.values, outcome.codes, CHANGED)
        self._changes.write(list(_changes(facts, changed)))
        self._tell_unread(facts, _rows_with(outcome.values, outcome.codes, "returned"))
        self._draw(facts, counting.strata(columns).codes)
        self._keys.append(facts.keys)
        table = facts.table
        told = self._tables.setdefault(
            (table.file, table.sheet),
            {"file": table.file, "sheet": table.sheet, "fields": dict(table.fields), "rows": 0},
        )
        told["rows"] += len(facts) + len(facts.broken)
        self._rows += len(facts)

    def _tell_unread(self, facts: Facts, returned: NDArray[np.intp]) -> None:
        """Keep the rows that were not judged, as they came, and why."""
        table, chunk = facts.table, facts.chunk
        cells = rows_of(chunk, returned.tolist()) if len(returned) else []
        rows = [
            (chunk.numbers[int(row)], "name_missing", "no plant is named, or none can be read", own)
            for row, own in zip(returned, cells, strict=True)
        ]
        rows += [(b.number, "row_broken", b.problem, b.cells) for b in facts.broken]
        for number, reason, problem, own in sorted(rows):
            place = {"file": table.file, "sheet": table.sheet, "row": number}
            named = under_headings(table.headings, own)
            told = {**place, "reason": reason, "problem": problem, "cells": named}
            self._unread.write(json.dumps(told, ensure_ascii=False) + "\n")

    def _draw(self, facts: Facts, strata: NDArray[np.intp]) -> None:
        table, chunk = facts.table, facts.chunk
        drawn = lots(self._plan.seed, table.file, table.sheet, chunk.numbers)
        chosen = candidates(strata, drawn, self._plan.most, self._below)
        cells = rows_of(chunk, chosen.rows.tolist()) if len(chosen.rows) else []
        for row, which, lot, own in zip(
            chosen.rows.tolist(), chosen.strata.tolist(), chosen.lots.tolist(), cells, strict=True
        ):
            name = counting.STRATA[which]
            self._lots.setdefault(name, []).append(lot)
            told = {
                "stratum": name,
                "lot": lot,
                "position": self._rows + row,
                "file": table.file,
                "sheet": table.sheet,
                "row": chunk.numbers[row],
                "cells": dict(zip(table.headings, own, strict=True)),
            }
            self._sample.write(json.dumps(told, ensure_ascii=False) + "\n")

    def finish(self, folder: Path) -> Part:
        """Write what comes last, and tell of the part that will stand in `folder`."""
        keys = np.concatenate(self._keys, axis=1) if self._keys else np.zeros((2, 0), np.uint64)
        np.save(self._folder / "keys.npy", keys)
        told: dict[str, Any] = {
            "rows": self._rows,
            "changes": self._changes.rows,
            "tables": list(self._tables.values()),
            "counts": counting.as_json(self._counts),
            "lots": self._lots,
        }
        text = json.dumps(told, ensure_ascii=False)
        (self._folder / "part.json").write_text(text, encoding="utf-8")
        return Part(folder, self._rows, told["changes"], told["tables"], self._counts, self._lots)

    def __enter__(self) -> _Writer:
        return self

    def __exit__(self, *error: Any) -> None:
        self._stack.__exit__(*error)


def _open(path: Path) -> Any:
    return path.open("w", encoding="utf-8", errors="surrogatepass", newline="\n")


def _rows_with(values: Sequence[str], codes: NDArray[np.intp], wanted: str) -> NDArray[np.intp]:
    flags = np.array([value == wanted for value in values], dtype=bool)
    return np.flatnonzero(flags[codes]) if len(flags) else np.zeros(0, dtype=np.intp)


def _changes(facts: Facts, rows: NDArray[np.intp]) -> Iterator[Block]:
    """The columns of `changes.csv`, of the rows given."""
    for each in facts.text_blocks(rows):
        kept = [i for i, name in enumerate(each.columns) if name not in _UNCHANGED]
        names = tuple(_RENAMED.get(each.columns[i], each.columns[i]) for i in kept)
        yield Block(names, [[row[i] for i in kept] for row in each.rows], each.codes)


def _verdicts(folder: Path, form: str) -> Any:
    if form == "csv":
        return _CsvFile(folder / VERDICTS[form], COLUMNS)
    return _ParquetFile(folder / VERDICTS[form])


class _CsvFile(TableFile):
    def add(self, facts: Facts) -> None:
        self.write(list(facts.text_blocks(np.arange(len(facts)))))


class _ParquetFile:
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
            use_dictionary=[*self._coded()],
            write_statistics=False,
        )

    def _coded(self) -> Iterator[str]:
        return (n for n in COLUMNS if n not in ("source_row", "occurrenceID"))

    def add(self, facts: Facts) -> None:
        import pyarrow as pa

        place, *others = (_arrow(block) for block in facts.blocks)
        numbers = pa.array(np.asarray(facts.chunk.numbers, dtype=np.int64))
        columns = [*place, numbers, _texts(facts.ids), *chain.from_iterable(others)]
        if len(facts):
            self._file.write_table(pa.Table.from_arrays(columns, schema=self._schema))

    def __enter__(self) -> _ParquetFile:
        return self

    def __exit__(self, *error: Any) -> None:
        self._file.close()


def _arrow(block: Block) -> Iterator[Any]:
    import pyarrow as pa

    assert block.codes is not None
    for place in range(len(block.columns)):
        known: dict[str, int] = {}
        renumber = [known.setdefault(row[place], len(known)) for row in block.rows]
        codes = np.asarray(renumber, dtype=np.int32)[block.codes] if renumber else block.codes
        yield pa.DictionaryArray.from_arrays(pa.array(codes, pa.int32()), _texts([*known]))


def _texts(texts: Sequence[str]) -> Any:
    """Texts as Arrow holds them; half a surrogate pair becomes `?`, as in the report."""
    import pyarrow as pa

    try:
        return pa.array(texts, pa.string())
    except UnicodeEncodeError:
        return pa.array([t.encode("utf-8", "replace").decode() for t in texts], pa.string())
