"""Shares and their intervals, against published examples and reference libraries."""

from __future__ import annotations

import math

import pytest

from crossproof.audit.intervals import Stratum, stratified, wilson
from crossproof.audit.sampling import allocate, size_for

# Newcombe, R.G. 1998. Two-sided confidence intervals for the single proportion: comparison of
# seven methods. Statistics in Medicine 17: 857-872, table I, method 3.
NEWCOMBE = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0000, 0.1611),
    (1, 29, 0.0061, 0.1718),
]


@pytest.mark.parametrize(("count", "of", "low", "high"), NEWCOMBE)
def test_published_intervals(count: int, of: int, low: float, high: float) -> None:
    found = wilson(count, of)
    assert (round(found.low, 4), round(found.high, 4)) == (low, high)


# statsmodels 0.15, proportion_confint(count, of, method="wilson"), and
# scipy 1.17, binomtest(count, of).proportion_ci(method="wilson"), which agree.
STATSMODELS = [
    (10, 10, 0.7224672001371106, 1.0),
    (1, 1_000_000, 1.7652457674537176e-07, 5.664911804311445e-06),
    (500, 1000, 0.4690696003681042, 0.5309303996318958),
]


@pytest.mark.parametrize(("count", "of", "low", "high"), STATSMODELS)
def test_intervals_as_the_libraries_give_them(count: int, of: int, low: float, high: float) -> None:
    found = wilson(count, of)
    assert (found.low, found.high) == pytest.approx((low, high), rel=1e-9, abs=1e-12)


def test_nothing_is_known_of_a_share_of_nothing() -> None:
    found = wilson(0, 0)
    assert math.isnan(found.share)
    assert (found.low, found.high) == (0, 1)


def test_one_stratum_looked_at_alone_is_a_simple_sample() -> None:
    """Of a large population: v = p q / (n - 1), so the effective size is n - 1."""
    found = stratified([Stratum(10**9, 101, 60)])
    expected = wilson(60 / 101 * 100, 100)
    assert found.share == pytest.approx(60 / 101)
    assert (found.low, found.high) == pytest.approx((expected.low, expected.high), rel=1e-6)


def test_strata_are_weighted_by_their_size() -> None:
    found = stratified([Stratum(900, 10, 10), Stratum(100, 10, 0)])
    assert found.share == pytest.approx(0.9)


def test_intervals_cover_the_truth_about_as_often_as_they_say() -> None:
    """A thousand samples of a known population: the truth is outside in fewer than 8 of 100."""
    import random

    draw = random.Random(7)
    truth = 0.7 * 0.9 + 0.3 * 0.6
    hits = 0
    for _ in range(1000):
        agreed = [sum(draw.random() < p for _ in range(60)) for p in (0.9, 0.6)]
        found = stratified([Stratum(70_000, 60, agreed[0]), Stratum(30_000, 60, agreed[1])])
        hits += found.low <= truth <= found.high
    assert hits >= 920


# Cochran's formula at p = 1/2: 385 for ±5 %, 278 of them in a population of 1000 (Krejcie and
# Morgan 1970, Educational and Psychological Measurement 30: 607-610, table 1).
@pytest.mark.parametrize(
    ("precision", "population", "size"),
    [(0.05, 10**9, 385), (0.05, 1000, 278), (0.05, 10_000, 370), (0.05, 0, 0), (0.01, 10**9, 9604)],
)
def test_sample_sizes(precision: float, population: int, size: int) -> None:
    assert size_for(precision, population) == size


def test_every_stratum_has_some() -> None:
    assert allocate(385, {"upheld": 10, "missing": 100_000, "against": 1_000, "contested": 0}) == {
        "upheld": 10,
        "missing": 382,
        "against": 30,
    }
