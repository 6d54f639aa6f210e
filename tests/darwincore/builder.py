"""Judged records made by hand, for the tests of what is written from them."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

import numpy as np

from crossproof.darwincore.history import Crosses, Histories, history
from crossproof.model import (
    Claim,
    Coded,
    Determination,
    Evidence,
    Judged,
    Name,
    Photo,
    Point,
    Table,
    Verdict,
)

T = TypeVar("T")

GRANDIS = Determination(
    scientific_name="Dactylorhiza × grandis",
    authorship="(Druce) P.F.Hunt",
    rank="nothospecies",
    taxon="grandis",
    formula="A x B",
    components=(
        ("Dactylorhiza fuchsii", "(Druce) Soó", "species"),
        ("Dactylorhiza praetermissa", "(Druce) Soó", "species"),
    ),
)
GENUS = Determination(
    scientific_name="Dactylorhiza",
    authorship="Neck. ex Nevski",
    rank="genus",
    qualifier="cf. × grandis",
    formula="A ?",
    taxon="dactylorhiza",
)
GRANDIS_NAME = Name(
    verbatim="D. x grandis",
    scientific_name="Dactylorhiza × grandis",
    authorship="(Druce) P.F.Hunt",
    rank="nothospecies",
    kind="hybrid",
    taxon="grandis",
    rulebook="dactylorhiza",
    parents=("fuchsii", "praetermissa"),
)
CROSSES = {GRANDIS.scientific_name: GRANDIS.components}
LEAF = Evidence("leaf", "ring_spots", "remark", "lvs w. rings", 0, 12)
STEM = Evidence("stem", "partly_hollow", "column", "partly hollow")
UPHELD = Verdict(
    outcome="upheld",
    reasons=(),
    determination=GRANDIS,
    points=(
        Point("leaf", "fits", "leaf markings: ring spots"),
        Point("stem", "fits", "stem: partly hollow"),
    ),
    rulebook="dactylorhiza",
)
LOWERED = Verdict(
    outcome="lowered",
    reasons=("stem_missing", "photo_missing"),
    determination=GENUS,
    points=(
        Point("leaf", "fits", "leaf markings: ring spots"),
        Point("stem", "missing", "stem: not recorded"),
    ),
    remedy="say whether the stem is hollow, and add a photo.",
    rulebook="dactylorhiza",
)
NO_CLAIM = Verdict(
    outcome="no_claim",
    reasons=(),
    determination=Determination(scientific_name="Bellis perennis", authorship="L.", rank="species"),
)
BELLIS = Claim(
    words="daisy",
    name=Name(verbatim="daisy", scientific_name="Bellis perennis", authorship="L.", rank="species"),
)
CLAIM = Claim(
    words="D. x grandis",
    name=GRANDIS_NAME,
    identified_by="Ottoline Marrable",
    date_identified="2019-06-15",
)
PLACE = {
    "decimalLatitude": "51.50871",
    "decimalLongitude": "-1.82399",
    "geodeticDatum": "WGS84",
    "coordinateUncertaintyInMeters": "72",
    "verbatimCoordinates": "SU 123 456",
    "locality": "Osier Fen",
}


@dataclass(frozen=True)
class Row:
    """One judged record; what is not said is plain."""

    claim: Claim = CLAIM
    verdict: Verdict = UPHELD
    evidence: tuple[Evidence, ...] = (LEAF, STEM)
    photos: tuple[Photo, ...] = (Photo(reference="IMG_0042.jpg", parts=("leaf",)),)
    where: Mapping[str, str] = field(default_factory=lambda: dict(PLACE))
    when: Mapping[str, str] = field(default_factory=lambda: {"eventDate": "2019-06-14"})
    given: Mapping[str, str] = field(default_factory=lambda: {"recordedBy": "Ottoline Marrable"})
    extra: str = ""
    id: str = ""


UPHELD_ROW = Row()
LOWERED_ROW = Row(verdict=LOWERED, evidence=(LEAF,), photos=())
PLAIN_ROW = Row(claim=BELLIS, verdict=NO_CLAIM, evidence=(), photos=())
ROWS = (UPHELD_ROW, LOWERED_ROW, PLAIN_ROW)


def judged(rows: Sequence[Row] = ROWS, *, first: int = 1) -> Judged:
    """The rows as a chunk; without an id of its own, the n-th is `r<n>`."""
    terms = {term for row in rows for term in row.given}
    return Judged(
        table=Table("records.csv", "", ("Species",), 1, {}),
        numbers=range(first + 1, first + 1 + len(rows)),
        ids=[row.id or f"r{number}" for number, row in enumerate(rows, first)],
        claims=code(row.claim for row in rows),
        verdicts=code(row.verdict for row in rows),
        evidence=code(row.evidence for row in rows),
        photos=code(row.photos for row in rows),
        where=code_mappings(row.where for row in rows),
        when=code_mappings(row.when for row in rows),
        given={term: code(row.given.get(term, "") for row in rows) for term in sorted(terms)},
        extra=code(row.extra for row in rows),
    )


def code(values: Iterable[T]) -> Coded[T]:
    places: dict[Hashable, int] = {}
    codes = [places.setdefault(value, len(places)) for value in values]
    return Coded(list(places), np.array(codes, dtype=np.intp))


def code_mappings(values: Iterable[Mapping[str, str]]) -> Coded[Mapping[str, str]]:
    return code(tuple(value.items()) for value in values).map(dict)


def told(records: Judged, issued: str = "2026-11-25", crosses: Crosses | None = None) -> Histories:
    """The identifications of records, as an output is handed them."""
    return history(records, issued=issued, rulebooks={}, crosses=crosses or {})
