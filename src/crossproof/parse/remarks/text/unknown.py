"""Words that no vocabulary holds: what their endings make of them, and which are numbers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.vocabulary import Choices, Entry

UNKNOWN: Final = Entry(v.WORD)
TELLING_ENDS: Final = "sgy"  # a word that ends in another letter is merely unknown
_ADVERB: Final = Entry(v.WORD | v.ADVERB)
_VERB: Final = Entry(v.WORD | v.VERB)
_NO_VERBS: Final = frozenset({"ss", "us", "is"})
_UNITS: Final = frozenset({"cm", "mm", "m", "km", "x", "×", "st", "nd", "rd", "th", "/"})


def by_ending(word: str) -> Entry:
    """`strikingly` only says how; what stands behind `wants`, `regarding` may be its object.

    English endings, common knowledge.
    """
    last = word[-1]
    if last == "s":
        return UNKNOWN if word[-2:] in _NO_VERBS else _VERB
    if last == "y":
        return _ADVERB if word.endswith("ly") else UNKNOWN
    if last == "g" and word.endswith("ing") and not word.endswith("thing"):
        return _VERB
    return UNKNOWN


def is_number(tokens: list[Span], i: int) -> bool:
    """A number that may count plants: no measurement, no `1st`."""
    following = tokens[i + 1][0] if i + 1 < len(tokens) else ""
    return tokens[i][0].isdigit() and following not in _UNITS


def is_place_name(text: str, tokens: list[Span], i: int, known: Mapping[str, Choices]) -> bool:
    """`Badger's Hollow`: capital letters inside a sentence, behind a word we don't know."""
    _, start, end = tokens[i]
    if not i or not text[start].isupper() or not text[start + 1 : end].islower():
        return False
    before, first, last = tokens[i - 1]
    if before in known or last + 1 != start or not text[first].isupper():
        return False
    if before.endswith("ly") or text[first:last].isupper() or not before[0].isalpha():
        return False
    behind = known.get(tokens[i + 1][0]) if i + 1 < len(tokens) else None
    if behind and behind[0] and behind[0].organs:
        return False
    if before.endswith("'s"):
        return True
    return any(text[t[1]].islower() for t in tokens)  # else all words have capital letters
