"""Read a Darwin Core Data Package: its occurrences, and what its other tables say of each.

After the Darwin Core Data Package guide (TDWG, 2026-05-26). Of the tables, event, identification,
identification-taxon, occurrence-assertion, media and occurrence-media are joined to the occurrences
they are of, through a temporary database on disk, so that memory does not grow with any of them.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import islice
from pathlib import Path
from typing import Any, BinaryIO

from crossproof.findings import finding
from crossproof.model import Chunk
from crossproof.read import own
from crossproof.read.errors import Unreadable
from crossproof.read.extensions import HISTORY, Store, identified, joined
from crossproof.read.headings import OURS, Recogniser
from crossproof.read.resources import DESCRIPTOR, Opener, Resource, resources
from crossproof.read.rows import head, needs_mapped, needs_plant, pour
from crossproof.read.safezip import open_zip

_READ = frozenset(
    {
        *("occurrence", "event", "identification", "identification-taxon"),
        *("occurrence-assertion", "media", "occurrence-media", "provenance", "usage-policy"),
    }
)
_SAID = "\x1fsaid"
_ACCEPTED = "\x1faccepted"
_KEYS = frozenset({"occurrence_pk", "event_fk", "event_pk", "eventCategory"})
_BATCH = 5_000


def read_folder(path: Path, recogniser: Recogniser, rows: int) -> Iterator[Chunk]:
    """Read the package in a folder. Raises Unreadable like `read_zip`."""

    def opener(name: str) -> BinaryIO:
        file = (path / name).resolve()
        if not file.is_relative_to(path.resolve()):
            raise Unreadable(f"{path.name}: {name!r} is a link that leads out of the package.")
        return file.open("rb")

    yield from _read(opener, path.name, recogniser, rows)


def read_zip(path: Path, recogniser: Recogniser, rows: int) -> Iterator[Chunk]:
    """Read a zipped package without unpacking it.

    Raises:
        Unreadable: unsafe, damaged, no occurrences in it, or nothing that names the plant.
    """
    with open_zip(path) as archive:
        inside = min((n for n in archive.namelist() if n.endswith(DESCRIPTOR)), key=len)
        prefix = inside.removesuffix(DESCRIPTOR)

        def opener(name: str) -> BinaryIO:
            return archive.open(prefix + name)  # type: ignore[return-value]

        yield from _read(opener, path.name, recogniser, rows)


def _read(opener: Opener, name: str, recogniser: Recogniser, rows: int) -> Iterator[Chunk]:
    tables = resources(opener, name)
    if "occurrence" not in tables:
        listed = ", ".join(sorted(tables)) or "nothing"
        raise Unreadable(
            f"{name} is a data package without a table 'occurrence' (it lists {listed}); give a "
            "Darwin Core Data Package, or the tables themselves."
        )
    package = _Package(opener, name, tables, recogniser)
    try:
        yield from package.chunks(rows)
    finally:
        package.close()


class _Package:
    """One package being read."""

    def __init__(
        self, opener: Opener, name: str, tables: Mapping[str, Resource], recogniser: Recogniser
    ) -> None:
        self._opener = opener
        self._name = name
        self._tables = tables
        self._recogniser = recogniser
        self._events = Store()
        self._said = Store()  # by occurrence
        self._types: dict[str, None] = {}  # of assertions: terms that need a column

    def close(self) -> None:
        self._events.close()
        self._said.close()

    def _dicts(self, table: str) -> Iterator[dict[str, str]]:
        if table not in self._tables:
            return iter(())
        return self._tables[table].dicts(self._opener, self._name)

    def _load(self) -> None:
        """Keep what the other tables say, by the key of what it is said of."""
        self._events.add(
            (
                row.get("event_pk", ""),
                [(term, text) for term, text in row.items() if term not in _KEYS],
            )
            for row in self._dicts("event")
        )
        self._events.index()
        self._said.add(self._identifications())
        self._said.add(
            (row.get("occurrence_fk", ""), self._assertion(row))
            for row in self._dicts("occurrence-assertion")
        )
        self._said.add(self._photos())
        self._said.index()

    def _identifications(self) -> Iterator[tuple[str, list[tuple[str, str]]]]:
        taxa = Store()
        try:
            taxa.add(
                (row.get("identification_fk", ""), [("taxon", row.get("scientificName", ""))])
                for row in self._dicts("identification-taxon")
            )
            taxa.index()
            for rows in _batches(self._dicts("identification")):
                named = taxa.of([row.get("identification_pk", "") for row in rows]).get("taxon", {})
                for row in rows:
                    parents = named.get(row.get("identification_pk", ""), ())
                    yield row.get("occurrence_fk", ""), _identification(row, parents)
        finally:
            taxa.close()

    def _assertion(self, row: Mapping[str, str]) -> list[tuple[str, str]]:
        kind, value = row.get("assertionType", ""), row.get("assertionValue", "")
        mine = own.state(
            row.get("assertionID", ""),
            row.get("occurrence_fk", ""),
            kind,
            value,
            row.get("assertionProtocols", ""),
            row.get("assertionRemarks", ""),
        )
        if mine is not None or not kind:
            return mine or []
        unit = row.get("assertionUnit", "")
        number = value.replace(".", "", 1).isdigit()
        claim = self._recogniser.claim(kind)
        kept = {*OURS, *self._recogniser.extra, own.PROPERTIES, *own.NAMES}
        if claim and claim[1] == kind and kind not in kept:
            self._types[kind] = None
        return [(_SAID, json.dumps([kind, f"{value} {unit}" if unit and number else value]))]

    def _photos(self) -> Iterator[tuple[str, list[tuple[str, str]]]]:
        place = own.PHOTO if own.CLAIM in self._said.hidden else "photo"
        media = Store()
        try:
            media.add(
                (row.get("media_pk", ""), [("photo", _address(row))])
                for row in self._dicts("media")
            )
            media.index()
            for rows in _batches(self._dicts("occurrence-media")):
                known = media.of([row.get("media_fk", "") for row in rows]).get("photo", {})
                for row in rows:
                    for address in known.get(row.get("media_fk", ""), ()):
                        yield row.get("occurrence_fk", ""), [(place, address)]
        finally:
            media.close()

    def chunks(self, size: int) -> Iterator[Chunk]:
        self._load()
        table = self._tables["occurrence"]
        rows = table.rows(self._opener, self._name)
        heading = [name.lstrip("\ufeff") for name in next(rows, [])]
        place = f"{self._name}/{table.paths[0]}"
        if "occurrence_pk" not in heading:
            raise Unreadable(f"{place} has no column occurrence_pk, its key; write it again.")
        kept = [name for name in heading if name not in _KEYS]
        terms = [*kept, *(t for t in self._events.columns if t not in kept)]
        more = [*self._said.columns, *sorted(self._said.claimed), *self._types, own.PROPERTIES]
        more += [_ACCEPTED_AS] if _ACCEPTED in self._said.hidden else []
        terms += [term for term in dict.fromkeys(more) if term not in terms]
        found = head(terms, 1, self._recogniser, file=place)
        needs_plant([found], place)
        ours = own.CLAIM in self._said.hidden
        fields = self._said.characters | ({"photo"} if own.PHOTO in self._said.hidden else set())
        names = ({} if row is None else row for row in self._named())
        properties = own.Properties.of(
            (json.dumps(row) for row in names), found.table, self._recogniser, fields, ours=ours
        )
        whole = replace(found, table=properties.complete(found.table))
        needs_mapped([whole], self._recogniser, place)
        findings = [*found.findings, *self._passed_over()]
        for chunk in pour(
            replace(found.table, headings=tuple(heading)),
            iter(rows),
            number=2,
            size=size,
            width=len(heading),
            named=len(heading),
            findings=findings,
            mend=False,  # a package is UTF-8 by its standard
        ):
            said = dict(zip(heading, chunk.columns, strict=True))
            yield from self._completed(chunk, terms, found.table, said, properties)

    def _named(self) -> Iterator[dict[str, str]]:
        """The names of what is asserted beyond Darwin Core, once each."""
        seen: set[str] = set()
        for row in self._dicts("occurrence-assertion"):
            kind = row.get("assertionType", "")
            if kind and kind not in seen and len(seen) < own.MOST_KEYS:
                seen.add(kind)
                yield {kind: "x"}

    def _passed_over(self) -> Iterator[Any]:
        for name in sorted(self._tables.keys() - _READ):
            yield finding(
                "sheet_skipped",
                f"the table {name} was not read",
                file=self._name,
                remedy="Put what matters of it into the occurrences' own terms.",
            )

    def _completed(
        self,
        chunk: Chunk,
        terms: Sequence[str],
        table: Any,
        given: Mapping[str, Sequence[str]],
        properties: own.Properties,
    ) -> Iterator[Chunk]:
        """Put beside each occurrence what the other tables say of it."""
        ids = given["occurrence_pk"]
        events = given.get("event_fk", [""] * len(ids))
        about = self._events.of(events)
        said = self._said.of(ids)
        columns: dict[str, list[str]] = {}
        for term in terms:
            if term in given:
                columns[term] = list(given[term])
                continue
            told = about.get(term, {})
            columns[term] = [told[event][0] if event in told else "" for event in events]
        for row, key in enumerate(ids):
            record = {term: column[row] for term, column in columns.items()}
            for place in self._said.columns:
                if words := said[place].get(key):
                    columns[place][row] = joined(place, record[place], words, record)
            if not record.get("scientificName") and not record.get("verbatimIdentification"):
                for name in said.get(_ACCEPTED, {}).get(key, ())[:1]:
                    columns["scientificName"][row] = name
            rest: dict[str, str] = {}
            for text in said.get(_SAID, {}).get(key, ()):
                kind, value = json.loads(text)
                if kind in self._types and not columns[kind][row]:
                    columns[kind][row] = value
                else:
                    rest[kind] = f"{rest[kind]} | {value}" if kind in rest else value
            if rest:
                columns[own.PROPERTIES][row] = _merged(columns[own.PROPERTIES][row], rest)
        whole = Chunk(
            properties.complete(table),
            chunk.numbers,
            [*columns.values(), *([[""] * len(ids)] * len(properties.headings))],
            chunk.broken,
            chunk.findings,
        )
        start = 0
        hidden = {place: said[place] for place in own.HIDDEN & said.keys()}
        for part in properties.spread(whole):
            yield own.restore(part, ids[start : start + len(part)], hidden)
            start += len(part)


_ACCEPTED_AS = "scientificName"


def _batches(rows: Iterator[dict[str, str]]) -> Iterator[list[dict[str, str]]]:
    while many := list(islice(rows, _BATCH)):
        yield many


def _identification(row: dict[str, str], parents: Iterable[str]) -> list[tuple[str, str]]:
    """An identification, under the names that its taxa have where it has none of its own."""
    key = row.get("occurrence_fk", "")
    if not row.get("scientificName"):
        names = [name for name in parents if name]
        row = {**row, "scientificName": " × ".join(names)}
    mine = own.identification(key, row)
    if mine is not None:
        remarks = row.get("taxonRemarks", "") if mine else ""  # a person's: ours stand in taxa
        return [*mine, ("taxonRemarks", remarks)] if remarks else mine
    pairs = list(identified(row))
    if row.get("isAcceptedIdentification", "").casefold() == "true":
        name = row.get("verbatimIdentification") or row["scientificName"]
        return [(_ACCEPTED, name)] if name else []
    return [(place, text) for place, text in pairs if place == HISTORY]


def _address(row: Mapping[str, str]) -> str:
    """Where a medium is, or what its keeper calls it; '' for sounds and texts."""
    kind = row.get("mediaType", "").rpartition("/")[2]
    if kind in {"Sound", "Text", "Dataset"}:
        return ""
    return next(filter(None, map(row.get, ("accessURI", "providerManagedID", "media_pk"))), "")


def _merged(given: str, rest: Mapping[str, str]) -> str:
    try:
        properties = json.loads(given) if given else {}
    except ValueError:
        properties = {own.PROPERTIES: given}
    return json.dumps({**rest, **properties}, ensure_ascii=False)
