"""Judged rows and summaries made by hand, for the tests of the page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from lxml import html

from crossproof.findings import Finding
from crossproof.model import (
    OUTCOMES,
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
from crossproof.report.page import Page
from crossproof.rulebooks.load import shipped_rulebook

T = TypeVar("T")

LEAF = Evidence("leaf", "ring_spots", "remark", "lvs w. rings", 0, 12)
STEM = Evidence("stem", "partly_hollow", "column", "gives a little")
LIP = Evidence("flower", "intermediate", "remark", "lip between")
GRANDIS = Name(
    verbatim="D. x grandis",
    scientific_name="Dactylorhiza × grandis",
    kind="hybrid",
    taxon="grandis",
    rulebook="dactylorhiza",
)
LOWERED = Verdict(
    outcome="lowered",
    reasons=("stem_missing", "photo_missing"),
    determination=Determination(
        scientific_name="Dactylorhiza", rank="genus", qualifier="cf. × grandis"
    ),
    points=(
        Point("leaf", "fits", "leaf markings: ring spots"),
        Point("stem", "missing", "stem: not recorded"),
        Point("photo", "missing", "no photo reference is given"),
        Point("season", "note", "dated outside its flowering months (6, 7)"),
    ),
    remedy="state the stem; give a photo reference",
    rulebook="dactylorhiza",
)
CONTESTED = Verdict(
    outcome="contested",
    reasons=("leaf_against",),
    determination=Determination(scientific_name="Dactylorhiza incarnata", rank="species"),
    points=(Point("leaf", "against", "leaf markings: solid spots, against the claim"),),
    remedy="look again at leaf markings, and take a photo of it",
    rulebook="dactylorhiza",
)
RETURNED = Verdict(
    outcome="returned",
    reasons=("date_unreadable",),
    determination=Determination(scientific_name=""),
    points=(Point("date", "missing", "no readable date"),),
    remedy="mend the cells named in the findings, and send the row again",
)
UPHELD = Verdict(
    outcome="upheld",
    reasons=(),
    determination=Determination(scientific_name="Dactylorhiza × grandis", rank="nothospecies"),
    rulebook="dactylorhiza",
)


@dataclass(frozen=True)
class Row:
    """One judged row; what is not said is plain."""

    verdict: Verdict = LOWERED
    words: str = "D. x grandis"
    name: Name = GRANDIS
    evidence: tuple[Evidence, ...] = (LEAF,)
    photos: tuple[Photo, ...] = ()
    photo: str = "not_recorded"
    where: Mapping[str, str] = field(
        default_factory=lambda: {"locality": "Osier Fen", "verbatimCoordinates": "SU 123 456"}
    )
    date: str = "2019-06-14"
    recorder: str = "Ottoline Marrable"
    id: str = ""


def judged(
    rows: Sequence[Row], *, first: int = 0, fields: Mapping[str, str] | None = None
) -> tuple[Judged, Coded[str]]:
    """The rows as a chunk that starts after `first` others, and what each states of a photo."""
    read = fields or {"scientificName": "Species", "leaf": "Leaves", "stem": "Stems"}
    made = Judged(
        table=Table("records.csv", "", ("Species",), 1, read),
        numbers=range(first + 2, first + 2 + len(rows)),
        ids=[row.id or f"r{number}" for number, row in enumerate(rows, first + 1)],
        claims=code(Claim(words=row.words, name=row.name) for row in rows),
        verdicts=code(row.verdict for row in rows),
        evidence=code(row.evidence for row in rows),
        photos=code(row.photos for row in rows),
        where=code(tuple(row.where.items()) for row in rows).map(dict),
        when=code(row.date for row in rows).map(lambda date: {"eventDate": date}),
        given={"recordedBy": code(row.recorder for row in rows)},
        extra=code("" for _ in rows),
    )
    return made, code(row.photo for row in rows)


def code(values: Iterable[T]) -> Coded[T]:
    places: dict[Hashable, int] = {}
    codes = [places.setdefault(value, len(places)) for value in values]
    return Coded(list(places), np.array(codes, dtype=np.intp))


def summary_of(rows: Sequence[Row], findings: Sequence[Finding] = ()) -> dict[str, Any]:
    """What `summary.json` would hold of these rows."""
    outcomes = Counter(row.verdict.outcome for row in rows)
    broken = sum(f.code == "row_broken" for f in findings)
    outcomes["returned"] += broken
    reasons = Counter(reason for row in rows for reason in row.verdict.reasons)
    hybrids: dict[str, Counter[str]] = {}
    for row in rows:
        if row.name.is_hybrid_claim:
            counts = hybrids.setdefault(row.name.scientific_name, Counter())
            counts[row.verdict.outcome] += 1
    return {
        "crossproof": "0.0",
        "needs": "default",
        "issued": "2020-01-02",
        "rulebooks": [],
        "submission": [
            {"file": "records.csv", "sheet": "", "fields": {"scientificName": "Species"}}
        ],
        "rows": len(rows) + broken,
        "outcomes": {outcome: outcomes[outcome] for outcome in OUTCOMES},
        "reasons": dict(reasons),
        "hybrids": {name: dict(counts) for name, counts in hybrids.items()},
        "findings": dict(Counter(f.code for f in findings)),
        "checks": {"tables_validated": False},
    }


def written(
    folder: Path, rows: Sequence[Row], findings: Sequence[Finding] = (), *, chunk: int = 0
) -> bytes:
    """The page on these rows, given in chunks of `chunk` rows (0: in one)."""
    page = Page([shipped_rulebook("dactylorhiza")])
    size = chunk or max(len(rows), 1)
    for start in range(0, max(len(rows), 1), size):
        page.add(*judged(rows[start : start + size], first=start), () if start else findings)
    path = folder / "report.html"
    page.write(path, summary_of(rows, findings))
    return path.read_bytes()


def read(page: bytes) -> html.HtmlElement:
    """The page as an independent parser reads it."""
    return html.document_fromstring(page.decode("utf-8"))


def texts(page: html.HtmlElement, path: str) -> list[str]:
    """The text of every element at an XPath, white space as a reader sees it."""
    return [" ".join(element.text_content().split()) for element in page.xpath(path)]
