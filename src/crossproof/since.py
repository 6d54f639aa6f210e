"""Compare a run with an earlier one: what is new, unchanged, changed and withdrawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from crossproof.darwincore.history import Identification
from crossproof.darwincore.ids import record_id
from crossproof.earlier import Earlier, digest, said
from crossproof.model import Chunk, Coded, Judged, Verdict
from crossproof.spreadsheet import GuardedFile
from crossproof.tabular import Block, Strip

COLUMNS = (
    *("occurrenceID", "status", "changed", "ruling"),
    *("outcome_before", "outcome_after", "name_before", "name_after"),
    *("ruling_before", "ruling_after", "source_file", "source_sheet", "source_row"),
)
RECORD = "record"  # what has changed: the record itself, or what was ruled of it
Further = Coded[tuple[Identification, ...]]


class Since:
    """Follows a run, and writes `since.csv`: each record as it is judged, beside what it was.

    A record is known by its identifier. One that was given none has an identifier made from what
    it says, which changes with it: then it is the one earlier record of the same claim, place, day
    and recorder, if there is just one, and keeps that record's identifier.

    What rulings make of it, and the delta, come once all is written (see `delta`).
    """

    def __init__(self, earlier: Earlier, folder: Path) -> None:
        self._earlier = earlier
        folder.mkdir()
        self._table = GuardedFile(folder / "since.csv", COLUMNS)

    @property
    def name(self) -> str:
        """What the earlier output is called."""
        return self._earlier.name

    def settle(self, judged: Judged, chunk: Chunk, exported: np.ndarray) -> Judged:
        """Give records that changed, and have no identifier of their own, the one they had."""
        heading = chunk.table.fields.get("occurrenceID", "")
        given = chunk.columns[chunk.table.headings.index(heading)] if heading else None
        ids = list(judged.ids)
        for row in exported.tolist():
            if self._earlier.has(ids[row]):
                if not self._earlier.take(ids[row]):
                    ids[row] = record_id((ids[row], "another of the same likeness"))
            elif not (given and given[row].strip()) and (
                before := self._earlier.alike(_terms(judged, row))
            ):
                ids[row] = before
                self._earlier.take(before)
        return replace(judged, ids=ids)

    def history(self, judged: Judged) -> Further:
        """What was determined of each record before, and is not what it is determined as now."""
        values: list[tuple[Identification, ...]] = [()]
        codes = np.zeros(len(judged.ids), dtype=np.intp)
        for row, (identifier, verdict) in enumerate(zip(judged.ids, judged.verdicts, strict=True)):
            known = self._earlier.known(identifier)
            if known and known.history:
                kept = known.history
                if verdict.outcome == "lowered" and _is_same(kept[-1], verdict):
                    kept = kept[:-1]
                if kept:
                    codes[row] = len(values)
                    values.append(kept)
        return Coded(values, codes)

    def tell(self, judged: Judged, written: Sequence[Block | Strip]) -> None:
        """Note the records of a batch, as they were written to `occurrence.csv`."""
        cells: list[list[str]] = []
        texts = [_texts(block) for block in written]
        contents = map("".join, zip(*texts, strict=True))
        for row, (identifier, verdict, content) in enumerate(
            zip(judged.ids, judged.verdicts, contents, strict=True)
        ):
            known = self._earlier.known(identifier)
            state, changed, before = "new", "", ("", "", "")
            if known:
                is_same = known.digest == digest(content)
                state, changed = ("unchanged", "") if is_same else ("changed", RECORD)
                before = (known.outcome, known.name, known.ruling)
            name = verdict.determination.scientific_name
            cells.append(
                [
                    *(identifier, state, changed, ""),
                    *(before[0], verdict.outcome, before[1], name, before[2], ""),
                    *(judged.table.file, judged.table.sheet, str(judged.numbers[row])),
                ]
            )
        if cells:
            self._table.write([Block(COLUMNS, cells)])

    def finish(self) -> None:
        """Write the records that are gone."""
        for identifier, outcome, name, ruling, came in self._earlier.gone():
            after = "returned" if came else ""
            row = [identifier, "withdrawn", "", "", outcome, after, name, "", ruling, *[""] * 4]
            self._table.write([Block(COLUMNS, [row])])

    def close(self) -> None:
        self._table.close()


def _terms(judged: Judged, row: int) -> Mapping[str, str]:
    """The terms of a record that make it like another (see `earlier.likeness`)."""
    recorder = judged.given.get("recordedBy")
    return {
        **judged.where.values[judged.where.codes[row]],
        **judged.when.values[judged.when.codes[row]],
        "verbatimIdentification": judged.claims.values[judged.claims.codes[row]].words,
        "recordedBy": recorder.values[recorder.codes[row]] if recorder else "",
    }


def _is_same(item: Identification, verdict: Verdict) -> bool:
    now = verdict.determination
    return (item.name, item.qualifier) == (now.scientific_name, now.qualifier)


def _texts(block: Block | Strip) -> list[str]:
    texts = [said(block.columns, row) for row in block.rows]
    return texts if block.codes is None else [texts[code] for code in block.codes.tolist()]
