"""Find the word that a misspelt or misread token was meant to be, among the words of ours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import combinations
from types import MappingProxyType

from rapidfuzz.distance import OSA

from crossproof.parse.remarks.text.misread import (
    NEIGHBOURS,
    calmed,
    looks,
    misread,
    mistyped,
    slipped,
    sounds,
    swapped,
    undoubled,
)

_DIGITS = str.maketrans("0156|", "olsbl")
_NO_VOWELS = str.maketrans("", "", "aeiouy")

SHORTEST = 4  # below, only what is listed and letters struck twice
SHORTEST_FOR_ONE = 5  # below five letters too many real words are one step apart
SHORTEST_OF_OTHERS = 6  # the same, of words that are not on the list
SHORTEST_FOR_TWO = 9
LONGEST = 20  # no word of ours is longer
_TWICE_MISREAD = 8  # letters of a word in which a scanner may have gone wrong twice
_SHORTEST_SOUND = 4
_REMEMBERED = 200_000


class Mender:
    """Find the word that a misspelt or misread token was meant to be.

    Tried in turn: letters that look the same; one step (a letter missing, extra, wrong or
    swapped, or two that look much the same); two steps in a long word; the same sound. Words on
    the list `mendable` go before all others `known`, and may be shorter. A token equally near to
    two words is left alone, and so are `real` words. `meant` lists what becomes of little words.
    """

    def __init__(
        self,
        mendable: Iterable[str],
        telling: Iterable[str],
        known: Iterable[str],
        real: Iterable[str],
        meant: Mapping[str, Iterable[str]] = MappingProxyType({}),
    ) -> None:
        listed = frozenset(mendable)
        self._real = frozenset(real)
        self._known = frozenset(known)
        self._listed = _Words(listed, SHORTEST_FOR_ONE, deep=True)
        self._others = _Words(
            (word for word in telling if len(word) >= SHORTEST_OF_OTHERS), SHORTEST_OF_OTHERS
        )
        self._by_looks = _by_looks(word for word in self._known if len(word) >= SHORTEST)
        self._little = _Words(meant, LONGEST)
        self._sounds: dict[str, set[str]] = {}
        for word in listed:
            self._sounds.setdefault(sounds(word), set()).add(word)
        self._meant = {written: word for word, several in meant.items() for written in several}
        self._memory = dict(self._meant)
        self.right = set(self._known)  # words that need no mending

    def is_real(self, word: str) -> bool:
        """Whether it is a correct word that only looks like ours, or a little one misspelt."""
        return word in self._real or word in self._meant

    def mend(self, word: str) -> str:
        """Return the word meant, or `word` itself."""
        if word in self.right:
            return word
        found = self._memory.get(word)
        if found is None:
            found = self._mend(word)
            if len(self.right) + len(self._memory) > _REMEMBERED:
                self.right.intersection_update(self._known)
                self._memory = dict(self._meant)
            if found == word:
                self.right.add(word)
            else:
                self._memory[word] = found
        return found

    def _mend(self, word: str) -> str:
        size = len(word)
        if word in self._real or not 2 < size <= LONGEST or word.isdigit():
            return word
        if sum(c.isdigit() for c in word) > size // 2:
            return word
        if drawn := set(calmed(word)) & self._known:
            return min(drawn, key=len)
        if size < SHORTEST:
            return self._listed.one(misread_as(word)) or word
        if little := self._little.one(undoubled(word)) or self._little.one(slipped(word)):
            return little
        if size == SHORTEST and (little := self._little.one_step(word)):
            return little
        seen = looks(word)
        if meant := self._listed.by_looks.get(seen) or self._by_looks.get(seen):
            return meant
        for words in (self._listed, self._others):
            if meant := words.one_step(word):
                return meant
        return self._listed.two_steps(word) or self._heard(word) or word

    def _heard(self, word: str) -> str:
        """`skwash`, `lieves`: the one word that sounds so."""
        heard = sounds(word)
        close = self._sounds.get(heard, ()) if len(heard) >= _SHORTEST_SOUND else ()
        return next(iter(close)) if len(close) == 1 else ""


class _Words:
    """Words, found by what they look like and by what is left when a letter is gone."""

    def __init__(self, words: Iterable[str], shortest: int, *, deep: bool = False) -> None:
        self._all = frozenset(words)
        self._shortest = shortest
        self._deep = deep
        self.by_looks = _by_looks(word for word in self._all if len(word) >= SHORTEST)
        self._near: dict[str, list[str]] = {}
        for word in sorted(self._all):
            if len(word) >= shortest:
                for shorter in _shortened(word, deep=deep):
                    self._near.setdefault(shorter, []).append(word)

    def one(self, forms: Iterable[str]) -> str:
        """The one word among `forms` that is there, or nothing."""
        close = {form for form in forms if form in self._all}
        return close.pop() if len(close) == 1 else ""

    def one_step(self, word: str) -> str:
        """`wiht`, `stemm`, `bollow`, `spottd`: the likeliest word one mistake away, or nothing."""
        for forms in (undoubled(word), swapped(word), slipped(word)):
            if meant := self.one(forms):
                return meant
        seen = {w for form in misread(looks(word)) if (w := self.by_looks.get(form))}
        if seen:
            return seen.pop() if len(seen) == 1 else ""
        letters = word.translate(_DIGITS)
        if not letters.isalpha():
            return ""
        if len(letters) < SHORTEST_FOR_ONE:
            return self.one(mistyped(letters)) if self._deep else ""
        return self._nearest(letters, 1)

    def two_steps(self, word: str) -> str:
        """`rnaiked`, `unsppoted`: the word two mistakes away, where it is long."""
        if len(word) >= _TWICE_MISREAD:
            once = set(misread(looks(word)))
            seen = {w for form in once for f in misread(form) if (w := self.by_looks.get(f))}
            if len(seen) == 1:
                return seen.pop()
        return self._nearest(word, 2) if len(word) >= SHORTEST_FOR_TWO else ""

    def _nearest(self, word: str, limit: int) -> str:
        shortened = _shortened(word, deep=self._deep)
        candidates = {w for shorter in shortened for w in self._near.get(shorter, ())}
        ranked = sorted(
            (distance, _unlikely(word, candidate), candidate)
            for candidate in candidates
            if len(word) >= SHORTEST_FOR_TWO or _begins_alike(word, candidate)
            if (distance := OSA.distance(word, candidate, score_cutoff=limit)) <= limit
        )
        best = [candidate for *rank, candidate in ranked if rank == [*ranked[0][:2]]]
        return best[0] if len(best) == 1 else ""


def misread_as(word: str) -> list[str]:
    """What a short word may have been before a figure stood for a letter: `1ip`, `0ne`."""
    letters = word.translate(_DIGITS)
    return [] if letters == word else [letters, letters.replace("l", "i")]


def _begins_alike(word: str, other: str) -> bool:
    """The first letter is that of `other`, beside it on the keyboard, or missing."""
    first, meant = word[0], other[0]
    return first == meant or other[1] == first or meant in NEIGHBOURS.get(first, "")


def _unlikely(word: str, other: str) -> int:
    """Of words one step away, a lost vowel is likeliest (`ringd`), then a letter lost or moved."""
    if len(word) == len(other):
        return 1 if sorted(word) == sorted(other) else 2
    if len(word) > len(other):
        return 1
    return 0 if word.translate(_NO_VOWELS) == other.translate(_NO_VOWELS) else 1


def _by_looks(words: Iterable[str]) -> dict[str, str]:
    """The words by what they look like; nothing where two look the same."""
    found: dict[str, str] = {}
    for word in sorted(words):
        if word.isalpha():
            seen = looks(word)
            found[seen] = "" if seen in found else word
    return found


def _shortened(word: str, *, deep: bool) -> set[str]:
    """The word, and the word with one letter gone (two, where it is long)."""
    most = 2 if deep and len(word) >= SHORTEST_FOR_TWO else 1
    return {
        "".join(c for i, c in enumerate(word) if i not in gone)
        for depth in range(most + 1)
        for gone in combinations(range(len(word)), depth)
    }
