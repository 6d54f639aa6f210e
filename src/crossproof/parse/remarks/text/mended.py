"""The words and marks of a remark, as they were meant: mended, joined, without idle dots."""

from __future__ import annotations

from crossproof.parse.remarks.text.pieces import rejoined
from crossproof.parse.remarks.text.tokens import Span, joined, spans
from crossproof.parse.remarks.text.vocabulary import Vocabulary


def tokens_of(text: str, vocabulary: Vocabulary) -> list[Span]:
    """The words and marks of `text`, mended, without the full stops that end no sentence."""
    tokens = spans(text)
    if not text.isascii() or "-" in text:
        tokens = list(joined(tokens))
    tokens = rejoined(text, tokens, vocabulary)
    if " very " in text:
        tokens = _without_emphasis(tokens)
    if "." in text:
        tokens = _without_dots(text, tokens, vocabulary)
    return _mended(tokens, vocabulary)


def _without_emphasis(tokens: list[Span]) -> list[Span]:
    """`the very base` is the base."""
    return [
        token
        for i, token in enumerate(tokens)
        if not (token[0] == "very" and i and tokens[i - 1][0] == "the")
    ]


def _without_dots(text: str, tokens: list[Span], vocabulary: Vocabulary) -> list[Span]:
    """Leave out full stops that end no sentence: of `lvs.`, `J. Smith`, `v.1971` and numbers."""
    idle = {
        i
        for i in range(1, len(tokens) - 1)
        if tokens[i][0] == "." and _is_idle(text, tokens, i, vocabulary)
    }
    return [token for i, token in enumerate(tokens) if i not in idle] if idle else tokens


def _is_idle(text: str, tokens: list[Span], i: int, vocabulary: Vocabulary) -> bool:
    """Whether the full stop at token `i` only marks an abbreviation or stands in a number."""
    before, dot, after = tokens[i - 1 : i + 2]
    if before[2] != dot[1]:
        return False
    word = before[0]
    if word in ("no", "nos") and after[0].isdigit():
        return True
    short = len(word) <= 2 or word[-1].isdigit()
    if after[1] == dot[2] and short and after[0][0].isalnum():
        return True
    first = text[after[1]]
    if len(word) == 1 and word not in "ynhs" and not word.isdigit():
        return True
    return word in vocabulary.dotted and (first.islower() or first in ",;:?()-–")


def _mended(tokens: list[Span], vocabulary: Vocabulary) -> list[Span]:
    """Put the words that were meant in place of misspelt ones; their places stay."""
    every, mend = vocabulary.every, vocabulary.mender.mend
    for i, (word, start, end) in enumerate(tokens):
        if word not in every and len(word) > 3 and (meant := mend(word)) != word:
            tokens[i] = (meant, start, end)
    return tokens
