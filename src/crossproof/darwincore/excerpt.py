"""Some of the records of an archive that is written already, as an archive of their own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from itertools import islice
from pathlib import Path

from crossproof.darwincore.archive import CORE, IDENTIFICATION, ROW_TYPES, _iris
from crossproof.darwincore.covered import cover, coverage_of
from crossproof.darwincore.meta import ArchiveFile, write_meta
from crossproof.darwincore.terms import fields
from crossproof.long_cells import reader
from crossproof.tabular import Block, TableFile

OWNER = "occurrenceID"  # the first column of every table
# The columns a table has in any case; tables that are not named here have all of theirs.
_FIXED = {
    "occurrence": (OWNER, *CORE),
    "identification": (OWNER, "identificationID", "isAcceptedIdentification", *IDENTIFICATION),
}
_AT_ONCE = 10_000


def excerpt(source: Path, target: Path, wanted: Set[str], modified: str = "") -> None:
    """Write the records with the identifiers `wanted`, and all that belongs to them.

    Columns that none of them fills are left out, as in any archive of ours. `modified` goes into
    dcterms:modified of each, where it is given. Memory holds the identifiers, not the records.
    """
    target.mkdir(parents=True, exist_ok=True)
    made: list[ArchiveFile] = []
    for name in ROW_TYPES:
        path = source / f"{name}.csv"
        if not path.is_file():
            continue
        extra = {"modified": modified} if modified and name == "occurrence" else {}
        columns = _columns(path, name, wanted, extra)
        if columns:
            _write(path, target / path.name, columns, wanted, extra)
            made.append(ArchiveFile(path.name, ROW_TYPES[name], _iris(name, columns)))
    write_meta(target / "meta.xml", made[0], made[1:])
    covered = coverage_of(_rows(target / "occurrence.csv"))
    cover(source / "eml.xml", target / "eml.xml", covered)


def _columns(path: Path, name: str, wanted: Set[str], extra: Mapping[str, str]) -> tuple[str, ...]:
    """The columns that the wanted rows need, in their order; none where there is no such row."""
    heading: list[str] = []
    used = set(extra)
    for row in _rows(path):
        if row[OWNER] in wanted:
            heading = heading or [*row]
            used.update(column for column, cell in row.items() if cell)
    fixed = _FIXED.get(name, heading)
    if not heading:
        return tuple(fixed) if name == "occurrence" else ()
    kept = [column for column in heading if column in used or column in fixed]
    order = fields("dwca", name).index
    return (*fixed, *sorted({*kept, *extra} - {*fixed}, key=order))


def _write(
    path: Path, target: Path, columns: tuple[str, ...], wanted: Set[str], extra: Mapping[str, str]
) -> None:
    rows = (row for row in _rows(path) if row[OWNER] in wanted)
    with TableFile(target, columns, terminator="\n") as table:
        while some := list(islice(rows, _AT_ONCE)):
            cells = [[{**row, **extra}.get(column, "") for column in columns] for row in some]
            table.write([Block(columns, cells)])


def _rows(path: Path) -> Iterator[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        rows = reader(file)
        heading = next(rows, [])
        for cells in rows:
            yield dict(zip(heading, cells, strict=False))
