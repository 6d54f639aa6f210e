"""The rules of the Darwin Core Data Package guide (TDWG, 2026-05-26): one table.

Fields and keys are held against the published table schemas, where this program knows them.
"""

from __future__ import annotations

import csv
import gzip
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, TextIO

from crossproof.darwincore.conform.package import Package, published
from crossproof.darwincore.conform.problem import Problem

TableRule = Callable[[Package, str, int, Mapping[str, Any]], Iterator[Problem]]
_DEFAULTS = {
    "delimiter": ",",
    "quoteChar": '"',
    "lineTerminator": "\r\n",
    "header": True,
    "doubleQuote": True,
    "skipInitialSpace": False,
    "caseSensitiveHeader": False,
    "csvddfVersion": "1.2",
}


def dialect(resource: Mapping[str, Any]) -> dict[str, Any]:
    """The CSV dialect of a table, defaults filled in (CSV Dialect, Frictionless)."""
    stated = resource.get("dialect")
    stated = stated if isinstance(stated, dict) else {}
    fitting = {
        key: value for key, value in stated.items() if isinstance(value, type(_DEFAULTS.get(key)))
    }
    return {**_DEFAULTS, **fitting}


def fields_of(resource: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The field descriptors of a table, those that are objects."""
    schema = resource.get("schema")
    fields = schema.get("fields") if isinstance(schema, dict) else None
    return [f for f in fields if isinstance(f, dict)] if isinstance(fields, list) else []


def keys_of(resource: Mapping[str, Any]) -> list[Any]:
    """The foreign keys of a table as stated."""
    schema = resource.get("schema")
    keys = schema.get("foreignKeys") if isinstance(schema, dict) else None
    return keys if isinstance(keys, list) else []


def name_of(field: Mapping[str, Any]) -> str:
    """A field's name; anything that is no text in a form that no field is called."""
    name = field.get("name")
    return name if isinstance(name, str) else repr(name)


def reference_of(key: Any) -> Mapping[str, Any] | None:
    """What a foreign key refers to, if it says so in the shape it should have."""
    reference = key.get("reference") if isinstance(key, dict) else None
    if isinstance(reference, dict) and isinstance(reference.get("resource"), str):
        return reference
    return None


def file_of(package: Package, resource: Mapping[str, Any]) -> Path | None:
    """The table's file, if its path stays inside the package and leads to one."""
    path = resource.get("path")
    if not isinstance(path, str) or any(sign in path for sign in ("://", "\\", "\0")):
        return None
    file = package.folder / path
    inside = file.resolve().is_relative_to(package.folder.resolve())
    return file if inside and not path.startswith("/") and file.is_file() else None


def open_table(file: Path, encoding: str) -> TextIO:
    """Open a table as text, gzipped or not, line ends as they are."""
    if file.suffix == ".gz":
        return gzip.open(file, "rt", encoding=encoding, newline="")
    return file.open(encoding=encoding, newline="")


def _path(
    package: Package, table: str, place: int, resource: Mapping[str, Any]
) -> Iterator[Problem]:
    if "path" not in resource:
        message = f"the table {table} has no path to a file"
        yield package.problem("path", message, "resources", place)
    elif file_of(package, resource) is None:
        message = f"the path {resource['path']!r} doesn't lead to a file of the package"
        yield package.problem("path", message, "resources", place, "path")
    elif Path(str(resource["path"])).suffix in (".zip", ".bz2", ".xz", ".7z"):
        message = f"{resource['path']} is compressed, but not with gzip"
        yield package.problem("compression", message, "resources", place, "path")


def _labels(
    package: Package, table: str, place: int, resource: Mapping[str, Any]
) -> Iterator[Problem]:
    at = ("resources", place)
    if resource.get("profile") != "tabular-data-resource":
        message = f"the profile of the table {table} must be tabular-data-resource"
        yield package.problem("resource-profile", message, *at, "profile")
    if resource.get("mediatype") != "text/csv":
        message = f"the mediatype of the table {table} must be text/csv"
        yield package.problem("mediatype", message, *at, "mediatype")
    if "format" not in resource:
        message = f"the table {table} doesn't say its format"
        yield package.problem("format", message, *at)
    stated = resource.get("dialect")
    if isinstance(stated, dict):
        for key, value in stated.items():
            if key in _DEFAULTS and value == _DEFAULTS[key]:
                message = f"the dialect states the default {key}"
                yield package.problem("dialect-needless", message, *at, "dialect", key)


def _schema(
    package: Package, table: str, place: int, resource: Mapping[str, Any]
) -> Iterator[Problem]:
    at = ("resources", place, "schema")
    schema = resource.get("schema")
    if not isinstance(schema, dict):
        message = f"the schema of the table {table} must stand in the descriptor itself"
        yield package.problem("schema-inline", message, *at)
        return
    fields = schema.get("fields")
    if not isinstance(fields, list) or not all(isinstance(field, dict) for field in fields):
        message = f"the schema of the table {table} has no list of fields"
        yield package.problem("table-schema", message, *at)


def _file(
    package: Package, table: str, place: int, resource: Mapping[str, Any]
) -> Iterator[Problem]:
    """The heading against the fields, the encoding, and RFC 4180."""
    file = file_of(package, resource)
    if file is None or not fields_of(resource):
        return
    encoding, how = str(resource.get("encoding", "utf-8")), dialect(resource)
    try:
        with open_table(file, encoding) as text:
            first = text.readline() if how["header"] else ""
            for _ in iter(lambda: text.read(1 << 20), ""):
                pass
    except (UnicodeDecodeError, LookupError) as error:
        message = f"it is not in {encoding}, and no other encoding is stated: {error}"
        yield Problem(rule="encoding", file=file.name, message=message)
        return
    except (OSError, EOFError) as error:
        yield Problem(rule="compression", file=file.name, message=f"it can't be unpacked: {error}")
        return
    if first and not first.endswith(how["lineTerminator"]):
        message = (
            f"the lines end in {_end(first)!r}, but {how['lineTerminator']!r} is what the "
            "descriptor says or RFC 4180 takes for granted; state it in a dialect"
        )
        yield Problem(rule="dialect", file=file.name, line=1, message=message)
    delimiter = str(how["delimiter"])
    if not first or len(delimiter) != 1:
        return
    heading = next(csv.reader([first], delimiter=delimiter), [])
    names = [name_of(field) for field in fields_of(resource)]
    if len(heading) == 1 < len(names) and any(sign in first for sign in "\t;|"):
        message = "the columns are not separated by what the descriptor says or RFC 4180 has"
        yield Problem(rule="dialect", file=file.name, line=1, message=message)
    elif heading != names:
        odd = next((pair for pair in zip(heading, names, strict=False) if pair[0] != pair[1]), None)
        what = (
            f"first {odd[0]!r} against {odd[1]!r}"
            if odd
            else f"{len(heading)} against {len(names)}"
        )
        message = f"the columns are not those that the fields describe, in their order: {what}"
        yield Problem(rule="columns", file=file.name, line=1, message=message)


def _end(line: str) -> str:
    return line[len(line.rstrip("\r\n")) :]


def _fields(
    package: Package, table: str, place: int, resource: Mapping[str, Any]
) -> Iterator[Problem]:
    for number, field in enumerate(fields_of(resource)):
        at = ("resources", place, "schema", "fields", number)
        name = name_of(field)
        for key in ("name", "title", "description", "type", "dcterms:isVersionOf"):
            if not isinstance(field.get(key), str) or not field[key]:
                yield package.problem("field-properties", f"the field {name!r} has no {key}", *at)
        if "format" not in field:
            yield package.problem("field-format", f"the field {name!r} has no format", *at)
        for key in ("dcterms:isVersionOf", "dcterms:references"):
            if key in field and not str(field[key]).startswith("http"):
                message = f"{key} of {name!r} is {field[key]!r}, not a web address"
                yield package.problem("term-address", message, *at, key)


def _published_fields(
    package: Package, table: str, place: int, resource: Mapping[str, Any]
) -> Iterator[Problem]:
    known = published()["tables"].get(table, {}).get("fields")
    if known is None or not fields_of(resource):
        return
    for number, field in enumerate(fields_of(resource)):
        at = ("resources", place, "schema", "fields", number)
        name = name_of(field)
        if name not in known:
            message = f"the published table {table} has no field {name!r}"
            yield package.problem("field-unknown", message, *at)
            continue
        for key in ("type", "dcterms:isVersionOf"):
            if key in field and field[key] != known[name][key]:
                message = f"{key} of {name!r} is {field[key]!r}; {known[name][key]!r} is published"
                yield package.problem("field-differs", message, *at, key)
        if field.get("constraints", known[name]["constraints"]) != known[name]["constraints"]:
            message = f"the constraints of {name!r} are not the published ones"
            yield package.problem("field-differs", message, *at, "constraints")
    there = {name_of(field) for field in fields_of(resource)}
    for name, published_field in known.items():
        if published_field["constraints"].get("required") and name not in there:
            message = f"the table {table} lacks the required field {name}"
            yield package.problem("required-field", message, "resources", place, "schema")


def _primary_key(
    package: Package, table: str, place: int, resource: Mapping[str, Any]
) -> Iterator[Problem]:
    key = published()["tables"].get(table, {}).get("primaryKey")
    schema = resource.get("schema")
    if key is None or not isinstance(schema, dict):
        return
    stated = schema.get("primaryKey", "")
    stated = stated[0] if isinstance(stated, list) and len(stated) == 1 else stated
    if stated == key:
        return
    if stated:
        message = f"the primary key of {table} is {stated!r}; {key or 'none'!r} is published"
        yield package.problem("primary-key", message, "resources", place, "schema", "primaryKey")
        return
    used = [
        other
        for other, (_, resource) in package.tables.items()
        for reference in map(reference_of, keys_of(resource))
        if reference and (reference["resource"] or other) == table
    ]
    rule = "primary-key" if used else "primary-key-missing"
    message = f"the table {table} doesn't state its primary key {key}"
    message += f", to which {used[0]} refers" if used else ""
    yield package.problem(rule, message, "resources", place, "schema")


def _foreign_keys(
    package: Package, table: str, place: int, resource: Mapping[str, Any]
) -> Iterator[Problem]:
    at = ("resources", place, "schema", "foreignKeys")
    known = published()["tables"].get(table, {}).get("foreignKeys")
    stated = []
    for number, key in enumerate(keys_of(resource)):
        reference = reference_of(key)
        if reference is None:
            yield package.problem("foreign-key", "the foreign key has no reference", *at, number)
            continue
        relation = (
            _one(key.get("fields")),
            reference.get("resource"),
            _one(reference.get("fields")),
        )
        stated.append(relation)
        if known is not None and relation not in [_relation(k) for k in known]:
            message = f"the foreign key {relation[0]!r} → {relation[1]!r} is not a published one"
            yield package.problem("foreign-key", message, *at, number)
        target = relation[1] or table
        if target not in package.tables:
            message = f"the foreign key {relation[0]!r} points to {target!r}, which is not here"
            yield package.problem("foreign-key-target", message, *at, number)
    columns = {name_of(field) for field in fields_of(resource)}
    for relation in map(_relation, known or ()):
        there = relation[0] in columns and (relation[1] or table) in package.tables
        if there and relation not in stated:
            message = f"{relation[0]} points to {relation[1] or table}, but no foreign key says so"
            yield package.problem("foreign-key-missing", message, "resources", place, "schema")


def _relation(key: Mapping[str, Any]) -> tuple[str, str, str]:
    return (key["fields"], key["reference"]["resource"], key["reference"]["fields"])


def _one(fields: Any) -> Any:
    return fields[0] if isinstance(fields, list) and len(fields) == 1 else fields


TABLE_RULES: tuple[TableRule, ...] = (
    _path,
    _labels,
    _schema,
    _file,
    _fields,
    _published_fields,
    _primary_key,
    _foreign_keys,
)
