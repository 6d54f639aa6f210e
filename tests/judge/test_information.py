"""Expected information: by arrays in NumPy, and by playing every answer through."""

from __future__ import annotations

from math import log2

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.judge.information import assumed_shares, entropy, expected_gain, gains
from crossproof.judge.posterior import posterior
from crossproof.rulebooks.load import shipped, shipped_rulebook

ORCHIDS = shipped_rulebook("dactylorhiza")
OAKS = shipped_rulebook("quercus")


def by_numpy(p: np.ndarray) -> float:
    """Shannon's entropy in bits over an array; 0 log 0 is 0."""
    kept = p[p > 0]
    return float(-(kept * np.log2(kept)).sum())


chances = st.lists(st.floats(0.001, 1), min_size=2, max_size=5).map(
    lambda values: [value / sum(values) for value in values]
)


@given(chances)
def test_entropy_is_that_of_arrays(p: list[float]) -> None:
    assert entropy(p) == pytest.approx(by_numpy(np.array(p)), abs=1e-9)


@pytest.mark.parametrize(("p", "bits"), [([0.5, 0.5], 1), ([0.25] * 4, 2), ([1.0, 0.0], 0)])
def test_entropy_of_coins(p: list[float], bits: float) -> None:
    # Shannon 1948, A mathematical theory of communication: n equal choices hold log2 n bits.
    assert entropy(p) == pytest.approx(bits)


@st.composite
def situations(draw: st.DrawFn) -> tuple[dict[str, float], dict[str, dict[str, float]]]:
    prior = draw(chances)
    width = draw(st.integers(2, 4))
    rows = st.lists(st.floats(0, 1), min_size=width, max_size=width).filter(lambda r: sum(r) > 0.1)
    table = [draw(rows) for _ in prior]
    shares = {
        f"t{k}": {f"s{j}": x / sum(row) for j, x in enumerate(row)} for k, row in enumerate(table)
    }
    return {f"t{k}": p for k, p in enumerate(prior)}, shares


@given(situations())
def test_the_gain_is_what_every_answer_would_tell(
    situation: tuple[dict[str, float], dict[str, dict[str, float]]],
) -> None:
    """Brute force: for each state, Bayes' rule by NumPy and the entropy left over."""
    belief, shares = situation
    p = np.array(list(belief.values()))
    table = np.array([list(shares[taxon].values()) for taxon in belief])
    left = 0.0
    for column in table.T:
        joint = p * column
        if joint.sum() > 0:
            left += joint.sum() * by_numpy(joint / joint.sum())
    expected = by_numpy(p) - left
    assert expected_gain(belief, shares) == pytest.approx(expected, abs=1e-9)


@given(situations())
def test_the_gain_lies_between_nothing_and_what_is_open(
    situation: tuple[dict[str, float], dict[str, dict[str, float]]],
) -> None:
    belief, shares = situation
    gain = expected_gain(belief, shares)
    states = len(next(iter(shares.values())))
    assert -1e-12 <= gain <= min(entropy(belief.values()), log2(states)) + 1e-9


def test_a_taxon_without_shares_is_neither_helped_nor_harmed() -> None:
    shares = {"a": {"x": 1.0, "y": 0.0}, "b": {"x": 0.0, "y": 1.0}}
    belief = {"a": 0.25, "b": 0.25, "c": 0.5}
    # The same with the row that c is taken to have written out: half x, half y.
    assert expected_gain(belief, shares) == pytest.approx(0.5)
    written = {**shares, "c": {"x": 0.5, "y": 0.5}}
    assert expected_gain(belief, written) == pytest.approx(0.5)


def test_nothing_is_gained_where_nothing_is_open() -> None:
    assert expected_gain({"a": 1.0}, {"a": {"x": 0.5, "y": 0.5}}) == 0
    assert expected_gain({"a": 1.0}, {}) == 0


def test_the_stem_settles_most_between_ring_marked_leopard_and_hybrid() -> None:
    # Ring marks with a partly hollow stem do better than with a hollow one (a guess from memory):
    # so with rings on the leaf the squeeze is what the rulebook's own shares ask for first.
    prior = ORCHIDS.priors["lowland"]
    after = posterior(prior, {"leaf": ("ring_spots",)}, ORCHIDS)
    shares = ORCHIDS.frequencies["stem"]
    found = {g.character: g for g in gains(after, {"leaf"}, ORCHIDS)}
    p = np.array([after[t] for t in after])
    table = np.array([list(shares[t].values()) for t in after])
    joint = p[:, None] * (table / table.sum(axis=1, keepdims=True))
    mutual = by_numpy(p) + by_numpy(joint.sum(axis=0)) - by_numpy(joint.ravel())
    assert found["stem"].bits == pytest.approx(mutual, abs=1e-9)
    assert not found["stem"].assumed


def test_what_was_looked_at_is_not_asked_for_again() -> None:
    after = posterior(ORCHIDS.priors["lowland"], {"leaf": ("unmarked",)}, ORCHIDS)
    assert "leaf" not in {gain.character for gain in gains(after, {"leaf"}, ORCHIDS)}


def test_the_most_telling_comes_first() -> None:
    for book in shipped():
        taxa = [taxon.id for taxon in book.taxa.values() if taxon.rank == "species"]
        bits = [g.bits for g in gains({taxon: 1 / len(taxa) for taxon in taxa}, (), book)]
        assert bits == sorted(bits, reverse=True)
        assert bits, book.id


def test_a_character_of_the_other_sex_is_not_asked_for() -> None:
    campions = shipped_rulebook("silene")
    taxa = {"dioica": 0.5, "latifolia": 0.5}
    limited = {c.id for c in campions.characters.values() if c.sex == "female"}
    assert limited
    assert limited & {g.character for g in gains(taxa, (), campions)}
    assert not limited & {g.character for g in gains(taxa, (), campions, sex="male")}


def test_ranges_are_cut_at_each_other_s_ends() -> None:
    rows = assumed_shares(OAKS.characters["petiole"], ("robur", "petraea", "rosacea"), OAKS)
    for taxon, row in rows.items():
        low, high = OAKS.known_of(taxon, "petiole").measure  # type: ignore[union-attr, misc]
        assert sum(row.values()) == pytest.approx(1)
        for piece, share in row.items():
            a, b = map(float, piece.split("-"))
            assert low <= a < b <= high
            assert share == pytest.approx((b - a) / (high - low))
