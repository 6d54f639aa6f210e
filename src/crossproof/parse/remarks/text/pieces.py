"""Words that a scanner or a typist cut in two: `so lid`, `un- spotted`, `so!id`."""

from __future__ import annotations

from itertools import pairwise

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_SHORTEST = 5  # letters of the whole word
_APART: frozenset[str] = frozenset(general_words()["typing"]["apart"])

_MARKS = frozenset("-!|")  # may stand for a letter, or part a word at the end of a line


def rejoined(text: str, tokens: list[Span], vocabulary: Vocabulary) -> list[Span]:
    """Put the pieces of state and organ words together, where the whole is one of ours.

    Two pieces that are both words of ours stay apart, unless a hyphen at a line's end parts them.
    """
    every, phrases = vocabulary.every, vocabulary.phrases
    for (word, _, _), (behind, _, _) in pairwise(tokens):
        if behind in _MARKS or (
            not (word in every and behind in every) and word + behind in phrases
        ):
            return _rejoined(text, tokens, vocabulary)
    return tokens


def _rejoined(text: str, tokens: list[Span], vocabulary: Vocabulary) -> list[Span]:
    kept: list[Span] = []
    i = 0
    while i < len(tokens):
        whole, length = _whole(text, tokens, i, vocabulary)
        kept.append(whole)
        i += length
    return kept


def _whole(text: str, tokens: list[Span], i: int, vocabulary: Vocabulary) -> tuple[Span, int]:
    """The word that token `i` begins, and of how many tokens it is made."""
    word, start, end = tokens[i]
    behind = tokens[i + 1 : i + 3]
    if not behind or not word.isalpha() or word in _APART:
        return tokens[i], 1
    mark, rest = behind[0], behind[-1]
    if mark[0] in ("!", "|") and mark[1] == end and rest[1] == mark[2] and len(behind) > 1:
        letter = next((x for x in "li" if _ours(word + x + rest[0], vocabulary)), "")
        return ((word + letter + rest[0], start, rest[2]), 3) if letter else (tokens[i], 1)
    if mark[0] == "-" and mark[1] == end and len(behind) > 1:
        parted = rest[1] == mark[2] + 1
    else:
        rest = mark
        known = word in vocabulary.every and rest[0] in vocabulary.every
        parted = rest[1] == end + 1 and not known
    if not parted or rest[0] in _APART or not rest[0].isalpha() or not text[rest[1]].islower():
        return tokens[i], 1
    if text[end] not in " -" or not _ours(word + rest[0], vocabulary):
        return tokens[i], 1
    return (word + rest[0], start, rest[2]), 2 if rest is mark else 3


def _ours(word: str, vocabulary: Vocabulary) -> bool:
    """Whether it is a word for a state or an organ."""
    choices = vocabulary.phrases.get(word) if len(word) >= _SHORTEST else None
    return bool(choices and choices[0] and choices[0].kinds & (v.STATE | v.ORGAN))
