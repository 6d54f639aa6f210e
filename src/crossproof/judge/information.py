"""What one more observation would tell: its expected information, in bits."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import log2

from crossproof.rulebooks.model import Character, Known, Rulebook

# How often a taxon shows a state that the rulebook calls rare, against one of its usual states,
# where the rulebook gives no shares. A guess.
RARE = 0.1

Shares = Mapping[str, Mapping[str, float]]  # taxon → state → share, each row summing to one


@dataclass(frozen=True, slots=True)
class Gain:
    """What looking at one character is expected to tell, in bits.

    `assumed`: the rulebook gives no shares for it, so they were taken from the states known.
    """

    character: str
    bits: float
    assumed: bool = False


def entropy(chances: Iterable[float]) -> float:
    """The uncertainty of a distribution, in bits (Shannon 1948)."""
    return -sum(p * log2(p) for p in chances if p > 0)


def expected_gain(belief: Mapping[str, float], shares: Shares) -> float:
    """The mutual information of taxon and state, in bits: how much looking is expected to tell.

    It is the divergence of each taxon's states from what is predicted over all, weighted by belief
    (Cover & Thomas, Elements of Information Theory, 2.4). A taxon without shares is taken to show
    what is predicted over the others, so that looking says nothing for or against it.

    Args:
        belief: taxon → probability, summing to one.
        shares: taxon → state → share.
    """
    known = {taxon: p for taxon, p in belief.items() if p > 0 and taxon in shares}
    total = sum(known.values())
    if not total:
        return 0.0
    predicted: dict[str, float] = {}
    for taxon, p in known.items():
        for state, share in shares[taxon].items():
            predicted[state] = predicted.get(state, 0.0) + p / total * share
    gain = sum(
        p * share * log2(share / predicted[state])
        for taxon, p in known.items()
        for state, share in shares[taxon].items()
        if share > 0 and predicted[state] > 0  # a share may be too small to be predicted at all
    )
    return max(gain, 0.0)  # rounding may leave a hair below nothing


def gains(
    belief: Mapping[str, float], looked_at: Collection[str], rulebook: Rulebook, sex: str = ""
) -> tuple[Gain, ...]:
    """What each character not yet looked at is expected to tell, the most telling first.

    Characters that would tell nothing are left out.
    """
    found = []
    for character in rulebook.ordered_characters:
        if character.id in looked_at or (character.sex and sex and character.sex != sex):
            continue
        given = rulebook.frequencies.get(character.id)
        shares = _normal(given) if given else assumed_shares(character, belief, rulebook)
        bits = expected_gain(belief, shares)
        if bits > 1e-9:
            found.append(Gain(character.id, bits, assumed=not given))
    return tuple(sorted(found, key=lambda gain: -gain.bits))


def assumed_shares(character: Character, taxa: Iterable[str], rulebook: Rulebook) -> Shares:
    """Shares where the rulebook gives none: a taxon's usual states are taken as equally common,
    its rare ones as a tenth of that, and a measurement as even over its range."""
    known = {
        taxon: entry
        for taxon in taxa
        if taxon in rulebook.taxa and (entry := rulebook.known_of(taxon, character.id))
    }
    rows = _ranges(known) if character.is_measured else _states(character, known)
    return _normal(rows)


def _states(character: Character, known: Mapping[str, Known]) -> dict[str, dict[str, float]]:
    rows = {}
    for taxon, entry in known.items():
        usual = _kinds(character, entry.states)
        rare = _kinds(character, entry.rare) - usual
        rows[taxon] = dict.fromkeys(sorted(usual), 1.0) | dict.fromkeys(sorted(rare), RARE)
    return rows


def _kinds(character: Character, states: Iterable[str]) -> frozenset[str]:
    return frozenset(kind for s in states for kind in character.kinds(s)) - {"mixed"}


def _ranges(known: Mapping[str, Known]) -> dict[str, dict[str, float]]:
    """Each taxon's range cut at every bound of the others; the share of a piece is its length."""
    measures = {taxon: entry.measure for taxon, entry in known.items() if entry.measure}
    cuts = sorted({end for measure in measures.values() for end in measure})
    return {
        taxon: {
            f"{a:g}-{b:g}": b - a for a, b in pairwise(cuts) if measure[0] <= a and b <= measure[1]
        }
        for taxon, measure in measures.items()
    }


def _normal(rows: Shares) -> Shares:
    """Rows that sum to one; a row of nothing is left out."""
    return {
        taxon: {state: share / total for state, share in row.items()}
        for taxon, row in rows.items()
        if (total := sum(row.values())) > 0
    }
