"""What each statement about a plant rules in and out, and what is left: the judge's own account."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from crossproof.judge.aggregate import possible_taxa
from crossproof.judge.combine import allows
from crossproof.judge.information import Gain, entropy, gains
from crossproof.judge.posterior import belief, ratio, setting_of
from crossproof.judge.weigh import Weighed, counting, weigh
from crossproof.model import Case
from crossproof.rulebooks.model import Character, Known, Rulebook, Taxon


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """What is stated of one character, and the taxa (ids) it rules in and out.

    Species stand in `usual`, `rare` or `out`; one of which the rulebook knows nothing stands in
    none. Nothing stands in any of them where the statement does not count.
    """

    character: str
    weighed: Weighed
    usual: tuple[str, ...] = ()
    rare: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    crosses: tuple[str, ...] = ()
    crosses_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """The evidence of one case, statement by statement and then together.

    `belief` holds the probability of each candidate: the posterior where the rulebook has priors
    for the setting, else every taxon still possible alike. `open_bits` is how uncertain that is,
    in bits, and `gains` what each character not yet settled is expected to tell of it.
    """

    statements: tuple[Statement, ...]  # from the bottom of the plant upward
    possible: tuple[str, ...]
    setting: str  # '' where the rulebook has no priors for it
    belief: Mapping[str, float]
    ratio: tuple[float, str] | None
    open_bits: float
    gains: tuple[Gain, ...]


def account(case: Case, rulebook: Rulebook) -> Account:
    """Account for a case whose name the rulebook covers."""
    weighed = weigh(case, rulebook)
    states = counting(weighed)
    possible = tuple(sorted(possible_taxa(states, case.mentions, rulebook)))
    believed = belief(case, states, rulebook)
    setting = setting_of(case, rulebook) if believed else ""
    if not believed:
        believed = {taxon: 1 / len(possible) for taxon in possible}
    settled = {character for character, _ in states}
    taxon = rulebook.taxa.get(case.name.taxon)
    return Account(
        statements=tuple(
            _statement(character, weight, rulebook)
            for character, weight in weighed.items()
            if weight.is_stated
        ),
        possible=possible,
        setting=setting,
        belief=believed,
        ratio=ratio(taxon.id, states, rulebook) if taxon and taxon.is_hybrid else None,
        open_bits=entropy(believed.values()),
        gains=gains(believed, settled, rulebook, case.sex),
    )


def _statement(character: str, weighed: Weighed, rulebook: Rulebook) -> Statement:
    if not weighed.states:
        return Statement(character=character, weighed=weighed)
    described = rulebook.characters[character]
    usual, rare, out = [], [], []
    for taxon, known in _known(rulebook.taxa.values(), character, rulebook):
        if taxon.rank != "species":
            continue
        if not allows(known, weighed.states, described):
            out.append(taxon.id)
        elif _is_usual(known, weighed.states, described):
            usual.append(taxon.id)
        else:
            rare.append(taxon.id)
    crosses = {
        taxon.id: allows(known, weighed.states, described)
        for taxon, known in _known(rulebook.hybrids, character, rulebook)
    }
    return Statement(
        character=character,
        weighed=weighed,
        usual=tuple(usual),
        rare=tuple(rare),
        out=tuple(out),
        crosses=tuple(cross for cross, allowed in crosses.items() if allowed),
        crosses_out=tuple(cross for cross, allowed in crosses.items() if not allowed),
    )


def _known(
    taxa: Iterable[Taxon], character: str, rulebook: Rulebook
) -> Iterable[tuple[Taxon, Known]]:
    for taxon in taxa:
        if known := rulebook.known_of(taxon.id, character):
            yield taxon, known


def _is_usual(known: Known, states: tuple[str, ...], character: Character) -> bool:
    return bool(known.measure) or all(
        state == "mixed" or bool(known.states & (character.kinds(state) | {state}))
        for state in states
    )
