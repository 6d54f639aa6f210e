"""Read spreadsheets (XLSX, XLSM, XLSB, XLS, ODS) sheet by sheet."""

from __future__ import annotations

import zipfile
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, time, timedelta
from itertools import chain, islice
from pathlib import Path

from crossproof.findings import Finding, finding
from crossproof.model import Chunk, Table
from crossproof.read.errors import Unreadable
from crossproof.read.headings import Recogniser
from crossproof.read.kinds import locked
from crossproof.read.rows import (
    LOOK_AHEAD,
    Head,
    head,
    heading_index,
    needs_mapped,
    needs_plant,
    pour,
    title_lines,
)
from crossproof.read.safezip import check_contents, open_zip
from crossproof.read.sheets import MEMORY, Cells, Damaged, Locked, Sheet, sheets

MOST_BYTES = 4 * 2**30  # unpacked; a sheet is held in memory whole
_DATES = ("eventDate", "dateIdentified")
_PLACED_OR_DATED = frozenset(
    ("eventDate", "year", "gridReference", "decimalLatitude", "easting", "locality")
)
# A bare number under a date heading: 10,000 is 1927-05-18, 80,000 is 2119-01-11 as a spreadsheet
# counts days (ISO/IEC 29500-1, 18.17.4.1, date base 1900); years and ddmm have four digits.
_SERIALS = range(10_000, 80_000)
_EPOCH = datetime(1899, 12, 30)


def read(path: Path, name: str, recogniser: Recogniser, rows: int) -> Iterator[Chunk]:
    """Read every sheet that names plants; one sheet is in memory at a time.

    Hidden sheets are read only if they hold a date or place too, since lists to choose from are
    kept in such sheets.

    Raises:
        Unreadable: locked, damaged, or no sheet with a column for the plant's name.
    """
    _check(path, name)
    heads: list[Head] = []
    used: list[Head] = []
    pending: list[Finding] = []
    for sheet, cells in _sheets(path, name):
        first = list(islice(cells, sheet.first_row + LOOK_AHEAD))
        found, ahead, index = _head(first, sheet, name, recogniser)
        if found is None:
            continue
        heads.append(found)
        hidden = not sheet.visible and not _PLACED_OR_DATED & {*found.table.fields}
        if hidden or not found.recognised.names_a_plant:
            pending += _skipped(found, hidden)
            continue
        used.append(found)
        findings = [*pending, *title_lines(ahead[:index], found.table), *found.findings]
        pending = []
        width = len(found.table.headings)
        serials = [
            found.table.headings.index(found.table.fields[field])
            for field in _DATES
            if field in found.table.fields
        ]
        said: list[Finding] = []
        body = _texts(chain(first[index + 1 :], cells), index + 2, serials, found.table, said)
        for chunk in pour(
            found.table,
            body,
            number=index + 2,
            size=rows,
            width=width,
            named=width,
            findings=findings,
        ):
            yield _with(chunk, said)
            said.clear()
    if not heads:
        raise Unreadable(f"{name} holds no cells at all; give the file with the records.")
    needs_plant(heads, name, used=used)
    needs_mapped(used, recogniser, name)
    if pending:
        yield Chunk(used[-1].table, (), [()] * len(used[-1].table.headings), (), pending)


def _with(chunk: Chunk, findings: Sequence[Finding]) -> Chunk:
    if not findings:
        return chunk
    said = [*chunk.findings, *findings]
    return Chunk(chunk.table, chunk.numbers, chunk.columns, chunk.broken, said)


def _check(path: Path, name: str) -> None:
    if zipfile.is_zipfile(path):
        with open_zip(path) as archive:
            if sum(member.file_size for member in archive.infolist()) > MOST_BYTES:
                raise Unreadable(f"{name} would unpack to more than 4 GiB; save it as CSV.")
            check_contents(archive, name)


def _sheets(path: Path, name: str) -> Iterator[tuple[Sheet, Iterator[Cells]]]:
    try:
        yield from sheets(path)
    except Locked:
        raise locked(name) from None
    except Damaged as error:
        why = str(error) or (
            f"it is damaged, or a cell far from the others makes it larger than {MEMORY >> 30} GiB"
        )
        raise Unreadable(
            f"{name} can't be read as a spreadsheet ({why}); save the sheet with the records as "
            "CSV and give that."
        ) from None


def _head(
    ahead: list[Cells], sheet: Sheet, name: str, recogniser: Recogniser
) -> tuple[Head | None, list[list[str]], int]:
    texts = [[text(cell) for cell in row] for row in ahead]
    index = heading_index(texts, recogniser)
    if index < 0:
        return None, [], -1
    row = head(
        texts[index], index + 1, recogniser, file=name, sheet=sheet.name, offset=sheet.first_column
    )
    return row, texts, index


def _skipped(found: Head, hidden: bool) -> list[Finding]:
    seen = ", ".join(map(repr, found.table.headings[:12]))
    why = (
        "it is hidden and holds neither date nor place"
        if hidden and found.recognised.names_a_plant
        else "no column names the plant"
    )
    return [
        finding(
            "sheet_skipped",
            f"the sheet was passed over: {why}; headings seen: {seen}",
            file=found.table.file,
            sheet=found.table.sheet,
        )
    ]


def _texts(
    cells: Iterable[Cells],
    start: int,
    serials: Sequence[int],
    table: Table,
    said: list[Finding],
) -> Iterator[list[str]]:
    for number, row in enumerate(cells, start):
        texts = [cell if type(cell) is str else text(cell) for cell in row]
        for column in serials:
            cell = row[column]
            if type(cell) is float and int(cell) in _SERIALS:
                texts[column] = text(_EPOCH + timedelta(days=cell))
                said.append(
                    finding(
                        "date_assumed",
                        f"the number {text(cell)} under a date heading was read as the day "
                        f"{texts[column]}, as a spreadsheet counts days",
                        file=table.file,
                        sheet=table.sheet,
                        row=number,
                        column=table.headings[column],
                        value=text(cell),
                        remedy="Format the column as a date.",
                    )
                )
        yield texts


def text(cell: object) -> str:
    """A cell as text: dates as ISO 8601, numbers as short as a spreadsheet shows them."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    if isinstance(cell, float):
        return number(cell)
    if isinstance(cell, datetime):
        midnight = cell.time() == time()
        return cell.date().isoformat() if midnight else cell.replace(microsecond=0).isoformat()
    if isinstance(cell, date | time):
        return cell.isoformat()
    return "" if cell is None else str(cell)


def number(value: float) -> str:
    """A number as its shortest plain text at a spreadsheet's 15 figures: `12`, `0.3`, `0.00001`."""
    if value != value or value in (float("inf"), float("-inf")):
        return ""
    if value == int(value) and abs(value) < 1e21:
        return str(int(value))
    short = f"{value:.15g}"
    if "e" not in short:
        return short
    from decimal import Decimal

    return format(Decimal(short), "f")
