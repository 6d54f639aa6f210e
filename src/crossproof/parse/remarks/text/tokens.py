"""Cut a remark into tokens that know their place."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from sys import intern

# A word (apostrophes inside, digits allowed: OCR reads `so1id`) or one other character.
_TOKEN = re.compile(r"[^\W_]+(?:'[^\W_]+)*|[\n\r]|[^\w\s]|_")
_QUOTES = str.maketrans({"’": "'", "‘": "'", "ʼ": "'", "`": "'", "“": '"', "”": '"', "ſ": "s"})
_SUSPENDS = frozenset({"and", "or", "&", "to"})

Span = tuple[str, int, int]


def spans(text: str) -> list[Span]:
    """Return (lower-case word, start, end) for each token; offsets are those of `text`."""
    same_length = text.translate(_QUOTES) if not text.isascii() or "`" in text else text
    lower = same_length.lower()
    if len(lower) == len(text):
        return [(m.group(), m.start(), m.end()) for m in _TOKEN.finditer(lower)]
    return [(m.group().lower(), m.start(), m.end()) for m in _TOKEN.finditer(same_length)]


def holds_any(text: str, parts: Iterable[str]) -> bool:
    """Whether any of `parts` stands in `text`: a plain loop, for it is asked of every remark."""
    for part in parts:  # noqa: SIM110
        if part in text:
            return True
    return False


def words(phrase: str) -> tuple[str, ...]:
    """The tokens of a phrase from a vocabulary: a hyphen inside a word counts as a space."""
    if phrase.isascii() and phrase.replace(" ", "").isalnum():
        return tuple(map(intern, phrase.lower().split()))  # thousands of phrases share few words
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
            joins = (after[1] == end and after[0] not in "\n\r") or after[0] in _SUSPENDS
            if joins and before[2] == start and before[0][-1].isalnum():
                continue
        yield token
