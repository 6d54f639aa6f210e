"""Explain one record: find its row, judge it, and account for the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from crossproof.explanation import Explanation
from crossproof.findings import finding
from crossproof.judge.account import account
from crossproof.model import Chunk
from crossproof.options import Options
from crossproof.vetter import Vetter


class RowError(LookupError):
    """There is no such row, or more than one; the message says which there are."""


def explain(
    path: str | Path, row: int, sheet: str = "", options: Options | None = None
) -> Explanation:
    """Explain why one record of a submission comes out as it does.

    Args:
        path: the file.
        row: the number that a spreadsheet shows; the heading of a plain file is row 1.
        sheet: the sheet of a workbook, or the file in a folder; needed where several have the row.
        options: how to judge; as in `vet`.

    Raises:
        RowError: no such row or sheet, or several sheets have the row and none is named.
        Unreadable: the file can't be used.
    """
    vetter = Vetter(options or Options())
    vetter.survey([Path(path)])
    chunk = _find(list(_holding(vetter, Path(path), row, sheet)), Path(path), row)
    broken = next((b for b in chunk.broken if b.number == row), None)
    if broken:
        told = finding("row_broken", broken.problem, row=row)
        return Explanation(
            file=chunk.table.file,
            sheet=chunk.table.sheet,
            row=row,
            headings=chunk.table.fields,
            findings=(told,),
        )
    return _explained(vetter, _only(chunk, row), row)


def _explained(vetter: Vetter, chunk: Chunk, row: int) -> Explanation:
    batch = vetter.vet(chunk)
    (case,), (verdict,), (photo,) = batch.cases, batch.judged.verdicts, batch.photo
    (claim,), (evidence,), (photos,) = (
        batch.judged.claims,
        batch.judged.evidence,
        batch.judged.photos,
    )
    book = next((b for b in vetter.rulebooks if b.id == claim.name.rulebook), None)
    known = book is not None and claim.name.taxon in book.taxa
    return Explanation(
        file=chunk.table.file,
        sheet=chunk.table.sheet,
        row=row,
        headings=chunk.table.fields,
        claim=claim,
        case=case,
        evidence=evidence,
        photo=photo,
        photos=photos,
        verdict=verdict,
        account=account(case, book) if book and known else None,
        rulebook=book,
        need=book.requirement(claim.name.taxon, vetter.options.strict_needs)
        if book and known
        else None,
        findings=tuple(f for f in batch.findings if f.row == row),
    )


def _holding(vetter: Vetter, path: Path, row: int, sheet: str) -> Sequence[Chunk]:
    """The chunks that hold the row, of the sheet named or of all."""
    chunks, names = [], set()
    for chunk in vetter.chunks(path):
        names.add(chunk.table.sheet or chunk.table.file)
        if sheet and sheet not in (chunk.table.sheet, chunk.table.file):
            continue
        if row in chunk.numbers or any(broken.number == row for broken in chunk.broken):
            chunks.append(chunk)
    if sheet and sheet not in names:
        there = ", ".join(sorted(names))
        raise RowError(f"{path.name} has no sheet {sheet!r} that was judged; it has {there}")
    return chunks


def _find(chunks: Sequence[Chunk], path: Path, row: int) -> Chunk:
    if not chunks:
        raise RowError(
            f"{path.name} has no record in row {row}; give the number that a spreadsheet shows"
        )
    if len(chunks) > 1:
        names = ", ".join(chunk.table.sheet or chunk.table.file for chunk in chunks)
        raise RowError(f"{path.name} has a row {row} in each of {names}; say which with --sheet")
    return chunks[0]


def _only(chunk: Chunk, row: int) -> Chunk:
    """The chunk with nothing but one row."""
    at = list(chunk.numbers).index(row)
    columns = [[column[at]] for column in chunk.columns]
    return replace(chunk, numbers=[row], columns=columns, broken=(), findings=())
