"""Qualifiers, spelled rightly or not: `agg.`, `agrr`, `aggergate`, `probaly`."""

from __future__ import annotations

from functools import lru_cache

from crossproof.parse.names import words
from crossproof.parse.names.index import Index
from crossproof.parse.names.near import nearest
from crossproof.parse.names.tokens import Token

_FIRST = frozenset(word[0] for word in words.QUALIFIER_LONG)


def may_be_slip(token: Token) -> bool:
    """A quick look that leaves out most words."""
    word = token.key
    if len(word) < 6:
        return word in words.QUALIFIER_SLIPS
    return word[0] in _FIRST


def slipped(index: Index, token: Token, *, first: bool, last: bool) -> str:
    """The qualifier that a word misspells, in its canonical spelling; '' where it is none."""
    word = token.key
    if token.capital and not first:  # an author
        return ""
    if len(word) < 6:
        said = words.QUALIFIER_SLIPS.get(word, "") if token.raw.islower() else ""
        return said if len(word) > 2 or (last and not first) else ""
    if word[0] not in _FIRST or word in index.telling or word in words.NO_EPITHETS:
        return ""
    return "" if first and last else _misspelt(word)


@lru_cache(maxsize=4096)
def _misspelt(word: str) -> str:
    """The one long qualifier a word is near; with the ending of an epithet it is none."""
    if word.endswith(("a", "um", "us", "is", "ii", "ae")):
        return ""
    close, distance = nearest(word, words.QUALIFIER_LONG)
    meant = {words.QUALIFIERS[w] for w in close}
    return meant.pop() if len(meant) == 1 and distance <= len(word) // 4 else ""
