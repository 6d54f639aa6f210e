"""From rows of cells to chunks of a table: find the headings, pour what follows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from crossproof.findings import Finding, finding
from crossproof.model import BrokenRow, Chunk, Table
from crossproof.read.errors import Unreadable
from crossproof.read.headings import WHAT, Recognised, Recogniser, distinct
from crossproof.read.repair import TELL_TALE, repair
from crossproof.spreadsheet import unguard

Row = Sequence[str]
_BLOCK = 256  # rows transposed at a time: few enough to stay in the processor's cache
LOOK_AHEAD = 20  # rows among which the headings are looked for
# Headings of returned.csv, whose cells are guarded: mended and submitted again, they say what they
# said before.
GIVEN_BACK = {"source_row", "returned_reasons", "returned_findings"}
NAMED = {*WHAT, "previousIdentifications"}


@dataclass(frozen=True, slots=True)
class Head:
    """The heading row of a table: where it stands, what it says.

    `named` counts the columns up to the last one with a heading; a row may stop there.
    """

    table: Table
    recognised: Recognised
    named: int

    @property
    def findings(self) -> tuple[Finding, ...]:
        return tuple(
            replace(found, file=self.table.file, sheet=self.table.sheet)
            for found in self.recognised.findings
        )


def heading_index(sample: Sequence[Row], recogniser: Recogniser) -> int:
    """Which row of a table's beginning holds the headings; -1 if all of them are blank.

    Of the rows that name a column for the plant it is the first in which most headings are
    recognised. Where none does, it is the row in which most are, if that is two or more, or else
    the first row with two cells.
    """
    ranks = [(recogniser.names_a_plant(row), recogniser.count(row)) for row in sample]
    best = max(ranks, default=(False, 0))
    if best[0] or best[1] > 1:
        return ranks.index(best)
    filled = [sum(map(bool, map(str.strip, row))) for row in sample]
    if not any(filled):
        return -1
    return next((i for i, cells in enumerate(filled) if cells > 1), filled.index(max(filled)))


def head(
    row: Row, number: int, recogniser: Recogniser, *, file: str, sheet: str = "", offset: int = 0
) -> Head:
    """Read a heading row. `number` is its row number, `offset` the blank columns left of it.

    Raises:
        Unreadable: two headings name one field.
    """
    row = [repair(cell) for cell in row]
    if {*row} >= GIVEN_BACK:
        row = [unguard(cell) for cell in row]
    names = distinct(row, offset=offset)
    table = Table(file, sheet, names, number, {})
    recognised = recogniser.read(row, names=names, where=where(file, sheet) or "the table")
    named = max((i + 1 for i, cell in enumerate(row) if cell.strip()), default=0)
    return Head(replace(table, fields=recognised.fields), recognised, named)


def where(file: str, sheet: str = "") -> str:
    return f"{file}, sheet {sheet}" if sheet else file


def needs_plant(heads: Sequence[Head], place: str, *, used: Sequence[Head] | None = None) -> None:
    """Refuse a file in which no table says what was found; `used` are those that are to be read.

    Raises:
        Unreadable: lists the headings seen.
    """
    if any(h.recognised.names_a_plant for h in (heads if used is None else used)):
        return
    seen = "; ".join(
        (f"sheet {h.table.sheet}: " if h.table.sheet else "")
        + ", ".join(map(repr, h.table.headings[:40]))
        for h in heads
    )
    raise Unreadable(
        f"{place}: no column names the plant. Headings seen: {seen or 'none'}. Call the column "
        "'species', or say in a mapping file which it is: scientificName = \"…\"."
    )


def needs_mapped(heads: Sequence[Head], recogniser: Recogniser, place: str) -> None:
    """Refuse a file that lacks a heading of the mapping.

    Raises:
        Unreadable: names the heading and lists those seen.
    """
    for name, heading in recogniser.mapping.items():
        if not any(name in h.table.fields for h in heads):
            seen = ", ".join(repr(n) for h in heads for n in h.table.headings[:40])
            raise Unreadable(
                f"{place}: the mapping takes the heading {heading!r} for {name}, but no column is "
                f"called that; correct the mapping file. Headings seen: {seen}."
            )


def title_lines(rows: Iterable[Row], table: Table) -> list[Finding]:
    """Say which lines above the headings were passed over."""
    text = " / ".join(" ".join(filter(None, map(str.strip, row))) for row in rows if any(row))
    if not text:
        return []
    return [
        finding(
            "heading_assumed",
            f"the headings were found in row {table.heading_row}; what stands above them was "
            "passed over",
            file=table.file,
            sheet=table.sheet,
            row=table.heading_row,
            value=text,
        )
    ]


def pour(
    table: Table,
    rows: Iterator[Row],
    *,
    number: int,
    size: int,
    width: int,
    named: int,
    findings: Sequence[Finding] = (),
    mend: bool = True,
) -> Iterator[Chunk]:
    """Pour rows into chunks of at most `size`, the first row being numbered `number`.

    The first chunk comes even if it is empty and carries `findings`. Blank rows are passed over,
    but counted; rows of another width than `width` come back as broken, unless only blank cells
    beyond the heading are too many, or only cells beyond the `named` columns are missing.
    """
    first = True
    while True:
        columns: list[list[str]] = [[] for _ in range(width)]
        extend = [column.extend for column in columns]
        numbers: list[int] = []
        broken: list[BrokenRow] = []
        end = number + size
        while number < end and (block := list(islice(rows, min(_BLOCK, end - number)))):
            counted = range(number, number + len(block))
            number = counted.stop
            if set(map(len, block)) == {width} and not any(map(_is_blank, block)):
                numbers.extend(counted)
            else:
                block = _fit(counted, block, width, named, numbers, broken)
            for put, cells in zip(extend, zip(*block, strict=True), strict=bool(block)):
                put(cells)
        if {*table.headings} >= GIVEN_BACK:
            columns = [[unguard(cell) for cell in column] for column in columns]
        said = [*findings] if first else []
        if mend:
            said += _mend(table, numbers, columns)
        if numbers or broken or first:
            yield Chunk(table, numbers, columns, broken, said)
        if number < end:
            return
        first = False


def _is_blank(row: Row) -> bool:
    """Whether nothing stands in a row; most begin with a cell that holds something."""
    return not (row and row[0].strip()) and not any(map(str.strip, row))


def _fit(
    counted: Sequence[int],
    block: Sequence[Row],
    width: int,
    named: int,
    numbers: list[int],
    broken: list[BrokenRow],
) -> list[Row]:
    """The rows of a block that fit, their numbers added to `numbers`, the others to `broken`."""
    fitting: list[Row] = []
    for number, row in zip(counted, block, strict=True):
        cells = len(row)
        if _is_blank(row):
            continue
        if cells > width and not any(row[width:]):
            row = row[:width]
        elif named <= cells < width:
            row = [*row, *[""] * (width - cells)]
        elif cells != width:
            broken.append(BrokenRow(number, tuple(row), problem_of(row, named)))
            continue
        numbers.append(number)
        fitting.append(row)
    return fitting


def problem_of(row: Row, named: int) -> str:
    problem = f"the row has {len(row)} cells, the heading {named}"
    if len(row) < named and row[-1].count("\n") > 1:
        return problem + "; a double quote seems to open in it that never closes"
    return problem


def _mend(table: Table, numbers: Sequence[int], columns: list[list[str]]) -> Iterator[Finding]:
    """Repair cells that went through a wrong encoding, in place, and say which."""
    names = {table.fields.get(name) for name in NAMED}
    for index, column in enumerate(columns):
        heading = table.headings[index]
        distinct_cells = set(column)
        text = "\n".join(distinct_cells)
        if (text.isascii() and "&" not in text) or not TELL_TALE.search(text):
            continue
        mended = {
            cell: better
            for cell in distinct_cells
            if (better := repair(cell, name=heading in names)) != cell
        }
        if not mended:
            continue
        columns[index] = [mended.get(cell, cell) for cell in column]
        for number, cell in zip(numbers, column, strict=True):
            if cell in mended:
                yield finding(
                    "text_repaired",
                    f"{cell!r} was read as {mended[cell]!r}",
                    file=table.file,
                    sheet=table.sheet,
                    row=number,
                    column=heading,
                    value=cell,
                )
