"""Figures over a chunk."""

from __future__ import annotations

import pytest

from crossproof.findings import finding
from crossproof.model import Chunk, Table
from crossproof.options import Options
from crossproof.report.counts import finding_counts, hybrid_counts, outcome_counts, reason_counts
from crossproof.vetter import Vetter

FIELDS = {
    name: name for name in ("scientificName", "leaf", "stem", "photo", "eventDate", "locality")
}
TABLE = Table("r.csv", "", tuple(FIELDS), 1, FIELDS)
ROWS = [
    ("D. x grandis", "ring spots", "partly hollow", "a.jpg", "2019-06-14", "Fen"),
    ("D. x grandis", "ring spots", "", "b.jpg", "2019-06-14", "Fen"),
    ("D. x venusta", "", "", "", "2019-06-14", "Fen"),
    ("D. praetermissa", "", "", "", "2019-06-14", "Fen"),
    ("Bellis perennis", "", "", "", "2019-06-14", "Fen"),
    ("", "", "", "", "", ""),
]


@pytest.fixture(scope="module")
def judged():
    columns = [list(column) for column in zip(*ROWS, strict=True)]
    return Vetter(Options()).vet(Chunk(TABLE, range(2, 8), columns)).judged


def test_outcomes(judged) -> None:
    assert outcome_counts(judged) == {"upheld": 1, "lowered": 2, "no_claim": 2, "returned": 1}


def test_reasons(judged) -> None:
    assert reason_counts(judged) == {
        "leaf_missing": 1,
        "stem_missing": 2,
        "photo_missing": 1,
        "name_missing": 1,
        "date_unreadable": 1,
        "place_unreadable": 1,
    }


def test_hybrids(judged) -> None:
    assert hybrid_counts(judged) == {
        "Dactylorhiza × grandis": {"upheld": 1, "lowered": 1},
        "Dactylorhiza × venusta": {"lowered": 1},
    }


def test_findings() -> None:
    codes = ["name_missing", "date_unreadable", "name_missing"]
    assert finding_counts([finding(code) for code in codes]) == {
        "name_missing": 2,
        "date_unreadable": 1,
    }
    assert finding_counts([]) == {}
