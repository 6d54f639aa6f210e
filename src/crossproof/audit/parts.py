"""What is written of one block: a part, which is whole or absent, and never depends on another."""

from __future__ import annotations

import csv
import json
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossproof import arrow
from crossproof.audit import counting
from crossproof.audit.counting import Counts
from crossproof.audit.facts import Auditor, Facts
from crossproof.audit.identity import Numbers
from crossproof.audit.sampling import candidates, lots
from crossproof.audit.shuffle import lay_out
from crossproof.audit.tables import UNCODED, VERDICTS, Changes, verdicts
from crossproof.read.blocks import Block as Piece
from crossproof.read.coded import rows_of
from crossproof.report.sheets import under_headings

CHANGED = "lowered"  # the one outcome by which a record leaves with another name


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

    def columns(
        self, names: Sequence[str], rows: NDArray[np.intp] | None = None
    ) -> dict[str, Sequence[str]]:
        """Columns of the verdicts as text, of all rows or of those given."""
        path = next(p for form in VERDICTS.values() if (p := self.folder / form).exists())
        if path.suffix == ".parquet":
            import pyarrow as pa
            import pyarrow.parquet as pq

            coded = [name for name in names if name not in UNCODED]
            with pq.ParquetFile(path, read_dictionary=coded) as file:
                table = file.read([*names], use_threads=False)
            table = table if rows is None else table.take(arrow.numbers(rows))
            return {name: table[name].cast(pa.string()).to_pylist() for name in names}
        with path.open(encoding="utf-8", newline="") as file:
            told = csv.reader(file)
            places = [*map(next(told).index, names)]
            every = [[row[place] for place in places] for row in told]
        kept = every if rows is None else [every[row] for row in rows.tolist()]
        return dict(zip(names, zip(*kept, strict=True), strict=True))

    def unread(self) -> Iterator[dict[str, Any]]:
        return _lines(self.folder / "unread.jsonl")

    def sample(self) -> Iterator[dict[str, Any]]:
        """The records that may be in the sample; see `drawing`."""
        singly = ("stratum", "lot", "position", "row", "cells")
        for told in _lines(self.folder / "sample.jsonl"):
            place = {name: told[name] for name in ("file", "sheet", "headings")}
            for values in zip(*(told[name] for name in singly), strict=True):
                yield {**place, **dict(zip(singly, values, strict=True))}


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
        self._verdicts = verdicts(folder, plan.form)
        self._stack.callback(self._verdicts.close)
        self._changes = self._stack.enter_context(Changes(folder / "changes.csv"))
        self._unread = self._stack.enter_context(_open(folder / "unread.jsonl"))
        self._sample = self._stack.enter_context(_open(folder / "sample.jsonl"))
        self._counts = counting.empty()
        self._keys: list[Numbers] = []
        self._tables: dict[tuple[str, str], dict[str, Any]] = {}
        self._lots: dict[str, list[int]] = {}
        self._rows = 0

    def add(self, facts: Facts) -> None:
        columns = {name: facts.column(name) for name in counting.NEEDED}
        counting.add(self._counts, counting.tally(columns))
        if facts.broken:
            self._counts["outcomes"][("returned",)] += len(facts.broken)
        self._verdicts.add(facts)
        outcome = columns["outcome"]
        changed = _rows_with(outcome.values, outcome.codes, CHANGED)
        self._changes.add(facts, changed)
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
        drawn = lots(self._plan.seed, table.file, table.sheet, facts.numbers)
        chosen = candidates(strata, drawn, self._plan.most, self._below)
        cells = rows_of(chunk, chosen.rows.tolist()) if len(chosen.rows) else []
        names = [counting.STRATA[which] for which in chosen.strata.tolist()]
        for name, lot in zip(names, chosen.lots.tolist(), strict=True):
            self._lots.setdefault(name, []).append(lot)
        told = {
            "file": table.file,
            "sheet": table.sheet,
            "headings": table.headings,
            "stratum": names,
            "lot": chosen.lots.tolist(),
            "position": (self._rows + chosen.rows).tolist(),
            "row": facts.numbers[chosen.rows].tolist(),
            "cells": cells,
        }
        self._sample.write(json.dumps(told, ensure_ascii=False) + "\n")

    def finish(self, folder: Path) -> Part:
        """Write what comes last, and tell of the part that will stand in `folder`."""
        keys = np.concatenate(self._keys, axis=1) if self._keys else np.zeros((2, 0), np.uint64)
        lay_out(keys, self._folder)
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
