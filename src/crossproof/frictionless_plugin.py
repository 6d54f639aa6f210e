"""The hybrid-evidence check for frictionless: its users' own tables, from Python or its commands.

    from frictionless import Checklist, validate
    from crossproof.frictionless_plugin import HybridEvidenceCheck

    report = validate("records.csv", checklist=Checklist(checks=[HybridEvidenceCheck()]))

    $ frictionless validate records.csv --checks hybrid-evidence

What judges is imported when a table is opened, so that frictionless starts as fast as without.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

import attrs
from frictionless import Check, Plugin, errors

if TYPE_CHECKING:
    from crossproof.findings import Finding
    from crossproof.model import Chunk, Table, Verdict
    from crossproof.vetter import Vetter

_BROKEN = ("extra-cell", "missing-cell", "blank-row")  # which frictionless itself reports
_BATCH = 1_000  # rows judged together, since rows that say the same are judged once
# Findings about the claim and what it rests on; others are of place, date and file.
_ABOUT_CLAIMS = ("name_", "evidence_", "photo_", "parent", "claim_")


class HybridEvidenceError(errors.CellError):  # type: ignore[misc]
    """A claim that its evidence doesn't hold, or speaks against: one error for each reason."""

    type = "hybrid-evidence"
    title = "Hybrid Evidence Error"
    description = "A hybrid claim needs its evidence stated: which leaves, which stem, which photo."
    template = 'Row at position "{rowNumber}", field "{fieldName}": {note}'
    tags = ["#table", "#row", "#cell"]  # noqa: RUF012 (frictionless's own way)


class RecordFindingError(errors.CellError):  # type: ignore[misc]
    """Something to know of one cell: a name with two meanings, a column against a remark."""

    type = "record-finding"
    title = "Record Finding"
    description = "A cell that could not be read, or does not agree with another."
    template = 'Row at position "{rowNumber}", field "{fieldName}": {note}'
    tags = ["#table", "#row", "#cell"]  # noqa: RUF012


@attrs.define(kw_only=True, repr=False)
class HybridEvidenceCheck(Check):  # type: ignore[misc]
    """Hold every hybrid claim of a table to its evidence.

    `needs` is `default` or `strict`, `rulebook` a rulebook of your own besides those that ship,
    `findings` which findings are errors too: `claims` (on names and evidence), `all`, or `none`.
    Findings that are only notes never are. Rows without a readable place or date are judged too.
    """

    type = "hybrid-evidence"
    Errors = [HybridEvidenceError, RecordFindingError]  # noqa: RUF012

    needs: str = "default"
    rulebook: str = ""
    findings: str = "claims"

    _rows: list[Any] = attrs.field(factory=list, init=False)
    _vetter: Any = attrs.field(default=None, init=False)
    _table: Any = attrs.field(default=None, init=False)

    metadata_profile_patch = {  # noqa: RUF012
        "properties": {
            "needs": {"type": "string", "enum": ["default", "strict"]},
            "rulebook": {"type": "string"},
            "findings": {"type": "string", "enum": ["claims", "all", "none"]},
        }
    }

    def validate_start(self) -> Iterable[Any]:
        """Find the columns. A table that names no plant, or a bad option, is one error."""
        from pathlib import Path

        from crossproof.options import OptionError, Options
        from crossproof.read import Unreadable
        from crossproof.read.headings import Recogniser
        from crossproof.read.rows import head, needs_plant
        from crossproof.rulebooks.check import RulebookError
        from crossproof.vetter import Vetter

        self._rows = []
        place = str(self.resource.path or self.resource.name or "the table")
        try:
            books = (Path(self.rulebook),) if self.rulebook else ()
            options = Options(rulebooks=books, strict_needs=self.needs == "strict", lenient=True)
            self._vetter = Vetter(options)
            recogniser = Recogniser({}, self._vetter.headings)
            labels = [
                str(label) for label in self.resource.labels or self.resource.schema.field_names
            ]
            found = head(labels, 1, recogniser, file=place)
            needs_plant([found], place)
        except (Unreadable, RulebookError, OptionError, OSError) as error:
            self._vetter = None
            yield errors.CheckError(note=str(error))
            return
        self._table = found.table

    def validate_row(self, row: Any) -> Iterable[Any]:
        """Keep the row, and judge a batch of them once there are enough.

        Rows of too many or too few cells are not judged: their cells may stand anywhere.
        """
        if self._vetter is None or any(error.type in _BROKEN for error in row.errors):
            return
        self._rows.append(row)
        if len(self._rows) >= _BATCH:
            yield from self._judged()

    def validate_end(self) -> Iterable[Any]:
        """Judge the last rows."""
        if self._vetter is not None and self._rows:
            yield from self._judged()

    def _judged(self) -> Iterator[Any]:
        from crossproof.model import Chunk

        rows, self._rows = self._rows, []
        width = len(self._table.headings)
        cells = [_texts(row, width) for row in rows]
        numbers = [int(row.row_number) for row in rows]
        chunk = Chunk(self._table, numbers, [list(c) for c in zip(*cells, strict=True)])
        yield from _told(self._vetter, chunk, self._table, rows, cells, self.findings)


class CrossproofPlugin(Plugin):  # type: ignore[misc]
    """Tells frictionless of the check and its errors."""

    def select_check_class(self, type: str | None = None) -> Any:
        """The check of a type, None where it is not ours."""
        return HybridEvidenceCheck if type == HybridEvidenceCheck.type else None

    def select_error_class(self, type: str | None = None) -> Any:
        """The error of a type, None where it is not ours."""
        ours = (HybridEvidenceError, RecordFindingError)
        return next((error for error in ours if error.type == type), None)


def _texts(row: Any, width: int) -> list[str]:
    """A row's cells as they stand in the file, as many as there are headings."""
    cells = ["" if cell is None else str(cell) for cell in row.cells[:width]]
    return [*cells, *[""] * (width - len(cells))]


def _told(
    vetter: Vetter,
    chunk: Chunk,
    table: Table,
    rows: Sequence[Any],
    cells: Sequence[Sequence[str]],
    findings: str,
) -> Iterator[Any]:
    """The errors of some rows, row by row, reasons first."""
    batch = vetter.vet(chunk)
    places = {number: place for place, number in enumerate(chunk.numbers)}
    noted: dict[int, list[Finding]] = {}
    for found in batch.findings:
        if found.row in places and _counts(found, findings):
            noted.setdefault(places[found.row], []).append(found)
    for place, verdict in enumerate(batch.judged.verdicts):
        if verdict.outcome in ("lowered", "contested"):
            for heading, note in _reasons(verdict, table):
                yield _error(HybridEvidenceError, rows[place], cells[place], table, heading, note)
        for found in noted.get(place, ()):
            note = f"{found.message} ({found.code}). {found.remedy}"
            column = found.column
            yield _error(RecordFindingError, rows[place], cells[place], table, column, note)


def _counts(found: Finding, wanted: str) -> bool:
    if wanted == "none" or found.severity == "note":
        return False
    return wanted == "all" or found.code.startswith(_ABOUT_CLAIMS)


def _reasons(verdict: Verdict, table: Table) -> Iterator[tuple[str, str]]:
    """For each reason the heading of the cell it is about, and what it says."""
    name = verdict.determination.scientific_name
    for reason in verdict.reasons:
        about = reason.rpartition("_")[0]
        texts = [point.text.rstrip(".") for point in verdict.points if point.about == about]
        parts = [*(texts or ["the evidence stated does not carry the claim"])]
        if verdict.remedy:
            parts.append(f"to restore the claim: {verdict.remedy.rstrip('.')}")
        if verdict.outcome == "lowered":
            parts.append(
                f"until then it goes out as {name} {verdict.determination.qualifier}".rstrip()
            )
        yield table.fields.get(about, _named(table)), f"{'; '.join(parts)} ({reason})."


def _named(table: Table) -> str:
    """The heading of the plant's name."""
    fields = ("verbatimIdentification", "scientificName", "vernacularName", "genus")
    return next((table.fields[field] for field in fields if field in table.fields), "")


def _error(kind: Any, row: Any, cells: Sequence[str], table: Table, heading: str, note: str) -> Any:
    """An error at the cell under a heading; at the plant's name where there is no such column."""
    if heading not in table.headings:
        heading = _named(table)
    place = table.headings.index(heading)
    names = list(row.field_names)
    return kind(
        note=note,
        cells=list(cells),
        row_number=row.row_number,
        cell=cells[place],
        field_name=names[place] if place < len(names) else heading,
        field_number=place + 1,
    )
