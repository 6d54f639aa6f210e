"""Intervals for shares: Wilson's, and the same for a stratified sample."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Z = 1.959963984540054  # the 97.5 % point of the normal distribution, for intervals of 95 %


@dataclass(frozen=True, slots=True)
class Share:
    """A share and its interval, from 0 to 1; `of` is what it is a share of, `count` how many."""

    count: float
    of: float
    share: float
    low: float
    high: float


def wilson(count: float, of: float, z: float = Z) -> Share:
    """A share with Wilson's score interval, of 95 % unless another `z` is given.

    Wilson, E.B. 1927. Probable inference, the law of succession, and statistical inference.
    Journal of the American Statistical Association 22: 209-212. Nothing is known of a share of
    nothing: 0 to 1.
    """
    if of <= 0:
        return Share(count, of, math.nan, 0.0, 1.0)
    p = count / of
    middle = p + z * z / (2 * of)
    reach = z * math.sqrt(p * (1 - p) / of + z * z / (4 * of * of))
    below, above = (middle - reach), (middle + reach)
    whole = 1 + z * z / of
    low = 0.0 if count <= 0 else max(below / whole, 0.0)
    high = 1.0 if count >= of else min(above / whole, 1.0)
    return Share(count, of, p, low, high)


@dataclass(frozen=True, slots=True)
class Stratum:
    """How many records a stratum has, how many of them were looked at, and how many agreed."""

    population: int
    looked_at: int
    agreed: int


def stratified(strata: Sequence[Stratum], z: float = Z) -> Share:
    """A share over a stratified sample, each stratum weighted by its part of the population.

    Estimate and variance by Cochran, Sampling Techniques (3rd edition, 1977), 5.3 and 5.A; the
    interval is Wilson's with the effective sample size p q / v, as Kott and Carr 1997 (Journal of
    Official Statistics 13: 1-9) give it, and as many records as the weights make of them where
    every one agrees, or none. Strata nobody looked at are left out.
    """
    seen = [s for s in strata if s.looked_at and s.population]
    total = sum(s.population for s in seen)
    if not total:
        return wilson(0, 0, z)
    weights = [s.population / total for s in seen]
    p = sum(w * s.agreed / s.looked_at for w, s in zip(weights, seen, strict=True))
    variance = sum(
        w * w * (1 - s.looked_at / s.population) * q * (1 - q) / (s.looked_at - 1)
        for w, s in zip(weights, seen, strict=True)
        if s.looked_at > 1 and (q := s.agreed / s.looked_at) is not None
    )
    by_weight = 1 / sum(w * w / s.looked_at for w, s in zip(weights, seen, strict=True))
    effective = p * (1 - p) / variance if variance > 0 else by_weight
    found = wilson(p * effective, effective, z)
    return Share(
        sum(s.agreed for s in seen), sum(s.looked_at for s in seen), p, found.low, found.high
    )
