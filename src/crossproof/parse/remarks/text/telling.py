"""Words by which to see at once that a text holds none of many phrases."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from crossproof.parse.remarks.text.phrasebook import Pattern, Tokens

# Words of most remarks, which tell little by standing in one.
_EVERYDAY: Final = frozenset(
    {
        "a", "the", "on", "in", "at", "to", "of", "it", "its", "his", "her", "our", "their",
        "so", "or", "if", "too", "be", "is", "are", "was", "were", "been", "has", "had", ".",
    }
)  # fmt: skip
_BEST: Final = (True, 99)  # no word is needed where all that may stand there are known


def telling_words(
    lines: Iterable[tuple[Pattern, int]], words: Mapping[str, int], kinds: int
) -> frozenset[str]:
    """Words such that a text without any of them holds no phrase of `kinds`, and few others do.

    `lines` are patterns, `words` the phrases of one word, each with what it may be. Of each longer
    phrase without any of these words it is the longest word: of those in one place of a pattern,
    where the shortest such word is longer than elsewhere.
    """
    alone = frozenset(word for word, own in words.items() if own & kinds)
    found = set(alone)
    known: dict[int, frozenset[str]] = {}  # by place: most patterns are made of the same few
    for pattern in (pattern for pattern, own in lines if own & kinds):
        if len(pattern) == 1:
            found |= _told(pattern[0], alone)
            continue
        certain = [place for place in pattern if () not in place]
        told = []
        for place in certain or pattern:
            at = id(place)
            if at not in known:
                known[at] = _told(place, alone)
            told.append(known[at])
        if certain:
            told = [max(told, key=_least_telling)]
        found.update(*told)
    return frozenset(found)


def _told(place: tuple[Tokens, ...], alone: frozenset[str]) -> frozenset[str]:
    """The longest word of each choice for a place that has none of the words `alone`."""
    choices = (tokens for tokens in place if alone.isdisjoint(tokens) and tokens)
    return frozenset(max(reversed(tokens), key=_most_telling) for tokens in choices)


def _least_telling(several: frozenset[str]) -> tuple[bool, int]:
    return min(map(_most_telling, several), default=_BEST)


def _most_telling(word: str) -> tuple[bool, int]:
    """A key by which long words come last, and everyday ones first."""
    return word not in _EVERYDAY, len(word)
