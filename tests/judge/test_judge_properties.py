"""What holds for every shipped rulebook, every hybrid and every combination of what is stated."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise, product

import pytest
from claims import case_of
from hypothesis import given, settings
from hypothesis import strategies as st

from crossproof.judge import judge
from crossproof.model import Case, Verdict
from crossproof.rulebooks.load import shipped
from crossproof.rulebooks.model import Rulebook, Taxon

HYBRIDS = [(book, hybrid) for book in shipped() for hybrid in book.hybrids]
EACH_HYBRID = pytest.mark.parametrize(
    ("rulebook", "hybrid"), HYBRIDS, ids=[f"{book.id}-{hybrid.id}" for book, hybrid in HYBRIDS]
)
EACH_RULEBOOK = pytest.mark.parametrize("rulebook", shipped(), ids=lambda book: book.id)


def values_of(rulebook: Rulebook, hybrid: Taxon, character: str) -> list[str]:
    """The states of a character; of a measured one, a number on either side of every bound."""
    described = rulebook.characters[character]
    if not described.is_measured:
        return [state.id for state in described.states]
    known = [rulebook.known_of(taxon, character) for taxon in (hybrid.id, *hybrid.parents)]
    bounds = sorted({end for k in known if k and k.measure for end in k.measure})
    if not bounds:
        return ["1"]
    between = [(low + high) / 2 for low, high in pairwise(bounds)]
    return [f"{number:g}" for number in (*between, bounds[-1] + 1)]


def required(rulebook: Rulebook, hybrid: Taxon) -> list[str]:
    """The characters that a claim needs by default, those of which any will do included."""
    need = rulebook.requirement(hybrid.id)
    assert need is not None
    wanted = {*need.all_of, *need.any_of}
    return [c.id for c in rulebook.ordered_characters if c.id in wanted]


def every_case(rulebook: Rulebook, hybrid: Taxon) -> Iterator[Case]:
    characters = required(rulebook, hybrid)
    choices = [["", *values_of(rulebook, hybrid, character)] for character in characters]
    for photo in (True, False):
        for values in product(*choices):
            stated = {c: v for c, v in zip(characters, values, strict=True) if v}
            yield case_of(rulebook, hybrid.id, stated, photo)


def up(rulebook: Rulebook, taxon: str) -> list[str]:
    """The taxon and all above it, walked here anew."""
    line = [taxon]
    while above := rulebook.taxa[line[-1]].above:
        line.append(above)
    return line


def lowest_holding(rulebook: Rulebook, taxa: set[str]) -> str:
    """The node with the longest way to the root of all that hold every one of `taxa`."""
    holding = [n for n in rulebook.taxa if all(n in up(rulebook, taxon) for taxon in taxa)]
    return max(holding, key=lambda node: len(up(rulebook, node)))


def check_verdict(verdict: Verdict, hybrid: Taxon, rulebook: Rulebook) -> None:
    """All that must hold of the verdict on a hybrid claim."""
    node = verdict.determination.taxon
    is_upheld = verdict.outcome == "upheld"
    assert verdict.outcome in ("upheld", "lowered")
    assert node in up(rulebook, hybrid.id), "more specific than the claim, or beside it"
    assert (node == hybrid.id) == is_upheld
    contradicted = any(reason.endswith("_against") for reason in verdict.reasons)
    if contradicted:
        assert not is_upheld
        assert all(node in up(rulebook, taxon) for taxon in verdict.possible)
    if not is_upheld:
        held = {hybrid.id, *hybrid.parents} | (set(verdict.possible) if contradicted else set())
        assert node == lowest_holding(rulebook, held)
        _check_name(verdict, hybrid, node, contradicted, rulebook)
    assert verdict.reasons == tuple(sorted(verdict.reasons, key=_place_of(rulebook)))


def _check_name(
    verdict: Verdict, hybrid: Taxon, node: str, contradicted: bool, rulebook: Rulebook
) -> None:
    """The exported name means nothing else; the doubt stands in the qualifier alone."""
    determination = verdict.determination
    named = [t for t in rulebook.taxa.values() if t.name == determination.scientific_name]
    assert len(named) == 1
    assert named[0].usable
    assert not named[0].is_hybrid
    assert named[0].id in up(rulebook, node)
    assert ("cf. " in determination.qualifier) != contradicted
    if not rulebook.taxa[node].usable:
        assert determination.qualifier.startswith(rulebook.taxa[node].label)
    assert determination.rank == named[0].rank


LAST = ("photo_missing", "flower_only", "undecided", "out_of_season", "parent_absent")


def _place_of(rulebook: Rulebook):  # type: ignore[no-untyped-def]
    """Reasons stand bottom up: the characters, what else is missing, then what they make."""
    characters = [character.id for character in rulebook.ordered_characters]

    def place(reason: str) -> tuple[int, int]:
        about = reason.removesuffix("_missing").removesuffix("_against")
        if about in characters:
            return 0, characters.index(about)
        return (2, LAST.index(reason)) if reason in LAST else (1, 0)

    return place


@EACH_HYBRID
def test_every_combination_of_what_is_needed(rulebook: Rulebook, hybrid: Taxon) -> None:
    need = rulebook.requirement(hybrid.id)
    assert need is not None
    outcomes = set()
    for case in every_case(rulebook, hybrid):
        verdict = judge(case, rulebook)
        outcomes.add(verdict.outcome)
        check_verdict(verdict, hybrid, rulebook)
        if verdict.outcome == "upheld":
            stated = {character for character, *_ in case.evidence}
            assert {c for c in need.all_of if c in rulebook.characters} <= stated
            assert case.photo == "stated" or "photo" not in need.all_of
    can_stand = not need.never and not {"parents", "specialist"} & {*need.all_of}
    assert outcomes == ({"upheld", "lowered"} if can_stand else {"lowered"})


@EACH_HYBRID
def test_a_claim_that_may_be_upheld_is_upheld_by_some_evidence(
    rulebook: Rulebook, hybrid: Taxon
) -> None:
    need = rulebook.requirement(hybrid.id)
    assert need is not None
    for case in every_case(rulebook, hybrid):
        helped = Case(
            name=case.name,
            evidence=case.evidence,
            photo=case.photo,
            parents="both",
            specialist=True,
        )
        if judge(helped, rulebook).outcome == "upheld":
            assert not need.never
            return
    assert need.never, f"nothing upholds {hybrid.id}"


@st.composite
def anything(draw: st.DrawFn, strategy: st.SearchStrategy[tuple[Rulebook, Taxon]]):  # type: ignore[no-untyped-def]
    """A case with any evidence of any weight and source, and any context."""
    rulebook, hybrid = draw(strategy)
    evidence = []
    for character in rulebook.ordered_characters:
        for _ in range(draw(st.integers(0, 2))):
            state = draw(st.sampled_from(values_of(rulebook, hybrid, character.id)))
            weight = draw(st.sampled_from(["stated", "hedged", "faint", "questioned"]))
            source = draw(st.sampled_from(["column", "remark", "photo", "measurement"]))
            evidence.append((character.id, state, weight, source))
    mentions = [mention.id for mention in rulebook.mentions]
    case = Case(
        name=case_of(rulebook, hybrid.id, {}).name,
        evidence=tuple(draw(st.permutations(evidence))),
        photo=draw(st.sampled_from(["stated", "denied", "not_recorded"])),
        flower_only=draw(st.booleans()),
        specialist=draw(st.booleans()),
        months=draw(st.frozensets(st.integers(1, 12), max_size=2)),
        mentions=draw(
            st.frozensets(st.sampled_from(mentions)) if mentions else st.just(frozenset())
        ),
        parents=draw(st.sampled_from(["both", "one", "none", ""])),
        sex=draw(st.sampled_from(["female", "male", ""])),
    )
    return rulebook, hybrid, case


CASES = anything(st.sampled_from(HYBRIDS))


@settings(max_examples=300, deadline=None)
@given(CASES, st.booleans())
def test_any_evidence_whatever(drawn: tuple[Rulebook, Taxon, Case], strict: bool) -> None:
    rulebook, hybrid, case = drawn
    check_verdict(judge(case, rulebook, strict=strict), hybrid, rulebook)


@settings(max_examples=150, deadline=None)
@given(CASES)
def test_equal_cases_get_equal_verdicts(drawn: tuple[Rulebook, Taxon, Case]) -> None:
    rulebook, _, case = drawn
    assert judge(case, rulebook) == judge(case, rulebook)


@settings(max_examples=150, deadline=None)
@given(CASES)
def test_strict_needs_never_uphold_more(drawn: tuple[Rulebook, Taxon, Case]) -> None:
    rulebook, _, case = drawn
    if judge(case, rulebook, strict=True).outcome == "upheld":
        assert judge(case, rulebook).outcome == "upheld"


@EACH_RULEBOOK
def test_judging_changes_no_rulebook(rulebook: Rulebook) -> None:
    before = repr(rulebook)
    for hybrid in rulebook.hybrids[:3]:
        for case, _ in zip(every_case(rulebook, hybrid), range(200), strict=False):
            judge(case, rulebook)
    assert repr(rulebook) == before


@EACH_RULEBOOK
def test_a_species_claim_keeps_its_name_whatever_is_stated(rulebook: Rulebook) -> None:
    for taxon in rulebook.taxa.values():
        if taxon.is_hybrid or taxon.rank != "species":
            continue
        for character in rulebook.ordered_characters:
            for state in values_of(rulebook, taxon, character.id):
                verdict = judge(case_of(rulebook, taxon.id, {character.id: state}), rulebook)
                assert verdict.outcome in ("no_claim", "contested")
                assert verdict.determination.taxon == taxon.id
                assert (verdict.outcome == "contested") == (
                    verdict.reasons == (f"{character.id}_against",)
                )
