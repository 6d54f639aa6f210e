"""What a remark tells of the plant's characters, from its first sentence that may matter on.

Recorders put what they saw in few phrases, behind places, days and names that are never alike: what
was read of a phrase before is known again behind any of these.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from operator import itemgetter

from crossproof.model import Evidence
from crossproof.parse.remarks.plants.asides import without_asides
from crossproof.parse.remarks.states.known import StateReader
from crossproof.parse.remarks.text.brackets import opened
from crossproof.parse.remarks.text.item import Item, all_kinds
from crossproof.parse.remarks.text.items import first_mattering, items
from crossproof.parse.remarks.text.tokens import Span, holds_any
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_REMEMBERED = 5_000  # some four megabytes
_LONGEST = 400  # characters: longer ends hardly come twice
_QUOTES = ("'", '"', "‘", "“")  # what they open may close further on
_word = itemgetter(0)


@dataclass(frozen=True, slots=True)
class Told:
    """The evidence, the characters that nobody examined, and all that any of the items may be."""

    evidence: tuple[Evidence, ...] = ()
    not_examined: tuple[str, ...] = ()
    kinds: int = 0


NOTHING = Told()


class Teller:
    """Tells what remarks say, with a memory of how some of them ended."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary
        self._states = StateReader(vocabulary)
        self._ends: dict[str, tuple[int, Told]] = {}

    def items(self, text: str, tokens: list[Span], begins: int | None = None) -> list[Item]:
        """The items of a remark, without what is only said in passing; `begins` as for `items`."""
        return without_asides(opened(items(text, self._vocabulary, tokens, begins)))

    def of_items(self, text: str, found: list[Item]) -> Told:
        """What items tell; the evidence has its words from `text`."""
        return Told(*self._states.read(text, found), all_kinds(found))

    def of(self, text: str, read_from: str, tokens: list[Span]) -> Told:
        """What `text` tells; `read_from` is as long, `tokens` are its own."""
        first = first_mattering(tokens, self._vocabulary)
        if first == len(tokens):
            return NOTHING
        start = tokens[first][1]
        if not first or len(text) - start > _LONGEST or holds_any(text[:start], _QUOTES):
            return self.of_items(text, self.items(read_from, tokens, first))
        words = " ".join(map(_word, tokens[first:]))  # mended, perhaps by what stands before
        end = f"{read_from[start - 1 :]}\n{words}"
        if kept := self._ends.get(end):
            at, told = kept
            return _again(text, told, start - at)
        told = self.of_items(text, self.items(read_from, tokens, first))
        if len(self._ends) >= _REMEMBERED:
            self._ends.clear()
        self._ends[end] = start, told
        return told


def _again(text: str, told: Told, further: int) -> Told:
    """The same, `further` on in another text."""
    return replace(told, evidence=tuple([_moved(text, e, further) for e in told.evidence]))


def _moved(text: str, e: Evidence, further: int) -> Evidence:
    start, end = e.start + further, e.end + further
    return Evidence(e.character, e.state, e.source, text[start:end], start, end, e.weight)
