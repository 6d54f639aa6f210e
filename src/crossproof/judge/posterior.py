"""Bayes' posterior over the candidates. It informs; it never overrules the verdict."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import prod

from crossproof.judge.weigh import States
from crossproof.model import Case, Support
from crossproof.rulebooks.model import Rulebook

SHOWN = 3


def support(
    case: Case, states: States, rulebook: Rulebook, setting: str = ""
) -> tuple[Support, ...]:
    """The claim and the two best others, or the three best, with their probabilities.

    Empty where the rulebook has no priors for the setting or no counting state has frequencies.
    """
    known = tuple((c, stated) for c, stated in states if c in rulebook.frequencies)
    ranked = _ranked(setting or case.setting or rulebook.default_setting, known, rulebook)
    claimed = [candidate for candidate in ranked if candidate.taxon == case.name.taxon]
    others = [candidate for candidate in ranked if candidate.taxon != case.name.taxon]
    return (*claimed, *others[: SHOWN - len(claimed)])


@lru_cache(maxsize=1 << 13)
def _ranked(setting: str, states: States, rulebook: Rulebook) -> tuple[Support, ...]:
    """All candidates, the likeliest first."""
    prior = rulebook.priors.get(setting)
    if not prior or not states:
        return ()
    probabilities = posterior(prior, dict(states), rulebook)
    return tuple(
        Support(taxon, rulebook.written(taxon) if taxon in rulebook.taxa else taxon, round(p, 4))
        for taxon, p in sorted(probabilities.items(), key=lambda item: (-item[1], item[0]))
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
