"""Judged records as a Darwin Core Data Package: its tables, `datapackage.json`, `eml.xml`.

After the Darwin Core Data Package guide (TDWG, 2026-05-26) and the table schemas of version
`VERSION`, which are a draft.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from crossproof.coding import cross
from crossproof.darwincore.assertions import (
    Assertions,
    claimed,
    labelled,
    plain,
    set_apart,
    stated,
    unhomed,
)
from crossproof.darwincore.columns import Items, blank, itemise, masked
from crossproof.darwincore.coverage import Coverage
from crossproof.darwincore.descriptor import write_descriptor
from crossproof.darwincore.eml import write_eml
from crossproof.darwincore.history import Histories, Identification
from crossproof.darwincore.homes import in_words, sort_given
from crossproof.darwincore.ids import uuid5
from crossproof.darwincore.metadata import DatasetMetadata
from crossproof.darwincore.package_fields import (
    IDENTIFICATION,
    MEDIA,
    OCCURRENCE,
    OURS,
    event_terms,
    identification_cells,
    identification_terms,
    media_cells,
    occurrence_cells,
    occurrence_terms,
    places,
    shared_key,
)
from crossproof.darwincore.photos import identifiers, parts
from crossproof.darwincore.tables import GrowingTable, Part, chosen, each, fixed
from crossproof.darwincore.terms import fields
from crossproof.darwincore.zipped import gzip_file
from crossproof.model import Coded, Judged, Photo

if TYPE_CHECKING:
    from numpy.typing import NDArray

TABLES = (
    "event",
    "occurrence",
    "identification",
    "identification-taxon",
    "media",
    "occurrence-media",
    "occurrence-assertion",
    "provenance",
    "usage-policy",
)
EVENT_CATEGORY = "Occurrence"  # Darwin Core list of terms, 2026-05-26, eventCategory


class DataPackage:
    """Writes a Darwin Core Data Package into `folder`, chunk by chunk, in flat memory.

    `issued` is the day of issue (ISO 8601); nothing is taken from the clock. `methods` are
    paragraphs for the metadata. Use as a context manager, or
    call `close`, which writes the descriptors. A row is its own event unless it has an eventID.
    `gzipped` compresses each table, under its name and `.gz` (guide, section 3).
    """

    def __init__(
        self,
        folder: Path,
        metadata: DatasetMetadata,
        *,
        issued: dt.date | str,
        status_word: str = "detected",
        methods: Sequence[str] = (),
        gzipped: bool = False,
    ) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        self.coverage = Coverage()
        self._metadata = metadata
        self._issued = str(issued)
        self._status = status_word
        self._methods = tuple(methods)
        self._gzipped = gzipped
        self._tables = {name: GrowingTable(folder / f"{name}.csv") for name in TABLES}
        self._written: set[tuple[str, str]] = set()  # (table, key) of rows that several share

    @property
    def rows(self) -> dict[str, int]:
        """How many rows each table has so far."""
        return {name: table.rows for name, table in self._tables.items()}

    def write(self, judged: Judged, told: Histories) -> None:
        """Append the records of one chunk; `told` as for `Archive.write`."""
        if not len(judged.ids):
            return
        self.coverage.add(judged)
        judged, unfit = set_apart(judged)
        kept, homeless = sort_given(judged, places(), OURS)
        for term in ("eventID", "occurrenceStatus", "identificationReferences"):
            homeless.pop(term, None)
        events = self._events(judged, kept)
        self._occurrences(judged, told, kept, events)
        self._identifications(judged, told, kept)
        self._photos(judged)
        self._assertions(
            judged, [*unfit, *labelled(judged, told, homeless), *claimed(judged, told)]
        )

    def _add(self, table: str, parts: Sequence[Part]) -> None:
        self._tables[table].write(parts, fields("dwc-dp", table).index)

    def _first(self, table: str, keys: Sequence[str]) -> NDArray[np.intp]:
        """The positions of the keys that the table has no row for yet."""
        found = []
        for position, key in enumerate(keys):
            if key and (table, key) not in self._written:
                self._written.add((table, key))
                found.append(position)
        return np.array(found, dtype=np.intp)

    def _events(self, judged: Judged, kept: Mapping[str, Coded[str]]) -> list[str]:
        """Write the events, and return the key of each record's."""
        terms = {*event_terms()} - {*occurrence_terms()}
        texts = {term: coded for term, coded in kept.items() if term in terms}
        given_ids = judged.given.get("eventID")
        keys = [f"{owner}#event" for owner in judged.ids]
        rows = np.arange(len(keys), dtype=np.intp)
        if given_ids is not None:
            # Records of one event share its row if they agree on where and when it was; else each
            # version is a row of its own under the one eventID, and nothing is lost.
            whole = cross(given_ids, judged.when, judged.where, *texts.values())
            shared = whole.map(
                lambda value: uuid5("\x1f".join(("event", *map(plain, value)))) if value[0] else ""
            )
            keys = [given or own for given, own in zip(shared, keys, strict=True)]
            rows = self._first("event", keys)
        if len(rows):
            self._add(
                "event",
                [
                    each("event_pk", [keys[row] for row in rows.tolist()]),
                    fixed(
                        ("eventID", "eventCategory"),
                        (given_ids or blank(len(keys))).select(rows),
                        lambda identifier: (identifier, EVENT_CATEGORY),
                    ),
                    chosen(
                        {term: coded.select(rows) for term, coded in texts.items()},
                        (judged.when.select(rows), judged.where.select(rows)),
                        event_terms(),
                        len(rows),
                    ),
                ],
            )
        return keys

    def _occurrences(
        self,
        judged: Judged,
        told: Histories,
        kept: Mapping[str, Coded[str]],
        events: Sequence[str],
    ) -> None:
        rows = len(judged.ids)
        status = judged.given.get("occurrenceStatus", blank(rows))
        core = cross(told, judged.claims)
        self._add(
            "occurrence",
            [
                each("occurrence_pk", judged.ids),
                each("occurrenceID", judged.ids),
                each("event_fk", events),
                fixed(
                    ("occurrenceStatus",),
                    status,
                    lambda word: (in_words(word or self._status, self._status),),
                ),
                chosen(kept, (), occurrence_terms(), rows),
                fixed(OCCURRENCE, core, occurrence_cells),
            ],
        )

    def _identifications(
        self,
        judged: Judged,
        told: Histories,
        kept: Mapping[str, Coded[str]],
    ) -> None:
        rows = itemise(told)
        items = rows.items
        roles = [f"#{item.role}" for item in items.values]
        ids = [
            judged.ids[row] + roles[code]
            for row, code in zip(rows.rows.tolist(), items.codes.tolist(), strict=True)
        ]
        claims = np.array([item.role == "claim" for item in items.values], dtype=bool)[items.codes]
        texts = {
            term: masked(coded.select(rows.rows), claims)
            for term, coded in kept.items()
            if term in identification_terms()
        }
        self._add(
            "identification",
            [
                each("identification_pk", ids),
                each("identificationID", ids),
                each("occurrence_fk", judged.ids, rows.rows),
                fixed(IDENTIFICATION, items, identification_cells),
                chosen(texts, (), identification_terms(), len(rows)),
            ],
        )
        self._taxa(ids, items)

    def _taxa(self, ids: Sequence[str], identified: Coded[Identification]) -> None:
        taxa = itemise(
            identified.map(
                lambda item: tuple(enumerate(item.components, 1)) if item.parents else ()
            )
        )
        if not len(taxa):
            return
        self._add(
            "identification-taxon",
            [
                each("identification_fk", ids, taxa.rows),
                fixed(
                    fields("dwc-dp", "identification-taxon")[1:],
                    taxa.items,
                    lambda taxon: (str(taxon[0]), *taxon[1]),
                ),
            ],
        )

    def _photos(self, judged: Judged) -> None:
        photos = itemise(judged.photos)
        if not len(photos):
            return
        keys = identifiers(judged.ids, photos)
        self._add(
            "occurrence-media",
            [
                each("media_fk", keys),
                each("occurrence_fk", judged.ids, photos.rows),
                fixed(
                    ("subjectPartLiteral", "subjectPart"),
                    photos.items,
                    lambda photo: parts(photo)[::-1],
                ),
            ],
        )
        self._media(keys, photos)

    def _media(self, keys: Sequence[str], photos: Items[Photo]) -> None:
        rows = self._first("media", keys)
        if not len(rows):
            return
        new = photos.items.select(rows)
        mine = [keys[row] for row in rows.tolist()]
        self._shared("provenance", ("provenance_pk", "creator"), new.map(lambda p: p.creator))
        self._shared("usage-policy", ("usagePolicy_pk", "license"), new.map(lambda p: p.licence))
        self._add(
            "media",
            [
                each("media_pk", mine),
                each("mediaID", mine),
                fixed(MEDIA, new, media_cells),
            ],
        )

    def _shared(self, table: str, names: tuple[str, str], texts: Coded[str]) -> None:
        """Write a row for each text that the table doesn't have yet, under a key made from it."""
        keys = texts.map(partial(shared_key, table))
        rows = self._first(table, list(keys))
        if len(rows):
            self._add(table, [fixed(names, cross(keys, texts).select(rows), tuple)])

    def _assertions(self, judged: Judged, more: Sequence[Assertions]) -> None:
        evidence = judged.evidence.map(lambda value: tuple(map(stated, value)))
        rows = itemise(evidence, *more, judged.extra.map(unhomed))
        if not len(rows):
            return
        ids = [
            f"{judged.ids[row]}#assertion-{number}"
            for row, number in zip(rows.rows.tolist(), rows.numbers.tolist(), strict=True)
        ]
        self._add(
            "occurrence-assertion",
            [
                each("assertionID", ids),
                each("occurrence_fk", judged.ids, rows.rows),
                fixed(fields("dwc-dp", "occurrence-assertion")[2:], rows.items, tuple),
            ],
        )

    def close(self) -> None:
        """Finish the tables, and write `datapackage.json` and `eml.xml`."""
        headings: dict[str, tuple[str, ...]] = {
            "event": ("event_pk", "eventID", "eventCategory"),
            "occurrence": (
                *("occurrence_pk", "occurrenceID", "event_fk", "occurrenceStatus"),
                *OCCURRENCE,
            ),
        }
        for name, table in self._tables.items():
            table.close(headings.get(name, ()))
            if self._gzipped and table.columns:
                gzip_file(table.path)
        columns = {name: table.columns for name, table in self._tables.items() if table.columns}
        write_descriptor(
            self.folder,
            self._metadata,
            columns,
            issued=self._issued,
            methods=self._methods,
            suffix=".csv.gz" if self._gzipped else ".csv",
        )
        write_eml(
            self.folder / "eml.xml",
            self._metadata,
            self.coverage,
            issued=self._issued,
            methods=self._methods,
        )

    def __enter__(self) -> DataPackage:
        return self

    def __exit__(self, kind: object, *_: object) -> None:
        if kind is None:
            self.close()
