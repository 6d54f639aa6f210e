"""Bayes' posterior over the candidates. It informs; it never overrules the verdict."""

from __future__ import annotations

from collections.abc import Mapping
from math import prod

from crossproof.judge.weigh import Weighed
from crossproof.model import Case, Support
from crossproof.rulebooks.model import Rulebook

SHOWN = 3


def support(
    case: Case, weighed: Mapping[str, Weighed], rulebook: Rulebook, setting: str = ""
) -> tuple[Support, ...]:
    """The claim and the two best others, or the three best, with their probabilities.

    Empty where the rulebook has no priors for the setting or no counting state has frequencies.
    """
    prior = rulebook.priors.get(setting or case.setting or rulebook.default_setting, {})
    stated = {
        character: weight.states
        for character, weight in weighed.items()
        if weight.states and character in rulebook.frequencies
    }
    if not prior or not stated:
        return ()
    ranked = sorted(posterior(prior, stated, rulebook).items(), key=lambda item: -item[1])
    claimed = [item for item in ranked if item[0] == case.name.taxon]
    others = [item for item in ranked if item[0] != case.name.taxon]
    shown = [*claimed, *others[: SHOWN - len(claimed)]]
    return tuple(
        Support(taxon, rulebook.written(taxon) if taxon in rulebook.taxa else taxon, round(p, 4))
        for taxon, p in shown
    )


def posterior(
    prior: Mapping[str, float], stated: Mapping[str, tuple[str, ...]], rulebook: Rulebook
) -> dict[str, float]:
    """P(taxon | stated states), characters taken as independent given the taxon.

    A character that is not stated is left out. A state that has kinds (`marked`) has the sum of
    their frequencies; a mixed stand, the mean over its states.

    Args:
        prior: taxon → share at the setting; need not sum to one.
        stated: character → states, each character in `rulebook.frequencies`.
    """
    joint = {
        taxon: share * prod(_likelihood(taxon, c, states, rulebook) for c, states in stated.items())
        for taxon, share in prior.items()
    }
    total = sum(joint.values())
    return {taxon: value / total for taxon, value in joint.items()} if total else {}


def _likelihood(taxon: str, character: str, states: tuple[str, ...], rulebook: Rulebook) -> float:
    row = rulebook.frequencies[character].get(taxon)
    if row is None:
        return 1.0
    described = rulebook.characters.get(character)
    values = [
        sum(row.get(kind, 0.0) for kind in (described.kinds(state) if described else (state,)))
        for state in states
        if state != "mixed"
    ]
    return sum(values) / len(values) if values else 1.0
