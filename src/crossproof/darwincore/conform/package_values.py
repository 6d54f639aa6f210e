"""The values of a data package's tables, checked by frictionless and placed by line."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from crossproof.darwincore.conform.package import DESCRIPTOR, Package
from crossproof.darwincore.conform.package_tables import (
    dialect,
    fields_of,
    file_of,
    keys_of,
    name_of,
    open_table,
    reference_of,
)
from crossproof.darwincore.conform.problem import Problem

# Where one of these is found, the values can't be read as the descriptor means them.
_STOPS = frozenset(("columns", "dialect", "encoding", "compression", "table-schema"))
_RULES = {
    "foreign-key": "foreign-key-value",
    "byte-count": "bytes",
    "hash-count": "bytes",
}
_SCHEMA_ERRORS = frozenset(("schema-error", "field-error", "resource-error", "package-error"))


def check_values(package: Package, found: Collection[str]) -> Iterator[Problem]:
    """Problems of types, constraints, keys, sizes and hashes; none where `found` forbids it."""
    if not _STOPS.isdisjoint(found):
        return
    resources = [
        _plain(package, table, resource)
        for table, (_, resource) in package.tables.items()
        if file_of(package, resource) and fields_of(resource)
    ]
    if not resources:
        return
    from crossproof.darwincore.frictional import errors

    for table, some in errors({"resources": resources}, package.folder).items():
        lines = _lines(package, table, {error.row for error in some})
        for error in some:
            known = "table-schema" if error.kind in _SCHEMA_ERRORS else "value"
            yield Problem(
                rule=_RULES.get(error.kind, known),
                file=str(package.tables[table][1]["path"]) if table else DESCRIPTOR,
                line=lines.get(error.row, 0),
                message=error.note,
            )


def _plain(package: Package, table: str, resource: Any) -> dict[str, Any]:
    """The resource without what would have to be fetched, and without keys that lead nowhere."""
    schema = resource["schema"]
    keys = [
        key
        for key in keys_of(resource)
        if (reference := reference_of(key))
        and _has(package, reference["resource"] or table, reference)
    ]
    kept = {key: resource[key] for key in ("path", "encoding", "bytes", "hash") if key in resource}
    inner = {key: schema[key] for key in ("fields", "primaryKey", "missingValues") if key in schema}
    stated = resource.get("dialect")
    stated = stated if isinstance(stated, dict) else {}
    how = {key: value for key, value in dialect(resource).items() if key in stated}
    return {
        "name": table,
        "type": "table",
        "format": "csv",
        **kept,
        **({"dialect": how} if how else {}),
        "schema": {**inner, **({"foreignKeys": keys} if keys else {})},
    }


def _has(package: Package, table: str, reference: Mapping[str, Any]) -> bool:
    """Whether the fields that a foreign key refers to are there to be read."""
    if table not in package.tables:
        return False
    resource = package.tables[table][1]
    wanted = reference.get("fields")
    wanted = [wanted] if isinstance(wanted, str) else wanted
    names = [name_of(field) for field in fields_of(resource)]
    there = isinstance(wanted, list) and wanted and all(name in names for name in wanted)
    return bool(there) and file_of(package, resource) is not None


def _lines(package: Package, table: str, rows: Collection[int]) -> dict[int, int]:
    from crossproof.darwincore.frictional import row_lines

    if not table:
        return {}
    resource = package.tables[table][1]
    file, how = file_of(package, resource), dialect(resource)
    if file is None:
        return {}
    with open_table(file, str(resource.get("encoding", "utf-8"))) as text:
        return row_lines(text, rows, str(how["delimiter"]), str(how["quoteChar"]))
