"""Put people's rulings into an archive and a data package that are written already.

Each ruling becomes an identification by its maker, the accepted one; the others stay, no longer
accepted. What stood there before is kept beside the tables, so that a ruling can be changed or
taken back, and other rulings put in, without judging anything again.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

from crossproof.darwincore.archive import HIGHER, IDENTIFICATION, _identification_cells
from crossproof.darwincore.descriptor import _resource, table_schema
from crossproof.darwincore.history import Identification
from crossproof.darwincore.package_fields import IDENTIFICATION as PACKAGE_IDENTIFICATION
from crossproof.darwincore.package_fields import identification_cells
from crossproof.darwincore.terms import fields, taxon_terms
from crossproof.long_cells import reader
from crossproof.tabular import Block, TableFile

BEFORE = "before_rulings.json"
_ROWS = 10_000  # written at a time
_KEYS = {
    "dwca/occurrence.csv": "occurrenceID",
    "dwca/identification.csv": "identificationID",
    "dwc-dp/occurrence.csv": "occurrence_pk",
    "dwc-dp/identification.csv": "identification_pk",
    "dwc-dp/identification-taxon.csv": "identification_fk",
}

_PACKAGE_CORE = (
    *("identifiedBy", "dateIdentified", "identificationReferences", "identificationRemarks"),
    *("scientificName", "scientificNameAuthorship", "taxonRank"),
)

Cells = dict[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruled:
    """What a ruling makes of one record. `uid` tells it from other rulings on the same record."""

    uid: str
    name: str
    authorship: str
    rank: str
    qualifier: str
    formula: str
    components: tuple[tuple[str, str, str], ...]
    by: str
    on: str
    remarks: str

    def identification(self, words: str, kind: str) -> Identification:
        """The identification it makes; `words` are the claim's, `kind` what it rests on."""
        return Identification(
            role=f"ruling-{self.uid}",
            accepted=True,
            name=self.name,
            authorship=self.authorship,
            rank=self.rank,
            qualifier=self.qualifier,
            formula=self.formula or "A",
            components=self.components,
            words=words,
            identified_by=self.by,
            date=self.on,
            remarks=self.remarks,
            kind=kind,
        )


def rule(folder: Path, ruled: Mapping[str, Ruled]) -> None:
    """Put rulings into the tables of an output folder, in place of those that stand in them.

    Args:
        folder: holds `dwca` and `dwc-dp`.
        ruled: dwc:occurrenceID → what is ruled. Records without one are as judged.
    """
    before = _Before(folder)
    if not ruled and not before.tables:
        return
    parents: dict[str, Cells] = {}  # of each ruled record: its accepted identification as judged
    kept: dict[str, Any] = {}
    for name in ("dwca/identification.csv", "dwca/occurrence.csv"):
        change = _archive_rows(name, ruled, parents)
        _rewrite(folder, name, before, change, kept)
    for name in ("dwc-dp/identification.csv", "dwc-dp/occurrence.csv"):
        _rewrite(folder, name, before, _package_rows(name, ruled), kept)
    name = "dwc-dp/identification-taxon.csv"
    _rewrite(folder, name, before, lambda rows: _taxa(rows, ruled), kept)
    _refresh_descriptor(folder / "dwc-dp")
    if ruled:
        text = json.dumps(kept, ensure_ascii=False)
        (folder / BEFORE).write_text(text + "\n", encoding="utf-8", newline="\n")
    else:
        (folder / BEFORE).unlink(missing_ok=True)


def unruled_rows(folder: Path, name: str) -> Iterator[Cells]:
    """The rows of a table as they were before rulings were put in; none where it is not there."""
    yield from _rows(folder / name, name, _Before(folder))


class _Before:
    """What stood in the tables before: the rows that were changed, and the keys of those added."""

    def __init__(self, folder: Path) -> None:
        path = folder / BEFORE
        self.tables: dict[str, Any] = {}
        if path.is_file():
            self.tables = json.loads(path.read_text(encoding="utf-8"))

    def changed(self, name: str) -> Mapping[str, Cells]:
        found: Mapping[str, Cells] = self.tables.get(name, {}).get("changed", {})
        return found

    def added(self, name: str) -> frozenset[str]:
        return frozenset(self.tables.get(name, {}).get("added", ()))


def _rows(path: Path, name: str, before: _Before) -> Iterator[Cells]:
    if not path.is_file():
        return
    changed, added, key = before.changed(name), before.added(name), _KEYS.get(name, "")
    with path.open(encoding="utf-8", newline="") as file:
        rows = reader(file)
        heading = next(rows, [])
        for cells in rows:
            row = dict(zip(heading, cells, strict=False))
            if not key or row[key] not in added:
                yield changed.get(row[key], row) if changed else row


def _heading(path: Path) -> list[str]:
    with path.open(encoding="utf-8", newline="") as file:
        return next(reader(file), [])


Change = Callable[[Iterable[Cells]], Iterator[tuple[Cells, Cells | None]]]


def _rewrite(
    folder: Path, name: str, before: _Before, change: Change, kept: dict[str, Any]
) -> None:
    """Write a table anew through `change`, which gives each row with the one it was, if any."""
    path, key = folder / name, _KEYS[name]
    archive = name.startswith("dwca/")
    changed: dict[str, Cells] = {}
    added: list[str] = []
    columns = _heading(path) if path.is_file() else list(fields("dwc-dp", path.stem))
    fresh = path.with_name(f".{path.name}.ruled")
    with TableFile(fresh, columns, terminator="\n" if archive else "\r\n") as table:
        waiting: list[list[str]] = []
        for row, was in change(_rows(path, name, before)):
            if was is None:
                added.append(row[key])
            elif was is not row:
                changed[row[key]] = was
            waiting.append([row.get(column, "") for column in columns])
            if len(waiting) == _ROWS:
                table.write([Block(tuple(columns), waiting)])
                waiting = []
        if waiting:
            table.write([Block(tuple(columns), waiting)])
    if table.rows or path.stem == "occurrence":
        fresh.replace(path)
    else:  # a table without rows is left out of an archive and of a package
        fresh.unlink()
        path.unlink(missing_ok=True)
    kept[name] = {"changed": changed, "added": list(dict.fromkeys(added))}


def _archive_rows(name: str, ruled: Mapping[str, Ruled], judged: dict[str, Cells]) -> Change:
    if name.endswith("identification.csv"):
        return lambda rows: _identified(rows, ruled, "occurrenceID", judged)
    return lambda rows: _archive_core(rows, ruled, judged)


def _package_rows(name: str, ruled: Mapping[str, Ruled]) -> Change:
    if name.endswith("identification.csv"):
        return lambda rows: _identified(rows, ruled, "occurrence_fk", {})
    return lambda rows: _package_core(rows, ruled)


def _identified(
    rows: Iterable[Cells], ruled: Mapping[str, Ruled], owner: str, judged: dict[str, Cells]
) -> Iterator[tuple[Cells, Cells | None]]:
    """Identifications: none of a ruled record is accepted but the ruling, which comes last."""
    for record, group in groupby(rows, key=lambda row: row[owner]):
        ruling = ruled.get(record)
        if ruling is None:
            yield from ((row, row) for row in group)
            continue
        last: Cells = {}
        for row in group:
            last = row
            yield {**row, "isAcceptedIdentification": "false"}, row
        judged[record] = last
        item = ruling.identification(last["verbatimIdentification"], last["identificationType"])
        identifier = f"{record}#{item.role}"
        cells = {owner: record, "identificationID": identifier, "isAcceptedIdentification": "true"}
        if owner == "occurrenceID":
            cells |= zip(IDENTIFICATION, _identification_cells(item), strict=True)
        else:
            cells |= zip(PACKAGE_IDENTIFICATION, identification_cells(item), strict=True)
            cells["identification_pk"] = identifier
        yield cells, None


def _archive_core(
    rows: Iterable[Cells], ruled: Mapping[str, Ruled], judged: Mapping[str, Cells]
) -> Iterator[tuple[Cells, Cells | None]]:
    finer = taxon_terms() - HIGHER
    for row in rows:
        ruling = ruled.get(row["occurrenceID"])
        if ruling is None:
            yield row, row
            continue
        item = ruling.identification(row["verbatimIdentification"], row["identificationType"])
        accepted = judged.get(row["occurrenceID"], {})
        new = dict(row)
        if item.full_name != row["scientificName"]:
            new |= {term: "" for term in finer if term in row and term not in IDENTIFICATION}
        new |= zip(IDENTIFICATION, _identification_cells(item), strict=True)
        new["identificationVerificationStatus"] = row["identificationVerificationStatus"]
        given = [
            text
            for text in row["taxonRemarks"].split(" | ")
            if text and text != accepted.get("taxonRemarks")
        ]
        new["taxonRemarks"] = " | ".join([*given, item.parents] if item.parents else given)
        new["previousIdentifications"] = _previous(row, accepted)
        yield new, row


def _previous(row: Cells, accepted: Mapping[str, str]) -> str:
    """dwc:previousIdentifications: those there, then the one that was accepted before."""
    name = f"{row['scientificName']} {row['identificationQualifier']}".strip()
    by = accepted.get("identifiedBy", "")
    made = f"identified by {by}" if by else ""
    day = accepted.get("dateIdentified", "")
    this = ", ".join(part for part in (name, made, day) if part)
    return " | ".join(part for part in (row["previousIdentifications"], this) if part)


def _package_core(
    rows: Iterable[Cells], ruled: Mapping[str, Ruled]
) -> Iterator[tuple[Cells, Cells | None]]:
    for row in rows:
        ruling = ruled.get(row["occurrence_pk"])
        if ruling is None:
            yield row, row
            continue
        item = ruling.identification(row["verbatimIdentification"], "")
        cells = dict(zip(PACKAGE_IDENTIFICATION, identification_cells(item), strict=True))
        yield {**row, **{name: cells[name] for name in _PACKAGE_CORE}}, row


def _taxa(
    rows: Iterable[Cells], ruled: Mapping[str, Ruled]
) -> Iterator[tuple[Cells, Cells | None]]:
    """The parents of hybrids, after those of the identifications as judged."""
    yield from ((row, row) for row in rows)
    columns = fields("dwc-dp", "identification-taxon")
    for record, ruling in ruled.items():
        if len(ruling.components) < 2:
            continue
        for order, component in enumerate(ruling.components, start=1):
            cells = (f"{record}#ruling-{ruling.uid}", str(order), *component)
            yield dict(zip(columns, cells, strict=True)), None


def _refresh_descriptor(folder: Path) -> None:
    """Say again in `datapackage.json` what the tables are: their sizes, hashes and keys."""
    path = folder / "datapackage.json"
    descriptor = json.loads(path.read_text(encoding="utf-8"))
    named: Sequence[str] = [resource["name"] for resource in descriptor["resources"]]
    tables = [*named, *({"identification-taxon"} - {*named})]
    columns = {
        table: tuple(_heading(folder / f"{table}.csv"))
        for table in tables
        if (folder / f"{table}.csv").is_file()
    }
    descriptor["resources"] = [
        _resource(folder / f"{table}.csv", table_schema(table, columns)) for table in columns
    ]
    text = json.dumps(descriptor, ensure_ascii=False, indent=2)
    path.write_text(text + "\n", encoding="utf-8", newline="\n")
