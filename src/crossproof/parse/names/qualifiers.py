"""Take the qualifiers out of a name, spelled rightly or not: `agg.`, `agrr`, `probaly`."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from crossproof.parse.names import words
from crossproof.parse.names.index import Index
from crossproof.parse.names.near import nearest
from crossproof.parse.names.tokens import Token, as_cross

_FIRST = frozenset(word[0] for word in words.QUALIFIER_LONG)


def pull_qualifiers(tokens: Sequence[Token], index: Index) -> tuple[list[Token], list[str], bool]:
    """Take out the qualifiers; say which, in their order, and whether a cross was mended.

    A question mark that stands alone between two known words is a multiplication sign that an
    export lost; any other is a doubt.
    """
    kept: list[Token] = []
    found: list[str] = []
    mended = False
    for i, token in enumerate(tokens):
        if token.raw == "?":
            if _lost_cross(tokens, i, index):
                kept.append(as_cross(token))
                mended = True
            else:
                found.append("?")
        elif token.kind != "word":
            kept.append(token)
        elif token.key in words.QUALIFIERS:
            found.append(words.QUALIFIERS[token.key])
        elif token.key in words.QUALIFIER_SLIPS or (len(token.key) > 5 and token.key[0] in _FIRST):
            said = _slipped(index, token, first=i == 0, last=i == len(tokens) - 1)
            if said:
                found.append(said)
            else:
                kept.append(token)
        else:
            kept.append(token)
    return kept, list(dict.fromkeys(found)), mended


def _lost_cross(tokens: Sequence[Token], i: int, index: Index) -> bool:
    if not 0 < i < len(tokens) - 1:
        return False
    before, here, after = tokens[i - 1], tokens[i], tokens[i + 1]
    if here.start == before.end or here.end == after.start or after.kind == "cross":
        return False
    return before.key in index.known and (after.key in index.known or len(after.key) == 1)


def _slipped(index: Index, token: Token, *, first: bool, last: bool) -> str:
    """The qualifier that a word misspells, in its canonical spelling; '' where it is none."""
    word = token.key
    if token.capital and not first:  # an author
        return ""
    if len(word) < 6:
        said = words.QUALIFIER_SLIPS.get(word, "") if token.raw.islower() else ""
        return said if len(word) > 2 or (last and not first) else ""
    if word in index.telling or word in words.NO_EPITHETS:
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
