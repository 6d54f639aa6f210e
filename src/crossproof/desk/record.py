"""One record as the desk reads it back: what it claims, and the case that was judged."""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from crossproof.desk.index import unpack
from crossproof.model import Case, Evidence, Name, PhotoState, Source, Weight
from crossproof.rulebooks.model import Rulebook, Taxon

_WORDS = re.compile(r"(?:as written: “(.*)”)?(?:(?:; )?(hedged|faint|questioned))?", re.DOTALL)
_SOURCES: Mapping[str, Source] = {
    "read from a column of its own": "column",
    "read from the remarks": "remark",
    "read from a photo": "photo",
    "read from a measurement": "measurement",
}
_DAY = re.compile(r"\d{4}-(\d{2})(?:-\d{2})?")

Cells = Mapping[str, str]


class Row(dict[str, str]):
    """The cells of a row; one that it does not have is blank."""

    def __missing__(self, name: str) -> str:
        return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskRecord:
    """A record of the index with all its tables say of it."""

    id: int
    occurrence: str
    content: str
    verdict: Cells
    cells: Cells  # of occurrence.csv; those submitted where the row was returned
    evidence: tuple[Evidence, ...]
    photos: Sequence[Cells]
    identifications: Sequence[Cells]
    findings: Sequence[Cells]

    @property
    def is_returned(self) -> bool:
        return self.verdict["outcome"] == "returned"

    @property
    def reasons(self) -> tuple[str, ...]:
        return tuple(filter(None, self.verdict["reasons"].split(";")))

    @property
    def remark(self) -> str:
        return self.cells.get("occurrenceRemarks", "")

    @property
    def submitted(self) -> Mapping[str, str]:
        """The cells of columns that have no Darwin Core home, or of a returned row."""
        if self.is_returned:
            return self.cells
        try:
            found = json.loads(self.cells.get("dynamicProperties") or "{}")
        except ValueError:
            return {}
        return {str(n): str(v) for n, v in found.items()} if isinstance(found, dict) else {}

    @property
    def position(self) -> tuple[float, float] | None:
        """Latitude and longitude in decimal degrees."""
        try:
            latitude = float(self.cells["decimalLatitude"])
            return latitude, float(self.cells["decimalLongitude"])
        except (KeyError, ValueError):
            return None


def load_record(connection: sqlite3.Connection, number: int) -> DeskRecord | None:
    """A record by its number in the index; None where there is none."""
    row = connection.execute(
        "SELECT id, occurrence, content, packed FROM record JOIN detail ON detail.record = id"
        " WHERE id = ?",
        (number,),
    ).fetchone()
    if row is None:
        return None
    detail = unpack(row["packed"])
    return DeskRecord(
        id=row["id"],
        occurrence=row["occurrence"],
        content=row["content"],
        verdict=Row(detail["verdict"]),
        cells=Row(detail["cells"]),
        evidence=tuple(map(_evidence, detail["evidence"])),
        photos=[Row(row) for row in detail["photo"]],
        identifications=[Row(row) for row in detail["identification"]],
        findings=[Row(row) for row in detail["finding"]],
    )


def _evidence(row: Cells) -> Evidence:
    """The way back from a measurement-or-fact row to the evidence it was made from."""
    match = _WORDS.fullmatch(row.get("measurementRemarks", ""))
    words, weight = match.groups() if match else ("", None)
    weights: Mapping[str | None, Weight] = {
        "hedged": "hedged",
        "faint": "faint",
        "questioned": "questioned",
    }
    return Evidence(
        character=row.get("measurementType", ""),
        state=row.get("measurementValue", ""),
        source=_SOURCES.get(row.get("measurementMethod", ""), "column"),
        words=words or "",
        weight=weights.get(weight, "stated"),
    )


def taxon_named(name: str, book: Rulebook) -> Taxon | None:
    """The taxon of a rulebook that is written so; None for none."""
    return next((t for t in book.taxa.values() if name and book.written(t.id) == name), None)


def case_of(record: DeskRecord, book: Rulebook) -> Case:
    """The case that the tables tell of; what they do not tell (mentions, setting) is left open."""
    verdict = record.verdict
    taxon = taxon_named(verdict["claimed_name"], book)
    photos: Mapping[str, PhotoState] = {"stated": "stated", "denied": "denied"}
    month = _DAY.fullmatch(record.cells.get("eventDate", ""))
    return Case(
        name=Name(
            verbatim=verdict["claim"],
            scientific_name=verdict["claimed_name"],
            kind="hybrid" if taxon and taxon.is_hybrid else "species",
            taxon=taxon.id if taxon else "",
            rulebook=book.id,
            parents=taxon.parents if taxon else (),
            cross=verdict["claim_kind"] == "hybrid",
        ),
        evidence=tuple((e.character, e.state, e.weight, e.source) for e in record.evidence),
        photo=photos.get(verdict["photo"], "not_recorded"),
        months=frozenset({int(month.group(1))}) if month else frozenset(),
        sex=record.cells.get("sex", ""),
    )
