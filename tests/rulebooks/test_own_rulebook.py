"""A botanist's own rulebook, written from the documentation alone: two docks, from memory."""

from __future__ import annotations

from pathlib import Path

import pytest

from crossproof.judge import judge
from crossproof.model import Case, Name, Verdict
from crossproof.parse.remark import RemarkReader
from crossproof.rulebooks.check import load_checked, problems

RUMEX = Path(__file__).with_name("rumex.toml")


def verdict_on(taxon: str, kind: str, photo: str, strict: bool = False, **stated: str) -> Verdict:
    book = load_checked(RUMEX)
    case = Case(
        name=Name(
            verbatim=book.written(taxon),
            scientific_name=book.written(taxon),
            kind=kind,  # type: ignore[arg-type]
            taxon=taxon,
            rulebook=book.id,
        ),
        evidence=tuple((c, state, "stated", "column") for c, state in stated.items()),
        photo=photo,  # type: ignore[arg-type]
        months=frozenset({8}),
    )
    return judge(case, book, strict=strict)


def test_it_has_no_problems() -> None:
    assert [str(problem) for problem in problems(RUMEX)] == []


def test_a_record_with_all_its_evidence_is_upheld() -> None:
    verdict = verdict_on("pratensis", "hybrid", "stated", leaf_base="rounded", valves="short_teeth")
    assert (verdict.outcome, verdict.reasons) == ("upheld", ())
    assert verdict.determination.scientific_name == "Rumex × pratensis"
    assert verdict.determination.rank == "nothospecies"


def test_a_record_without_its_photo_is_lowered_to_the_aggregate() -> None:
    verdict = verdict_on("pratensis", "hybrid", "denied", leaf_base="rounded", valves="long_teeth")
    assert (verdict.outcome, verdict.reasons) == ("lowered", ("valves_against", "photo_missing"))
    assert verdict.determination.scientific_name == "Rumex"
    assert verdict.determination.rank == "genus"
    assert verdict.determination.qualifier == "crispus/obtusifolius agg."
    assert [point.text for point in verdict.points if point.effect == "against"] == [
        "edge of the ripe valves: with long teeth, against the claim",
        "edge of the ripe valves: points to Rumex obtusifolius",
    ]


def test_a_curled_dock_with_toothed_valves_is_contested() -> None:
    verdict = verdict_on("crispus", "species", "stated", valves="short_teeth")
    assert (verdict.outcome, verdict.reasons) == ("contested", ("valves_against",))
    assert verdict.findings == (("points_to_cross", "Rumex × pratensis"),)


@pytest.mark.parametrize(("ripe", "outcome"), [("20", "lowered"), ("90", "lowered")])
def test_strict_needs_ask_for_more(ripe: str, outcome: str) -> None:
    stated = {"leaf_base": "rounded", "valves": "short_teeth", "ripe": ripe}
    verdict = verdict_on("pratensis", "hybrid", "stated", strict=True, **stated)
    assert verdict.outcome == outcome
    assert verdict.reasons[-1] == "parents_missing"
    assert ("ripe_against" in verdict.reasons) == (ripe == "90")


@pytest.mark.parametrize(
    ("remark", "state"),
    [
        ("valves shortly toothed", "short_teeth"),
        ("ripe valves with long teeth", "long_teeth"),
        ("valves entire, leaves crisped", "entire"),
    ],
)
def test_its_own_phrases_are_read_in_remarks(remark: str, state: str) -> None:
    assert RemarkReader(load_checked(RUMEX)).read(remark).state("valves") == state
