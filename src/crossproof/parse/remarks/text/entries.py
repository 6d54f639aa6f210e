"""What becomes of the meanings of a phrase where several lists have it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.unknown import by_ending
from crossproof.parse.remarks.text.vocabulary import Entry, Meaning

Tokens = tuple[str, ...]
_LOOKED_AT: Final = frozenset({"what", "type", "kind", "sort"})  # by these words themselves
_REACHES: Final = frozenset({"in", "at", "near", "towards", "for"})  # `mostly at`: a part follows
_SPREADS: Final = frozenset({"across", "on", "in"})  # `spots across`: the organ follows
_PLANT: Final = v.SPECIES | v.OTHER
_NO_OWNER: Final = v.STATE | v.ORGAN | v.OWN
_YIELDING: Final = frozenset({"beside", "short"})  # roles that a state found before is worth more


@dataclass(frozen=True, slots=True)
class Entries:
    """Makes the entries of phrases.

    `faint`: words for what hardly shows; `others`: for plants of the same kind; `parts`:
    characters, each with the one whose part or side it is.
    """

    faint: frozenset[str]
    others: frozenset[str]
    parts: Mapping[str, str]
    describing: dict[int, Entry] = field(default_factory=dict)

    def __call__(self, before: Tokens, meanings: Mapping[str, list[Meaning]]) -> dict[str, Entry]:
        """The entries of phrases that differ in their last words, possessives of plants added."""
        found = {word: self._met((*before, word), several) for word, several in meanings.items()}
        _add_possessives(before, found)
        return {word: self._finished((*before, word), entry) for word, entry in found.items()}

    def _met(self, tokens: Tokens, meanings: Iterable[Meaning]) -> Entry:
        entry = Entry(text=" ".join(tokens))
        for meaning in meanings:
            if not (meaning.kinds & v.LABEL and meaning.character and entry.organs):
                _take(entry, meaning, tokens[-1])
        for part, whole in self.parts.items():
            if whole in entry.organs:
                entry.organs |= {part}
        return entry

    def _finished(self, tokens: Tokens, entry: Entry) -> Entry:
        if entry.kinds & v.STATE and len(tokens) > 1:
            entry.kinds |= self._hidden(tokens)
        if entry.topic and not entry.kinds:  # a word like any that we don't know
            entry.kinds = by_ending(tokens[-1]).kinds
            if entry.topic == v.DESCRIBES and entry.text not in _LOOKED_AT:
                # one entry for all, so that a run of words read before is known again
                shared = Entry(entry.kinds, topic=v.DESCRIBES)
                return self.describing.setdefault(entry.kinds, shared)
        return entry

    def _hidden(self, tokens: Tokens) -> int:
        """The kinds of the first words of a phrase, which it would otherwise hide."""
        others = any(" ".join(tokens[:n]) in self.others for n in range(1, len(tokens)))
        return (v.FAINT if tokens[0] in self.faint else 0) | (v.COUNT if others else 0)


def _take(entry: Entry, meaning: Meaning, last: str) -> None:
    character, sense = meaning.character, meaning.sense
    reaches = last in _SPREADS if sense else meaning.kinds == v.AFTER and last in _REACHES
    entry.kinds |= meaning.kinds | (v.ON if reaches else 0)
    entry.topic |= meaning.topic
    if sense is None:
        entry.organs |= {character} if character else frozenset()
    elif character not in entry.senses or sense.role not in _YIELDING:
        entry.senses[character] = sense


def _add_possessives(before: Tokens, found: dict[str, Entry]) -> None:
    """`the hogweed's`, `the mother plant's`: whatever names another plant may own a part."""
    for word, entry in tuple(found.items()):
        if entry.kinds & _PLANT and not entry.kinds & _NO_OWNER and may_own(word):
            owner = f"{word}'s"
            owning = found.setdefault(owner, Entry(text=" ".join((*before, owner))))
            owning.kinds |= entry.kinds & _PLANT


def may_own(word: str) -> bool:
    """Whether a possessive may be made of a word."""
    return word[-1].isalpha() and "'" not in word
