"""The orchids' verdicts, one by one: textbook cases, missing pieces, contradictions, exceptions.

Each row of `vectors/orchid_verdicts.csv` names its source. A cell `solid_spots:faint` has a weight,
`a+b` two kinds of plants, `a+b:remark` a column that says a and a remark that says b.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from crossproof.judge import judge
from crossproof.model import Case, Name
from crossproof.rulebooks.load import shipped_rulebook

BOOK = shipped_rulebook("dactylorhiza")
PATH = Path(__file__).parents[1] / "vectors" / "orchid_verdicts.csv"
with PATH.open(encoding="utf-8", newline="") as file:
    CASES = list(csv.DictReader(file))


def case_of(row: dict[str, str]) -> Case:
    evidence = []
    for character in ("leaf", "stem", "flower"):
        states, _, aside = row[character].partition(":")
        for number, state in enumerate(filter(None, states.split("+"))):
            source = "remark" if aside == "remark" and number else "column"
            weight = aside if aside not in ("", "remark") else "stated"
            evidence.append((character, state, weight, source))
    more = dict(part.partition("=")[::2] for part in row["more"].split(";") if part)
    if "sides" in more:
        evidence.append(("leaf_sides", more["sides"], "stated", "column"))
    taxon = BOOK.taxa[row["claim"]]
    return Case(
        name=Name(
            verbatim=row["claim"],
            scientific_name=BOOK.written(taxon.id),
            kind="hybrid" if taxon.is_hybrid else "species",
            qualifier=more.get("qualifier", ""),
            taxon=taxon.id,
            rulebook=BOOK.id,
        ),
        evidence=tuple(evidence),
        photo=row["photo"],
        flower_only="flower_only" in more,
        specialist="specialist" in more,
        months=frozenset({int(more.get("month", "6"))}),
        mentions=frozenset({more["mention"]} if "mention" in more else ()),
        parents=more.get("parents", ""),
    )


@pytest.mark.parametrize("row", CASES, ids=lambda row: "-".join(list(row.values())[:6]))
def test_verdict(row: dict[str, str]) -> None:
    verdict = judge(case_of(row), BOOK)
    determined = verdict.determination
    assert row["source"]
    assert (
        verdict.outcome,
        ";".join(verdict.reasons),
        determined.scientific_name,
        determined.qualifier,
    ) == (row["outcome"], row["reasons"], row["name"], row["qualifier"])


@pytest.mark.parametrize("hybrid", BOOK.hybrids, ids=lambda hybrid: hybrid.id)
def test_a_bare_claim_is_lowered_and_says_what_it_lacks(hybrid) -> None:
    name = Name(
        verbatim="x",
        scientific_name=BOOK.written(hybrid.id),
        kind="hybrid",
        taxon=hybrid.id,
        rulebook=BOOK.id,
    )
    verdict = judge(Case(name=name), BOOK)
    need = BOOK.requirement(hybrid.id)
    assert need is not None
    assert verdict.outcome == "lowered"
    wanted = [what for what in need.all_of if what != "specialist"]
    assert [f"{what}_missing" for what in wanted] == [
        reason for reason in verdict.reasons if reason.endswith("_missing")
    ]
    assert "×" not in verdict.determination.scientific_name


def test_reasons_stand_bottom_up() -> None:
    """Leaf before stem before flower before photo (the order in which a plant is judged)."""
    name = Name(verbatim="x", scientific_name="x", kind="hybrid", taxon="grandis", rulebook=BOOK.id)
    verdict = judge(
        Case(name=name, evidence=(("flower", "sides_reflexed", "stated", "column"),)), BOOK
    )
    assert verdict.reasons == (
        "leaf_missing",
        "stem_missing",
        "flower_against",
        "photo_missing",
        "flower_only",
    )


def test_a_needless_tier_asks_for_more() -> None:
    """With the tiers of practice a common cross needs lip and both parents too."""
    row = next(row for row in CASES if row["claim"] == "grandis" and row["outcome"] == "upheld")
    verdict = judge(case_of(row), BOOK, strict=True)
    assert verdict.reasons == ("flower_missing", "parents_missing")
