"""A stratified random sample that can be drawn in pieces: every record has a number by lot."""

from __future__ import annotations

import heapq
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossproof.audit.counting import STRATA
from crossproof.audit.identity import Numbers, mixed, number_of
from crossproof.audit.intervals import Z

LEAST = 30  # records of each stratum, if it has as many: fewer say nothing of it alone


@dataclass(frozen=True, slots=True)
class Lots:
    """The lots drawn for some rows: which rows may be in the sample, stratum and lot of each."""

    rows: NDArray[np.intp]
    strata: NDArray[np.intp]
    lots: Numbers


def lots(seed: int, file: str, sheet: str, numbers: NDArray[np.int64]) -> Numbers:
    """A random number for each row, which depends on the seed and the row's place alone."""
    start = np.uint64(number_of(f"{seed}\x1f{file}\x1f{sheet}"))
    return mixed(mixed(numbers.astype(np.uint64)) ^ start)


class Lowest:
    """The lowest lots of each stratum so far, so that higher ones need not be kept."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._best: dict[str, list[int]] = {name: [] for name in STRATA}  # heaps, negated

    def add(self, lots: Mapping[str, Sequence[int]]) -> None:
        """Take in the lots of the candidates of one part, by stratum."""
        for name, drawn in lots.items():
            for lot in drawn:
                full = len(self._best[name]) == self._most
                (heapq.heappushpop if full else heapq.heappush)(self._best[name], -lot)

    @property
    def below(self) -> list[int]:
        """For each stratum the lot that a candidate must be lower than."""
        return [-b[0] if len(b) == self._most else _HIGHEST for b in self._best.values()]


_HIGHEST = 2**64 - 1


def candidates(
    strata: NDArray[np.intp], drawn: Numbers, most: int, below: Sequence[int] | None = None
) -> Lots:
    """The `most` rows of each stratum with the lowest lots; only those can be in the sample.

    `below` gives for each stratum a lot that is known to be too high, so that fewer are kept.
    """
    kept: list[NDArray[np.intp]] = []
    for i in range(len(STRATA)):
        rows = np.flatnonzero(strata == i)
        if below is not None:
            rows = rows[drawn[rows] < np.uint64(below[i])]
        if len(rows) > most:
            rows = rows[np.argpartition(drawn[rows], most)[:most]]
        kept.append(rows)
    chosen = np.sort(np.concatenate(kept))
    return Lots(chosen, strata[chosen], drawn[chosen])


def size_for(precision: float, population: int) -> int:
    """How many records a share must be estimated from, to be within ±`precision` in 19 of 20 runs.

    Cochran, Sampling Techniques (3rd edition, 1977), 4.4: n₀ = z² p q / d² with p = 1/2, which is
    the most, corrected for a finite population: n = n₀ / (1 + (n₀ - 1) / N).
    """
    most = Z**2 / 4 / precision**2
    return math.ceil(most / (1 + (most - 1) / population)) if population else 0


def allocate(size: int, population: Mapping[str, int]) -> dict[str, int]:
    """Share a sample out over the strata by their size, `LEAST` of each at least."""
    total = sum(population.values())
    return {
        name: min(count, max(LEAST, math.ceil(size * count / total)))
        for name, count in population.items()
        if count
    }
