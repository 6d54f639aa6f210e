"""frictionless, asked for everything it finds. Imported only where tables are checked."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TextIO

from crossproof.long_cells import reader

_ALL = 1_000_000_000  # frictionless stops at 1,000 errors unless told otherwise


@dataclass(frozen=True, slots=True)
class TableError:
    """What frictionless finds: its kind of error, the table, the row as a spreadsheet counts."""

    kind: str
    table: str
    row: int
    note: str


def errors(descriptor: Mapping[str, Any], folder: Path) -> dict[str, list[TableError]]:
    """Validate the tables of a descriptor that lie in `folder`: types, constraints, keys.

    Returns table → its errors, all of them; those of the descriptor stand under ''. Nothing is
    fetched.
    """
    from frictionless import FrictionlessException, Package

    found: dict[str, list[TableError]] = {}

    def note(error: Any, table: str = "") -> None:
        row = int(getattr(error, "row_number", 0) or 0)
        field = getattr(error, "field_name", "")
        cell = f"{field}, {getattr(error, 'cell', '')!r}: " if field else ""
        one = TableError(str(error.type), table, row, f"{cell}{error.note}")
        found.setdefault(table, []).append(one)

    try:
        package = Package.from_descriptor(dict(descriptor), basepath=str(folder))
        report = package.validate(limit_errors=_ALL)
    except FrictionlessException as exception:
        for error in exception.reasons or [exception.error]:
            note(error)
        return found
    except Exception as failure:  # on odd descriptors it fails in whatever way comes
        what = f"the descriptor can't be used: {type(failure).__name__}, {failure}"
        return {"": [TableError("package-error", "", 0, what)]}
    for error in report.errors:
        note(error)
    for task in report.tasks:
        for error in task.errors:
            note(error, task.name)
    return found


def row_lines(
    text: TextIO, rows: Collection[int], delimiter: str = ",", quote: str = '"'
) -> dict[int, int]:
    """Row (from 1, heading included) → the line it starts on; quoted line ends part the two."""
    lines = reader(text, delimiter=delimiter, quotechar=quote)
    found, end = {}, 0
    for number, _ in enumerate(lines, 1):
        if number in rows:
            found[number] = end + 1
        end = lines.line_num
    return found
