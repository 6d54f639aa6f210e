"""The verdict on one case."""

from __future__ import annotations

from dataclasses import replace

from crossproof.judge.aggregate import lower_unresolved, possible_taxa
from crossproof.judge.hybrid import judge_hybrid
from crossproof.judge.posterior import support
from crossproof.judge.species import judge_species
from crossproof.judge.weigh import counting, weigh
from crossproof.model import Case, Determination, Outcome, Point, Verdict
from crossproof.rulebooks.model import Rulebook


def judge(case: Case, rulebook: Rulebook | None, *, strict: bool = False) -> Verdict:
    """Judge one case.

    Args:
        case: the claim's name and all that is stated about the plant.
        rulebook: the rulebook that covers the name; None for a plant that no rulebook covers.
        strict: take the tiers of practice for what a claim needs, not the user's needs.
    """
    name = case.name
    if case.unreadable:
        return _returned(case)
    if rulebook is None:
        return _uncovered(case)
    taxon = rulebook.taxa.get(name.taxon)
    if taxon is None:
        return _beyond(case, rulebook)
    weighed = weigh(case, rulebook)
    if taxon.is_hybrid:
        verdict = judge_hybrid(case, taxon, weighed, rulebook, strict)
    else:
        verdict = judge_species(case, taxon, weighed, rulebook)
    states = counting(weighed)
    possible = possible_taxa(states, case.mentions, rulebook)
    return replace(
        verdict,
        rulebook=rulebook.id,
        possible=tuple(sorted(possible)),
        support=support(case, states, rulebook),
    )


def _uncovered(case: Case) -> Verdict:
    """A plant outside every rulebook passes untouched; no readable name at all is returned."""
    name = case.name
    if name.kind == "unresolved":
        return _returned(case)
    return Verdict(
        outcome="no_claim",
        reasons=(),
        determination=Determination(
            scientific_name=name.scientific_name,
            authorship=name.authorship,
            rank=name.rank,
            qualifier=name.qualifier,
            components=((name.scientific_name, name.authorship, name.rank),),
        ),
    )


def _returned(case: Case) -> Verdict:
    """A row without a readable what, where or when cannot be an occurrence yet."""
    name = case.name
    reasons = list(case.unreadable)
    points = [
        Point(_PARTS[reason], "missing", f"no readable {_PARTS[reason]}") for reason in reasons
    ]
    if name.kind == "unresolved" and not name.rulebook:
        reasons.insert(0, "name_unresolved" if name.verbatim.strip() else "name_missing")
        points.insert(0, Point("name", "missing", name.reason or "no plant is named"))
    return Verdict(
        outcome="returned",
        reasons=tuple(reasons),
        determination=Determination(scientific_name=""),
        points=tuple(points),
        remedy="mend the cells named in the findings, and send the row again",
        rulebook=name.rulebook,
    )


_PARTS = {"place_unreadable": "place", "date_unreadable": "date"}


def _beyond(case: Case, rulebook: Rulebook) -> Verdict:
    """A cross beyond the rulebook is lowered; a name of several meanings is held at their node."""
    name = case.name
    outcome: Outcome = "lowered" if name.cross else "no_claim"
    return Verdict(
        outcome=outcome,
        reasons=("name_unresolved",),
        determination=lower_unresolved(name, rulebook),
        points=(Point("name", "undecided", name.reason or "the name has no single meaning"),),
        remedy="name both parents of the cross" if outcome == "lowered" else "",
        rulebook=rulebook.id,
    )
