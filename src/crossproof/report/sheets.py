"""The tables that people open: verdicts, findings, and the rows that go back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from crossproof.coding import cross
from crossproof.findings import Finding
from crossproof.model import Claim, Coded, Evidence, Judged, PhotoState, Table, Verdict
from crossproof.tabular import Block, TableFile, block

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


class VerdictSheet(TableFile):
    """`verdicts.csv`: a row for every input row, in their order."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, VERDICT_COLUMNS)

    def add(self, judged: Judged, photo: Coded[PhotoState]) -> None:
        """Append the verdicts of one chunk; `photo` says what is stated of one for each row."""
        self.write(verdict_blocks(judged, photo))

    def add_broken(self, table: Table, numbers: Sequence[int]) -> None:
        """Append rows that do not fit their table: they are returned."""
        place = (table.file, table.sheet)
        rest = [""] * (len(VERDICT_COLUMNS) - 9)
        told = ["", "", "", "", "returned", "row_broken", *rest]
        rows = [[*place, str(number), *told] for number in numbers]
        self.write([Block(VERDICT_COLUMNS, rows)])


def verdict_blocks(judged: Judged, photo: Coded[PhotoState]) -> list[Block]:
    """The columns of `verdicts.csv`, in order."""
    place = [(judged.table.file, judged.table.sheet, str(number)) for number in judged.numbers]
    said = cross(judged.claims.map(_claimed), judged.verdicts.map(_judged))
    return [
        Block(VERDICT_COLUMNS[:3], place),
        Block(("occurrenceID",), [(identifier,) for identifier in judged.ids]),
        block(VERDICT_COLUMNS[4:15], said, lambda pair: (*pair[0], *pair[1])),
        block(VERDICT_COLUMNS[15:22], judged.evidence, _stated),
        block(("photo",), photo, lambda state: (state,)),
        block(
            ("photo_reference",),
            judged.photos,
            lambda photos: (" | ".join(picture.reference for picture in photos),),
        ),
    ]


def _claimed(claim: Claim) -> tuple[str, str, str]:
    return claim.words, claim.name.scientific_name, claim.name.kind


def _judged(verdict: Verdict) -> tuple[str, ...]:
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


def _stated(evidence: tuple[Evidence, ...]) -> list[str]:
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


class FindingSheet(TableFile):
    """`findings.csv`: one thing to know about one cell per row."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, FINDING_COLUMNS)

    def add(self, findings: Sequence[Finding]) -> None:
        """Append findings, sorted by their place within this chunk."""
        ordered = sorted(findings, key=lambda f: (f.file, f.sheet, f.row, f.column, f.code))
        rows = [_finding_cells(f) for f in ordered]
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


class ReturnedSheet:
    """`returned.csv`: the returned rows verbatim, with their findings.

    Tables of a submission may have different headings. Rows are kept table by table in a file
    beside, and joined under all headings by `close`.
    """

    LEAD = ("source_file", "source_sheet", "source_row", "returned_reasons", "returned_findings")

    def __init__(self, path: Path) -> None:
        self.path = path
        self._headings: dict[str, None] = {}
        self._parts: list[tuple[TableFile, tuple[str, ...]]] = []
        self.rows = 0

    def add(self, returned: Iterable[Returned]) -> None:
        """Append returned rows, each under the headings of its own table."""
        for row in returned:
            headings = tuple(row.cells)
            if not self._parts or self._parts[-1][1] != headings:
                self._start(headings)
            place = (row.table.file, row.table.sheet, str(row.number))
            cells = [*place, row.reasons, row.findings, *row.cells.values()]
            self._parts[-1][0].write([Block((*self.LEAD, *headings), [cells])])
            self.rows += 1

    def _start(self, headings: tuple[str, ...]) -> None:
        self._headings |= dict.fromkeys(headings)
        part = self.path.with_name(f".{self.path.name}.{len(self._parts)}")
        self._parts.append((TableFile(part, (*self.LEAD, *headings)), headings))

    def close(self) -> None:
        """Join the parts under one heading row, and remove them."""
        import csv

        columns = (*self.LEAD, *self._headings)
        with TableFile(self.path, columns) as whole:
            for part, _ in self._parts:
                part.close()
                with part.path.open(encoding="utf-8", newline="") as file:
                    for cells in csv.DictReader(file):
                        row = [cells.get(column, "") for column in columns]
                        whole.write([Block(columns, [row])])
                part.path.unlink()
