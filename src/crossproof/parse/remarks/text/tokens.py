"""Cut a remark into tokens that know their place, and mend what typing and scanning did to them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import combinations

from rapidfuzz.distance import OSA

# A word (apostrophes inside, digits allowed: OCR reads `so1id`) or one other character.
_TOKEN = re.compile(r"[^\W_]+(?:'[^\W_]+)*|[\n\r]|[^\w\s]|_")
_QUOTES = str.maketrans({"’": "'", "‘": "'", "ʼ": "'", "`": "'", "“": '"', "”": '"'})
_DIGITS = str.maketrans("0156|", "olsbl")
# What a scanner takes for each other: pairs of letters first, then single ones.
_JOINED = (("rn", "m"), ("vv", "w"), ("cl", "d"))
_ALIKE = str.maketrans("i1|c0v5j", "llleousl")
_SCANS = (("ii", "n"),)

_SUSPENDS = frozenset({"and", "or", "&", "to"})

SHORTEST_FOR_ONE = 5  # below five letters too many real words are one step apart
SHORTEST_FOR_TWO = 9
LONGEST = 20  # no word of ours is longer
_REMEMBERED = 200_000

Span = tuple[str, int, int]


def spans(text: str) -> list[Span]:
    """Return (lower-case word, start, end) for each token; offsets are those of `text`."""
    same_length = text.translate(_QUOTES) if not text.isascii() or "`" in text else text
    lower = same_length.lower()
    if len(lower) == len(text):
        return [(m.group(), m.start(), m.end()) for m in _TOKEN.finditer(lower)]
    return [(m.group().lower(), m.start(), m.end()) for m in _TOKEN.finditer(same_length)]


def words(phrase: str) -> tuple[str, ...]:
    """The tokens of a phrase from a vocabulary: a hyphen inside a word counts as a space."""
    if phrase.isascii() and phrase.replace(" ", "").isalnum():
        return tuple(phrase.lower().split())
    return _cut(phrase)


@cache
def _cut(phrase: str) -> tuple[str, ...]:
    """Remembered, since the vocabularies of all rulebooks share most phrases."""
    return tuple(word for word, _, _ in joined(spans(phrase)))


def joined(tokens: list[Span]) -> Iterator[Span]:
    """Leave out hyphens that join two words: without spaces, or `ring- and plain-leaved`."""
    for i, token in enumerate(tokens):
        word, start, end = token
        if word in "-‐‑" and 0 < i < len(tokens) - 1:
            before, after = tokens[i - 1], tokens[i + 1]
            joins = after[1] == end or after[0] in _SUSPENDS
            if joins and before[2] == start and before[0][-1].isalnum():
                continue
        yield token


class Mender:
    """Find the word of a short closed list that a misspelt or misread token was meant to be.

    Only long tokens are mended: one step (a letter missing, extra, wrong or swapped) from five
    letters on, two from nine. A token equally near to two words is left alone, and so are `real`
    words. Letters that a scanner misread are mended to any word `known`.
    """

    def __init__(self, mendable: Iterable[str], known: Iterable[str], real: Iterable[str]) -> None:
        self._known = frozenset(known)
        self._real = frozenset(real)
        self._looks: dict[str, str] = {}
        for word in sorted(self._known):
            if len(word) > 3 and word.isalpha():
                looks = _looks(word)
                self._looks[looks] = "" if looks in self._looks else word
        self._near: dict[str, set[str]] = {}
        for word in mendable:
            for shorter in _shortened(word):
                self._near.setdefault(shorter, set()).add(word)
        self._memory: dict[str, str] = {}

    def mend(self, word: str) -> str:
        """Return the word meant, or `word` itself."""
        found = self._memory.get(word)
        if found is None:
            if len(self._memory) > _REMEMBERED:
                self._memory.clear()
            found = self._memory[word] = self._mend(word)
        return found

    def _mend(self, word: str) -> str:
        if word in self._real or not 4 <= len(word) <= LONGEST:
            return word
        if scanned := self._looks.get(_looks(word)):
            return scanned
        if not word.isalpha():
            return self._rescan(word)
        for misread, meant in _SCANS:
            if misread in word and (fixed := word.replace(misread, meant)) in self._known:
                return fixed
        return self._nearest(word) if len(word) >= SHORTEST_FOR_ONE else word

    def _rescan(self, word: str) -> str:
        if word.isdigit() or sum(c.isdigit() for c in word) > len(word) // 2:
            return word
        letters = word.translate(_DIGITS)
        if letters in self._known:
            return letters
        return self._nearest(letters) if letters.isalpha() and len(letters) >= 6 else word

    def _nearest(self, word: str) -> str:
        candidates = {w for shorter in _shortened(word) for w in self._near.get(shorter, ())}
        limit = 2 if len(word) >= SHORTEST_FOR_TWO else 1
        ranked = sorted(
            (distance, candidate)
            for candidate in candidates
            if candidate[0] == word[0] or len(word) >= SHORTEST_FOR_TWO or candidate[1] == word[0]
            if (distance := OSA.distance(word, candidate, score_cutoff=limit)) <= limit
        )
        best = [candidate for distance, candidate in ranked if distance == ranked[0][0]]
        return best[0] if len(best) == 1 else word


def _looks(word: str) -> str:
    """The word with all letters that a scanner mixes up made one: `hoIIow` looks like `hollow`."""
    for misread, meant in _JOINED:
        word = word.replace(misread, meant)
    return word.translate(_ALIKE)


def _shortened(word: str) -> set[str]:
    """The word, and the word with one letter gone (two, where it is long)."""
    deep = 2 if len(word) >= SHORTEST_FOR_TWO else 1
    return {
        "".join(c for i, c in enumerate(word) if i not in gone)
        for depth in range(deep + 1)
        for gone in combinations(range(len(word)), depth)
    }
