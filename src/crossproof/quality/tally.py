"""What a whole set of records comes to: how often each test gave each answer, and the measures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from . import response as said
from .registry import Declaration

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# The answers counted, in the order the tables and the page show them.
ANSWERS = (
    said.COMPLIANT,
    said.NOT_COMPLIANT,
    said.POTENTIAL_ISSUE,
    said.NOT_ISSUE,
    said.AMENDED,
    said.FILLED_IN,
    said.NOT_AMENDED,
    said.INTERNAL_PREREQUISITES_NOT_MET,
    said.EXTERNAL_PREREQUISITES_NOT_MET,
)


def answer_of(response: said.Response) -> str:
    """Return what is counted of a response: the result of a verdict, else the status."""
    verdict = response.status == said.RUN_HAS_RESULT and response.result in ANSWERS
    return response.result if verdict else response.status


@dataclass(slots=True)
class Tally:
    """How often one test gave each answer; for a measure, the sum and range of its results."""

    declaration: Declaration
    answers: dict[str, int] = field(default_factory=dict)
    measured: int = 0
    total: int = 0
    least: int | None = None
    most: int | None = None

    def add(self, answers: Mapping[str, int]) -> None:
        for name, times in answers.items():
            self.answers[name] = self.answers.get(name, 0) + times

    def add_measures(self, values: NDArray[np.int64]) -> None:
        """Take in the results of a measure over some records."""
        if not len(values):
            return
        self.measured += len(values)
        self.total += int(values.sum())
        low, high = int(values.min()), int(values.max())
        self.least = low if self.least is None else min(self.least, low)
        self.most = high if self.most is None else max(self.most, high)

    def __getitem__(self, name: str) -> int:
        return self.answers.get(name, 0)

    @property
    def judged(self) -> int:
        """How many records the test could judge."""
        return self[said.COMPLIANT] + self[said.NOT_COMPLIANT]

    @property
    def share(self) -> float | None:
        """The part of the judged records that comply, None where none was judged."""
        return self[said.COMPLIANT] / self.judged if self.judged else None

    @property
    def complete(self) -> bool:
        """Whether no record of the set fails to comply: quality assurance over many records."""
        return self.judged > 0 and self[said.NOT_COMPLIANT] == 0

    @property
    def mean(self) -> float | None:
        return self.total / self.measured if self.measured else None
