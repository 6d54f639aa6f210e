"""A case leaves out what cannot make a difference, and nothing else: the verdict stays the same."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from crossproof.judge import judge
from crossproof.model import Case, Claim, Name
from crossproof.parse.cases import Cases, _bearing_photo
from crossproof.parse.evidence import Spoken
from crossproof.rulebooks.load import shipped
from crossproof.rulebooks.model import Rulebook

BOOKS = {book.id: book for book in shipped()}
CASES = Cases(BOOKS, lenient=False, specialists=(), near=None)


def name_of(book: Rulebook, taxon: str) -> Name:
    value = book.taxa[taxon]
    written = book.written(taxon)
    return Name(
        verbatim=written,
        scientific_name=written,
        kind="hybrid" if value.is_hybrid else "species",
        rank=value.rank,
        taxon=taxon,
        rulebook=book.id,
        parents=value.parents,
    )


@st.composite
def whole_cases(draw: st.DrawFn) -> Case:
    """Cases with everything a record says in them, whether it matters to the claim or not."""
    book = BOOKS[draw(st.sampled_from(sorted(BOOKS)))]
    taxon = draw(st.sampled_from(sorted(book.taxa)))
    evidence = []
    for character in book.characters.values():
        states = [state.id for state in character.states] or ["4", "12", "22", "40"]
        if state := draw(st.sampled_from(["", *states])):
            evidence.append((character.id, state, "stated", "column"))
    return Case(
        name=name_of(book, taxon),
        evidence=tuple(evidence),  # type: ignore[arg-type]
        photo=draw(st.sampled_from(("stated", "denied", "not_recorded"))),
        flower_only=draw(st.booleans()),
        months=frozenset(draw(st.lists(st.integers(1, 12), max_size=3))),
        mentions=frozenset(draw(st.lists(st.sampled_from([m.id for m in book.mentions] or [""])))),
        parents=draw(st.sampled_from(("", "both", "one", "none"))),
    )


@settings(max_examples=400, deadline=None)
@given(whole_cases(), st.booleans())
def test_what_is_left_out_makes_no_difference(whole: Case, strict: bool) -> None:
    spoken = Spoken(flower_only=whole.flower_only, parents=whole.parents, mentions=whole.mentions)
    around = CASES._around(
        (whole.name, False), spoken, (True, frozenset()), (True, whole.months), ""
    )
    claim = Claim(words=whole.name.verbatim, name=whole.name)
    lean = replace(
        whole,
        photo=_bearing_photo(claim, whole.photo),
        flower_only=around.flower_only,
        months=around.months,
        mentions=around.mentions,
        parents=around.parents,
    )
    book = BOOKS[whole.name.rulebook]
    assert judge(lean, book, strict=strict) == judge(whole, book, strict=strict)


def test_months_in_season_are_all_one() -> None:
    name = name_of(BOOKS["dactylorhiza"], "grandis")  # June and July; from memory
    assert CASES._out_of_season(name, frozenset({6})) == CASES._out_of_season(name, frozenset({7}))
    early, late = (CASES._out_of_season(name, frozenset({month})) for month in (3, 10))
    assert early == late != frozenset()


def test_regions_that_no_rule_speaks_of_are_left_out() -> None:
    name = name_of(BOOKS["dactylorhiza"], "fuchsii")
    assert CASES._bearing(name, frozenset({"England", "Great Britain", "acid"})) == frozenset()
    cross = name_of(BOOKS["dactylorhiza"], "grandis")
    assert CASES._bearing(cross, frozenset({"Ireland", "acid"})) == {"Ireland", "acid"}
