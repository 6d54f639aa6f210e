"""The tables that people open: verdicts, findings, and the rows that go back."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from crossproof.coding import cross, same
from crossproof.findings import Finding
from crossproof.model import BrokenRow, Claim, Coded, Evidence, Judged, PhotoState, Table, Verdict
from crossproof.spreadsheet import GuardedFile
from crossproof.tabular import Block, Strip, block

if TYPE_CHECKING:
    from numpy.typing import NDArray

VERDICT_COLUMNS = (
    "source_file",
    "source_sheet",
    "source_row",
    "occurrenceID",
    "claim",
    "claimed_name",
    "claim_kind",
    "outcome",
    "reasons",
    "determined_name",
    "determined_rank",
    "qualifier",
    "remedy",
    "rulebook",
    "support",
    "leaf",
    "leaf_source",
    "stem",
    "stem_source",
    "flower",
    "flower_source",
    "other_evidence",
    "photo",
    "photo_reference",
)
SHOWN = ("leaf", "stem", "flower")
FINDING_COLUMNS = (
    "file",
    "sheet",
    "row",
    "column",
    "value",
    "code",
    "severity",
    "message",
    "remedy",
)


class VerdictSheet(GuardedFile):
    """`verdicts.csv`: a row for every input row, in their order."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, VERDICT_COLUMNS)

    def add(
        self, judged: Judged, photo: Coded[PhotoState], broken: Sequence[BrokenRow] = ()
    ) -> None:
        """Append the verdicts of one chunk; `photo` says what is stated of one for each row.

        Rows that do not fit their table, and so were not judged, stand among them as returned.
        """
        blocks = verdict_blocks(judged, photo)
        if broken:
            numbers = [row.number for row in broken]
            before = np.searchsorted(np.asarray(judged.numbers, dtype=np.int64), numbers)
            told = [_broken_cells(judged.table, number) for number in numbers]
            blocks = [_insert(block, before, told) for block in blocks]
        self.write(blocks)


def _broken_cells(table: Table, number: int) -> dict[str, str]:
    """What `verdicts.csv` says of a row that was not judged."""
    place = {"source_file": table.file, "source_sheet": table.sheet, "source_row": str(number)}
    return {**place, "outcome": "returned", "reasons": "row_broken"}


def _insert(
    block: Block | Strip, before: NDArray[np.intp], told: Sequence[Mapping[str, str]]
) -> Block:
    """A block with further rows, each put before the row that stands at its place."""
    known = len(block.rows)
    codes = np.arange(known, dtype=np.intp) if block.codes is None else block.codes
    more = [[cells.get(column, "") for column in block.columns] for cells in told]
    added = np.arange(known, known + len(more), dtype=np.intp)
    return Block(block.columns, [*block.rows, *more], np.insert(codes, before, added))


def verdict_blocks(judged: Judged, photo: Coded[PhotoState]) -> list[Block | Strip]:
    """The columns of `verdicts.csv`, in order."""
    rows = len(judged.numbers)
    said = cross(judged.claims.map(claimed_cells), judged.verdicts.map(verdict_cells))
    return [
        block(VERDICT_COLUMNS[:2], same((judged.table.file, judged.table.sheet), rows), tuple),
        Strip("source_row", [*map(str, judged.numbers)]),
        Strip("occurrenceID", judged.ids),
        block(VERDICT_COLUMNS[4:15], said, lambda pair: (*pair[0], *pair[1])),
        block(VERDICT_COLUMNS[15:22], judged.evidence, evidence_cells),
        block(("photo",), photo, lambda state: (state,)),
        block(
            ("photo_reference",),
            judged.photos,
            lambda photos: (" | ".join(picture.reference for picture in photos),),
        ),
    ]


def claimed_cells(claim: Claim) -> tuple[str, str, str]:
    """The columns `claim` to `claim_kind`."""
    return claim.words, claim.name.scientific_name, claim.name.kind


def verdict_cells(verdict: Verdict) -> tuple[str, ...]:
    """The columns `outcome` to `support`."""
    determined = verdict.determination
    return (
        verdict.outcome,
        ";".join(verdict.reasons),
        determined.scientific_name,
        determined.rank,
        determined.qualifier,
        verdict.remedy,
        verdict.rulebook,
        "; ".join(f"{s.name} {s.probability:.2f}" for s in verdict.support),
    )


def evidence_cells(evidence: tuple[Evidence, ...]) -> list[str]:
    """State and source of the shown characters, then all others as `character: state`."""
    cells = []
    for character in SHOWN:
        own = [e for e in evidence if e.character == character]
        cells.append(" and ".join(dict.fromkeys(map(_state, own))) or "not_recorded")
        cells.append(" | ".join(dict.fromkeys(f"{e.source}: {e.words}" for e in own)))
    others = [f"{e.character}: {_state(e)}" for e in evidence if e.character not in SHOWN]
    return [*cells, "; ".join(dict.fromkeys(others))]


def _state(evidence: Evidence) -> str:
    doubt = "" if evidence.weight == "stated" else f" ({evidence.weight})"
    return evidence.state + doubt


class FindingSheet(GuardedFile):
    """`findings.csv`: one thing to know about one cell per row."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, FINDING_COLUMNS)

    def add(self, findings: Sequence[Finding]) -> None:
        """Append findings, in their order."""
        rows = [_finding_cells(f) for f in findings]
        if rows:
            self.write([Block(FINDING_COLUMNS, rows)])


def _finding_cells(f: Finding) -> tuple[str, ...]:
    row = str(f.row) if f.row else ""
    return (f.file, f.sheet, row, f.column, f.value, f.code, f.severity, f.message, f.remedy)


@dataclass(frozen=True, slots=True)
class Returned:
    """A row that goes back: where it came from, its cells by heading, why, and what mends it."""

    table: Table
    number: int
    cells: Mapping[str, str]
    reasons: str
    findings: str


def under_headings(headings: Sequence[str], cells: Sequence[str]) -> dict[str, str]:
    """The cells of a broken row; what stands beyond the headings is named by its place."""
    placed = dict(zip(headings, cells, strict=False))
    for place, cell in enumerate(cells[len(headings) :], start=len(headings) + 1):
        name = f"cell {place}"
        while name in placed:
            name += " (no heading)"
        placed[name] = cell
    return placed


class ReturnedSheet:
    """`returned.csv`: the returned rows verbatim, with their findings.

    Tables of a submission may have different headings. Rows are kept in a file beside, a line of
    JSON for each, and written under all headings by `close`.
    """

    LEAD = ("source_file", "source_sheet", "source_row", "returned_reasons", "returned_findings")

    def __init__(self, path: Path) -> None:
        self.path = path
        self.rows = 0
        self._headings: dict[tuple[str, ...], int] = {}  # of each kind of row, and its number
        self._spool_path = path.with_name(f".{path.name}.spool")
        self._spool = self._spool_path.open("w", encoding="utf-8")

    def add(self, returned: Iterable[Returned]) -> None:
        """Append returned rows, each under the headings of its own table."""
        for row in returned:
            which = self._headings.setdefault(tuple(row.cells), len(self._headings))
            place = (row.table.file, row.table.sheet, str(row.number))
            lead = (*place, row.reasons, row.findings)
            json.dump((which, lead, [*row.cells.values()]), self._spool)
            self._spool.write("\n")
            self.rows += 1

    def close(self) -> None:
        """Write all rows under one heading row, and remove the spool."""
        self._spool.close()
        known = tuple(dict.fromkeys(h for headings in self._headings for h in headings))
        # A submission may be an earlier returned.csv, mended: its columns must not become ours.
        named = (f"{h} (submitted)" if h in self.LEAD else h for h in known)
        with (
            GuardedFile(self.path, (*self.LEAD, *named)) as whole,
            self._spool_path.open(encoding="utf-8") as lines,
        ):
            tables = list(self._headings)
            for line in lines:
                which, lead, cells = json.loads(line)
                own = dict(zip(tables[which], cells, strict=True))
                row = [*lead, *(own.get(heading, "") for heading in known)]
                whole.write([Block(whole.columns, [row])])
        self._spool_path.unlink()

    def __enter__(self) -> ReturnedSheet:
        return self

    def __exit__(self, kind: object, *_: object) -> None:
        if kind is None:
            self.close()
        else:
            self._spool.close()
