"""Remember what a run of telling words said, so that remarks alike in them are read once.

Two remarks whose items are the same entries in the same arrangement say the same, whatever the
unknown words between. What is kept names items by their place in the run and holds no text.
"""

from __future__ import annotations

from typing import NamedTuple

from crossproof.model import Evidence, Weight
from crossproof.parse.remarks.states.mentions import mentions
from crossproof.parse.remarks.states.resolve import evidence
from crossproof.parse.remarks.text.item import Item
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_REMEMBERED = 50_000
_LONGEST = 60  # items: longer runs hardly come twice

States = tuple[tuple[Evidence, ...], tuple[str, ...]]


class _Said(NamedTuple):
    """Evidence by the first and last item of its words."""

    character: str
    state: str
    weight: Weight
    first: int
    last: int


class StateReader:
    """Reads items for states, with a memory of the runs it has read."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary
        self._memory: dict[tuple[int, ...], tuple[tuple[_Said, ...], tuple[str, ...]]] = {}

    def read(self, text: str, items: list[Item]) -> States:
        """Return the evidence for each state, and the characters that nobody examined."""
        if not items or len(items) > _LONGEST:
            return self._read(text, items)
        run = _run(items)
        kept = self._memory.get(run)
        if kept is None:
            given, unexamined = self._read(text, items)
            starts = {item.start: k for k, item in enumerate(items)}
            ends = {item.end: k for k, item in enumerate(items)}
            if all(e.start in starts and e.end in ends for e in given):
                if len(self._memory) >= _REMEMBERED:
                    self._memory.clear()
                said = tuple(
                    _Said(e.character, e.state, e.weight, starts[e.start], ends[e.end])
                    for e in given
                )
                self._memory[run] = said, unexamined
            return given, unexamined
        said, unexamined = kept
        return tuple([_again(text, items, s) for s in said]), unexamined

    def _read(self, text: str, items: list[Item]) -> States:
        said, unexamined = mentions(items, self._vocabulary)
        if not said:
            return (), unexamined
        return evidence(text, items, said, self._vocabulary.scales), unexamined


def _run(items: list[Item]) -> tuple[int, ...]:
    """All that the reading of states looks at, but for where in the text it stands."""
    phrase, sentence = items[0].phrase, items[0].sentence
    run: list[int] = []
    for item in items:
        length = item.end - item.start
        run += (
            id(item.entry),
            item.kinds,
            item.phrase - phrase,
            item.sentence - sentence,
            item.lead,
            item.value,
            (item.hyphened << 4)
            + (item.quoted << 3)
            + (item.prefix << 2)
            + (item.soft << 1)
            + item.counted,
            length if length < 4 else 4,
        )
    return tuple(run)


def _again(text: str, items: list[Item], said: _Said) -> Evidence:
    start, end = items[said.first].start, items[said.last].end
    return Evidence(said.character, said.state, "remark", text[start:end], start, end, said.weight)
