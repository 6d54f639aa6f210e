"""Compare a run with an earlier one: what is new, unchanged, changed and withdrawn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from crossproof.coding import same
from crossproof.darwincore.archive import Archive
from crossproof.darwincore.history import Identification
from crossproof.darwincore.ids import record_id
from crossproof.darwincore.zipped import zip_folder
from crossproof.earlier import Earlier, digest, said
from crossproof.model import Chunk, Coded, Judged, Verdict
from crossproof.spreadsheet import GuardedFile
from crossproof.tabular import Block

STATUSES = ("new", "unchanged", "changed", "withdrawn")
COLUMNS = (
    *("occurrenceID", "status", "outcome_before", "outcome_after", "name_before", "name_after"),
    *("source_file", "source_sheet", "source_row"),
)
Further = Coded[tuple[Identification, ...]]


class Since:
    """Follows a run, and writes `delta/`: an archive of what is new or changed, and `since.csv`.

    A record is known by its identifier. One that was given none has an identifier made from what
    it says, which changes with it: then it is the one earlier record of the same claim, place, day
    and recorder, if there is just one, and keeps that record's identifier.
    """

    def __init__(self, earlier: Earlier, folder: Path, delta: Archive, issued: str) -> None:
        self._earlier = earlier
        self._folder = folder
        self._delta = delta
        self._issued = issued
        self._table = GuardedFile(folder / "since.csv", COLUMNS)
        self._counts: Counter[str] = Counter()
        self._outcomes: Counter[str] = Counter()

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

    def tell(self, judged: Judged, written: Sequence[Block], further: Further) -> None:
        """Note the records of a batch, as they were written to `occurrence.csv`."""
        states: list[str] = []
        cells: list[list[str]] = []
        texts = [_texts(block) for block in written]
        contents = map("".join, zip(*texts, strict=True))
        for row, (identifier, verdict, content) in enumerate(
            zip(judged.ids, judged.verdicts, contents, strict=True)
        ):
            known = self._earlier.known(identifier)
            after = verdict.determination.scientific_name
            state = "new"
            if known:
                state = "unchanged" if known.digest == digest(content) else "changed"
            states.append(state)
            before = (known.outcome, known.name) if known else ("", "")
            self._count(state, before[0], verdict.outcome)
            cells.append(
                [
                    *(identifier, state, before[0], verdict.outcome, before[1], after),
                    *(judged.table.file, judged.table.sheet, str(judged.numbers[row])),
                ]
            )
        if cells:
            self._table.write([Block(COLUMNS, cells)])
        changed = np.flatnonzero(np.array([state != "unchanged" for state in states], dtype=bool))
        some = judged.select(changed)
        if self._issued:
            some = replace(some, given={**some.given, "modified": same(self._issued, len(changed))})
        self._delta.write(some, further.select(changed))

    def _count(self, state: str, before: str, after: str) -> None:
        self._counts[state] += 1
        if before and before != after:
            self._outcomes[f"{before} → {after}"] += 1

    def close(self) -> None:
        self._table.close()

    def zip_archive(self) -> None:
        """Zip the delta's archive, once it is closed."""
        zip_folder(self._folder / "dwca", self._folder / "dwca.zip")

    def finish(self) -> dict[str, Any]:
        """Write what comes last, and return the section of the summary."""
        for identifier, outcome, name, came in self._earlier.gone():
            self._counts["withdrawn"] += 1
            after = "returned" if came else ""
            row = [identifier, "withdrawn", outcome, after, name, "", "", "", ""]
            self._table.write([Block(COLUMNS, [row])])
        self.close()
        return {
            "earlier": self._earlier.name,
            "records": {status: self._counts[status] for status in STATUSES},
            "outcomes": dict(sorted(self._outcomes.items())),
        }


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


def _texts(block: Block) -> list[str]:
    texts = [said(block.columns, row) for row in block.rows]
    return texts if block.codes is None else [texts[code] for code in block.codes.tolist()]
