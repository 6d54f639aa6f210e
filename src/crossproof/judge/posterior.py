"""Bayes' posterior over the candidates. It informs; it never overrules the verdict."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import prod

from crossproof.judge.weigh import States
from crossproof.model import Case, Support
from crossproof.rulebooks.model import Rulebook

SHOWN = 3
# Larger ratios only reflect tiny guessed shares. Common practice, no published source.
CAP = 10.0

Stated = Mapping[str, tuple[str, ...]]


def support(case: Case, states: States, rulebook: Rulebook) -> tuple[Support, ...]:
    """The claim and the two best others, or the three best, with their probabilities.

    Empty where the rulebook has no priors for the setting or no counting state has frequencies.
    """
    known = _with_frequencies(states, rulebook)
    ranked = _ranked(setting_of(case, rulebook), known, rulebook) if known else ()
    claimed = [candidate for candidate in ranked if candidate.taxon == case.name.taxon]
    others = [candidate for candidate in ranked if candidate.taxon != case.name.taxon]
    return (*claimed, *others[: SHOWN - len(claimed)])


def setting_of(case: Case, rulebook: Rulebook) -> str:
    """The setting whose priors are taken: the record's, or else the rulebook's own default."""
    return case.setting if case.setting in rulebook.priors else rulebook.default_setting


def belief(case: Case, states: States, rulebook: Rulebook) -> dict[str, float]:
    """The probabilities of all candidates, by the priors alone where nothing is stated.

    Empty where the rulebook has no priors for the setting.
    """
    prior = rulebook.priors.get(setting_of(case, rulebook), {})
    return posterior(prior, dict(_with_frequencies(states, rulebook)), rulebook)


def _with_frequencies(states: States, rulebook: Rulebook) -> States:
    return tuple((c, stated) for c, stated in states if c in rulebook.frequencies)


@lru_cache(maxsize=1 << 13)
def _ranked(setting: str, states: States, rulebook: Rulebook) -> tuple[Support, ...]:
    """All candidates, the likeliest first."""
    probabilities = posterior(rulebook.priors.get(setting, {}), dict(states), rulebook)
    return tuple(
        Support(taxon, rulebook.written(taxon) if taxon in rulebook.taxa else taxon, round(p, 4))
        for taxon, p in sorted(probabilities.items(), key=lambda item: (-item[1], item[0]))
    )


def posterior(
    prior: Mapping[str, float], stated: Stated, rulebook: Rulebook, cap: float = CAP
) -> dict[str, float]:
    """P(taxon | stated states), characters taken as independent given the taxon.

    A character that is not stated is left out. A state that has kinds (`marked`) has the sum of
    their frequencies; a mixed stand, the mean over its states. What is stated never counts as more
    than `cap` times likelier in a hybrid than in the nearer of its parents.

    Args:
        prior: taxon → share at the setting; need not sum to one.
        stated: character → states, each character in `rulebook.frequencies`.
        cap: the largest ratio; `math.inf` gives Bayes' rule over the rulebook's bare numbers.
    """
    joint = {taxon: share * _capped(taxon, stated, rulebook, cap) for taxon, share in prior.items()}
    total = sum(joint.values())
    return {taxon: value / total for taxon, value in joint.items()} if total else {}


def ratio(hybrid: str, states: States, rulebook: Rulebook) -> tuple[float, str] | None:
    """How many times likelier what is stated is in a hybrid than in its nearer parent, and which.

    At most `CAP`. None where no frequencies speak for the hybrid and both its parents.
    """
    rows = [rulebook.frequencies.get(character, {}) for character, _ in states]
    family = (hybrid, *rulebook.taxa[hybrid].parents)
    stated = {
        character: states_
        for (character, states_), row in zip(states, rows, strict=True)
        if all(taxon in row for taxon in family)
    }
    if not stated:
        return None
    own, *parents = (_likelihood(taxon, stated, rulebook) for taxon in family)
    nearest, name = max(zip(parents, family[1:], strict=True))
    return (min(own / nearest, CAP) if nearest else CAP), name


def _capped(taxon: str, stated: Stated, rulebook: Rulebook, cap: float) -> float:
    own = _likelihood(taxon, stated, rulebook)
    if taxon not in rulebook.taxa or not rulebook.taxa[taxon].is_hybrid:
        return own
    parents = rulebook.taxa[taxon].parents
    nearest = max(_likelihood(parent, stated, rulebook) for parent in parents)
    return min(own, cap * nearest) if nearest else own


def _likelihood(taxon: str, stated: Stated, rulebook: Rulebook) -> float:
    return prod(_chance(taxon, c, states, rulebook) for c, states in stated.items())


def _chance(taxon: str, character: str, states: tuple[str, ...], rulebook: Rulebook) -> float:
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
