"""What was written, held against the Table Schemas in `schemas/`, by frictionless."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

from crossproof.darwincore.conform.package_tables import open_table
from crossproof.darwincore.conform.problem import Problem
from crossproof.darwincore.terms import schema

MOST_ROWS = 50_000  # records above which tables are checked only when asked: some 13 s


def validate_tables(
    folder: Path, rows: int = 0, *, whatever_size: bool = False
) -> list[Problem] | None:
    """Validate the tables of an archive or a data package that we wrote, and count every error.

    Types, constraints, keys and foreign keys. `rows` is the number of records written: above
    `MOST_ROWS` nothing is checked unless `whatever_size`, and the answer is None: not checked.
    """
    if rows > MOST_ROWS and not whatever_size:
        return None
    from crossproof.darwincore.frictional import errors, row_lines

    package = folder / "datapackage.json"
    descriptor: dict[str, Any] = (
        json.loads(package.read_text(encoding="utf-8")) if package.is_file() else _archive(folder)
    )
    descriptor.pop("profile", None)  # an address that would be fetched
    files = {resource["name"]: folder / resource["path"] for resource in descriptor["resources"]}
    problems = []
    for table, some in errors(descriptor, folder).items():
        path = files.get(table, folder)
        lines: dict[int, int] = {}
        if path.is_file():
            with open_table(path, "utf-8") as text:
                lines = row_lines(text, {error.row for error in some})
        for error in some:
            rule = "foreign-key-value" if error.kind == "foreign-key" else "value"
            line = lines.get(error.row, 0)
            problems.append(Problem(rule=rule, file=path.name, line=line, message=error.note))
    return problems


def _archive(folder: Path) -> dict[str, Any]:
    """A descriptor for the tables of an archive, from their headings and `schemas/dwca`."""
    resources = []
    for path in sorted(folder.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            heading = next(csv.reader(file))
        whole = schema("dwca", path.stem)
        known = {field["name"]: field for field in whole["fields"]}
        keys: dict[str, Any] = {
            key: whole[key] for key in ("primaryKey", "foreignKeys") if key in whole
        }
        resources.append(
            {
                "name": path.stem,
                "type": "table",
                "path": path.name,
                "format": "csv",
                "schema": {"fields": [known[name] for name in heading], **keys},
            }
        )
    return {"resources": resources}
