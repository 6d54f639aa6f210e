"""Judged records as a Darwin Core archive: text files, `meta.xml` and `eml.xml`."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np

from crossproof.coding import cross
from crossproof.darwincore.columns import blank, itemise, masked
from crossproof.darwincore.coverage import Coverage
from crossproof.darwincore.eml import write_eml
from crossproof.darwincore.history import (
    Histories,
    Identification,
    previous_identifications,
    where_read,
    with_lead,
    words_read,
)
from crossproof.darwincore.homes import USUAL_BASIS, extra, in_words, sort_given
from crossproof.darwincore.meta import ArchiveFile, write_meta
from crossproof.darwincore.metadata import DatasetMetadata
from crossproof.darwincore.photos import described, identifiers
from crossproof.darwincore.tables import GrowingTable, Part, chosen, each, fixed
from crossproof.darwincore.terms import AC, DWC, fields, schema, taxon_terms
from crossproof.model import Claim, Evidence, Judged, Verdict
from crossproof.tabular import Block, Strip

ROW_TYPES = {
    "occurrence": f"{DWC}Occurrence",
    "identification": f"{DWC}Identification",
    "measurementorfact": f"{DWC}MeasurementOrFact",
    "multimedia": f"{AC}Multimedia",
}
IDENTIFICATION = (
    "scientificName",
    "scientificNameAuthorship",
    "taxonRank",
    "identificationQualifier",
    "verbatimIdentification",
    "identifiedBy",
    "dateIdentified",
    "identificationReferences",
    "identificationVerificationStatus",
    "identificationRemarks",
    "identificationType",
    "taxonFormula",
    "taxonRemarks",
)
CORE = ("basisOfRecord", "occurrenceStatus", *IDENTIFICATION, "previousIdentifications")
# Terms of a submission that stand in columns of our own: joined with what we write there.
JOINED = ("basisOfRecord", "occurrenceStatus", "taxonRemarks")
# Taxon terms that stay true of a name made coarser within its family.
HIGHER = frozenset(
    [
        "kingdom",
        "phylum",
        "class",
        "order",
        "superfamily",
        "family",
        "subfamily",
        "tribe",
        "subtribe",
        "nomenclaturalCode",
    ]
)


class Archive:
    """Writes a Darwin Core archive into `folder`, chunk by chunk, in flat memory.

    `issued` is the day of issue (ISO 8601); nothing is taken from the clock. `methods` are
    paragraphs for the metadata. Use as a context manager, or
    call `close`, which writes the descriptors. Machine-made tables: cells are kept as they are.
    """

    def __init__(
        self,
        folder: Path,
        metadata: DatasetMetadata,
        *,
        issued: dt.date | str,
        status_word: str = "present",
        methods: Sequence[str] = (),
    ) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        self.coverage = Coverage()
        self._metadata = metadata
        self._issued = str(issued)
        self._status = status_word
        self._methods = tuple(methods)
        self._tables = {
            name: GrowingTable(folder / f"{name}.csv", terminator="\n") for name in ROW_TYPES
        }

    @property
    def rows(self) -> dict[str, int]:
        """How many rows each table has so far."""
        return {name: table.rows for name, table in self._tables.items()}

    def write(self, judged: Judged, told: Histories) -> list[Block | Strip]:
        """Append the records of one chunk; return their rows of `occurrence.csv`, as written.

        `told` are their identifications (see `history`).
        """
        if not len(judged.ids):
            return []
        self.coverage.add(judged)
        lowered = np.array([v.outcome == "lowered" for v in judged.verdicts.values], dtype=bool)[
            judged.verdicts.codes
        ]
        written = self._occurrences(judged, told, lowered)
        self._identifications(judged, told)
        self._evidence(judged)
        self._photos(judged)
        return written

    def _add(self, table: str, parts: Sequence[Part]) -> list[Block | Strip]:
        return self._tables[table].write(parts, fields("dwca", table).index)

    def _occurrences(
        self, judged: Judged, told: Histories, lowered: np.ndarray
    ) -> list[Block | Strip]:
        rows = len(judged.ids)
        joined = [judged.given.get(term, blank(rows)) for term in JOINED]
        core = cross(told, judged.claims, judged.verdicts, *joined)
        kept, homeless = sort_given(judged, _open_terms(), CORE)
        for term in (*JOINED, "identificationReferences"):
            homeless.pop(term, None)
        finer = taxon_terms() - HIGHER
        texts = {
            term: masked(coded, ~lowered) if term in finer else coded
            for term, coded in kept.items()
        }
        rest = extra(judged, homeless, told)
        return self._add(
            "occurrence",
            [
                each("occurrenceID", judged.ids),
                fixed(CORE, core, self._core_cells),
                chosen(texts, (judged.when, judged.where), _open_terms(), rows),
                chosen({"dynamicProperties": rest}, (), ("dynamicProperties",), rows),
            ],
        )

    def _core_cells(self, value: tuple[object, ...]) -> list[str]:
        told: tuple[Identification, ...]
        claim: Claim
        verdict: Verdict
        basis: str
        status: str
        remarks: str
        told, claim, verdict, basis, status, remarks = value  # type: ignore[assignment]
        cells = dict(zip(IDENTIFICATION, _identification_cells(told[-1]), strict=True))
        cells["identifiedBy"] = claim.identified_by
        cells["dateIdentified"] = claim.date_identified
        cells["identificationVerificationStatus"] = claim.verification
        if f" | {cells['taxonRemarks']}" not in f" | {remarks}":
            cells["taxonRemarks"] = " | ".join(filter(None, (remarks, cells["taxonRemarks"])))
        else:
            cells["taxonRemarks"] = remarks
        return [
            basis or USUAL_BASIS,
            in_words(status or self._status, self._status),
            *cells.values(),
            previous_identifications(claim, verdict, told),
        ]

    def _identifications(self, judged: Judged, told: Histories) -> None:
        rows = itemise(told)
        items = rows.items
        roles = [f"#{item.role}" for item in items.values]
        ids = [
            judged.ids[row] + roles[code]
            for row, code in zip(rows.rows.tolist(), items.codes.tolist(), strict=True)
        ]
        old = np.array([not item.accepted for item in items.values], dtype=bool)[items.codes]
        taxon = {
            term: masked(coded.select(rows.rows), old)
            for term, coded in judged.given.items()
            if term in taxon_terms() and term not in HIGHER and term not in IDENTIFICATION
        }
        self._add(
            "identification",
            [
                each("occurrenceID", judged.ids, rows.rows),
                each("identificationID", ids),
                fixed(
                    ("isAcceptedIdentification", *IDENTIFICATION),
                    items,
                    lambda item: [str(item.accepted).lower(), *_identification_cells(item)],
                ),
                chosen(taxon, (), fields("dwca", "identification"), len(rows)),
            ],
        )

    def _evidence(self, judged: Judged) -> None:
        rows = itemise(judged.evidence)
        if not len(rows):
            return
        numbers = rows.numbers.tolist()
        owners = rows.rows.tolist()
        ids = [f"{judged.ids[row]}#state-{n}" for row, n in zip(owners, numbers, strict=True)]
        self._add(
            "measurementorfact",
            [
                each("occurrenceID", judged.ids, rows.rows),
                each("measurementID", ids),
                fixed(fields("dwca", "measurementorfact")[2:], rows.items, _evidence_cells),
            ],
        )

    def _photos(self, judged: Judged) -> None:
        rows = itemise(judged.photos)
        if not len(rows):
            return
        self._add(
            "multimedia",
            [
                each("occurrenceID", judged.ids, rows.rows),
                each("identifier", identifiers(judged.ids, rows)),
                fixed(fields("dwca", "multimedia")[2:], rows.items, described),
            ],
        )

    def close(self) -> None:
        """Finish the tables, and write `meta.xml` from the columns they have, and `eml.xml`."""
        self._tables["occurrence"].close(("occurrenceID", *CORE))
        for name in list(ROW_TYPES)[1:]:
            self._tables[name].close()
        core, *extensions = (
            ArchiveFile(table.path.name, ROW_TYPES[name], _iris(name, table.columns))
            for name, table in self._tables.items()
            if table.columns
        )
        write_meta(self.folder / "meta.xml", core, extensions)
        write_eml(
            self.folder / "eml.xml",
            self._metadata,
            self.coverage,
            issued=self._issued,
            methods=self._methods,
        )

    def __enter__(self) -> Archive:
        return self

    def __exit__(self, kind: object, *_: object) -> None:
        if kind is None:
            self.close()


@cache
def _open_terms() -> tuple[str, ...]:
    """The terms that get a column in the core only where a record has them."""
    ours = {"occurrenceID", "dynamicProperties", *CORE}
    return tuple(name for name in fields("dwca", "occurrence") if name not in ours)


def _identification_cells(item: Identification) -> list[str]:
    return [
        item.full_name,
        item.authorship,
        item.rank,
        item.qualifier,
        item.words,
        item.identified_by,
        item.date,
        item.references,
        item.verification,
        with_lead(item.remarks, item.reasoning),
        item.kind,
        item.formula,
        item.parents,
    ]


def _evidence_cells(item: Evidence) -> list[str]:
    return [item.character, item.state, where_read(item), words_read(item)]


def _iris(table: str, columns: Sequence[str]) -> list[str]:
    """The term of each column; the first column of an extension is the core's id, and has none."""
    known = {
        field["name"]: field["dcterms:isVersionOf"] for field in schema("dwca", table)["fields"]
    }
    iris = [known[name] for name in columns]
    return iris if table == "occurrence" else ["", *iris[1:]]
