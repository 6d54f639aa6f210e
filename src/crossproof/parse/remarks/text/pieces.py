"""Words that a scanner or a typist cut in two: `so lid`, `un- spotted`, `so!id`, `spo^ted`."""

from __future__ import annotations

import re
from collections.abc import Iterable

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_SHORTEST = 5  # letters of the whole word; of an organ one less
_TYPING = general_words()["typing"]
_APART: frozenset[str] = frozenset(_TYPING["apart"])
_LETTERS: dict[str, list[str]] = _TYPING["marks_inside"]
_BESIDE_KEY: dict[str, list[str]] = _TYPING["marks_before"]

_INSIDE = "".join(map(re.escape, _LETTERS))
_DAMAGED = re.compile(rf"[{_INSIDE}](?<=[A-Za-z ].)(?=[a-z])")
_SPACED = re.compile(r"\b[A-Za-z](?: [A-Za-z]){3}\b")
_HYPHENS = frozenset("-‐¬\u00ad")
_SPACED_OUT = 4  # letters, at the least, with a space behind each


def rejoined(text: str, tokens: list[Span], odd: list[int], vocabulary: Vocabulary) -> list[Span]:
    """Put the pieces of state and organ words together, where the whole is one of ours.

    Two pieces that are both words of ours stay apart, unless a hyphen at a line's end parts them.
    `odd`: which tokens may be pieces.
    """
    if _is_damaged(text, tokens) or (odd and _are_pieces(tokens, odd, vocabulary)):
        return _rejoined(text, tokens, vocabulary)
    if "-" in text and any(token[0] == "-" for token in tokens):
        return _rejoined(text, tokens, vocabulary)
    return tokens


def _are_pieces(tokens: list[Span], odd: list[int], vocabulary: Vocabulary) -> bool:
    """Whether one of the `odd` tokens makes a word with the one before or behind it."""
    known, last = vocabulary.known, len(tokens) - 1
    for i in odd:
        word = tokens[i][0]
        if (i and tokens[i - 1][0] + word in known) or (
            i < last and word + tokens[i + 1][0] in known
        ):
            return True
    return False


def _is_damaged(text: str, tokens: list[Span]) -> bool:
    """Whether a mark stands in a word or at its beginning, or letters stand by themselves."""
    if _DAMAGED.search(text) or text[:1] in _BESIDE_KEY:
        return True
    if not text.isascii() and "¬" in text:
        return True
    return 3 * len(tokens) > len(text) and _SPACED.search(text) is not None


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
    behind = tokens[i + 1 : i + 4]
    if not behind or (word in _APART and behind[0][0] != "."):  # I.eaves
        return tokens[i], 1
    if word in _BESIDE_KEY:
        letters = _BESIDE_KEY[word] if _begins(text, start, behind[0]) else ()
        return _first_of(tokens, i, 2, (x + behind[0][0] for x in letters), vocabulary)
    if not word.isalnum():
        return tokens[i], 1
    mark = behind[0]
    if mark[0] in _HYPHENS and mark[1] == end and len(behind) > 1:
        return _over_a_hyphen(text, tokens, i, vocabulary)
    if mark[0] in _LETTERS and mark[1] == end and len(behind) > 1:
        rest = behind[1]
        touches = rest[1] == mark[2] and text[rest[1]].islower()
        if mark[0] in "!|":
            known = len(rest[0]) > 1 and all(_is_ours(w, vocabulary) for w in (word, rest[0]))
        elif mark[0] == ":":
            known = any(_is_ours(vocabulary.mender.mend(w), vocabulary) for w in (word, rest[0]))
        else:
            known = word in vocabulary.every and rest[0] in vocabulary.every
        letters = _LETTERS[mark[0]] if touches and not known else ()
        return _first_of(tokens, i, 3, (word + x + rest[0] for x in letters), vocabulary)
    if not word.isalpha():
        return tokens[i], 1
    if len(word) == 1 and (size := _spaced_out(tokens, i)) >= _SPACED_OUT:
        whole = "".join(token[0] for token in tokens[i : i + size])
        return _first_of(tokens, i, size, (whole,), vocabulary)
    return _over_spaces(text, tokens, i, vocabulary)


def _over_spaces(text: str, tokens: list[Span], i: int, vocabulary: Vocabulary) -> tuple[Span, int]:
    """`so lid`, `sp ot ted`: pieces with one space between, not all words of ours."""
    word, _, end = tokens[i]
    known = word in vocabulary.every
    for size in (2, 3):
        if i + size > len(tokens):
            break
        piece, start, last = tokens[i + size - 1]
        alone = piece in _APART if size == 2 else len(piece) == 1
        if start != end + 1 or text[end] != " " or alone or not text[start].islower():
            break
        if not piece.isalpha():
            break
        word, end, known = word + piece, last, known and piece in vocabulary.every
        if not known and _ours(word, vocabulary):
            return (word, tokens[i][1], end), size
    return tokens[i], 1


def _over_a_hyphen(
    text: str, tokens: list[Span], i: int, vocabulary: Vocabulary
) -> tuple[Span, int]:
    """`un- spotted`, `fistu-` at the end of a line: one word; `flower- spike` merely two."""
    word, start, end = tokens[i]
    size = 3
    while i + size <= len(tokens) and tokens[i + size - 1][0] in "\n\r":
        size += 1
    if i + size > len(tokens):
        return tokens[i], 1
    rest = tokens[i + size - 1]
    broken = size > 3
    if not (rest[0].isalpha() and text[rest[1]].islower()):
        return tokens[i], 1
    if not broken and rest[1] != end + 2:
        return tokens[i], 1
    whole = vocabulary.mender.mend(word + rest[0])
    apart = word in vocabulary.every and rest[0] in vocabulary.every
    if whole in vocabulary.every and (
        broken or not apart or _ours(whole, vocabulary) or word in _UNJOINED
    ):
        return (whole, start, rest[2]), size
    first, second = vocabulary.mender.mend(word), vocabulary.mender.mend(rest[0])
    if vocabulary.phrases.find((first, second)):
        return (first, start, end), size - 1
    return tokens[i], 1


_UNJOINED = frozenset({"no", "un", "any", "some", "every", "with", "through"})


def _first_of(
    tokens: list[Span], i: int, size: int, wholes: Iterable[str], vocabulary: Vocabulary
) -> tuple[Span, int]:
    """The first of `wholes` that is one of ours, in the place of `size` tokens; else the token."""
    for whole in wholes:
        if len(whole) > 3 and _is_ours(meant := vocabulary.mender.mend(whole), vocabulary):
            return (meant, tokens[i][1], tokens[i + size - 1][2]), size
    return tokens[i], 1


def _begins(text: str, start: int, behind: Span) -> bool:
    """A mark at the beginning of a word, that of a key beside its first letter: `;eaves`."""
    return behind[1] == start + 1 and (not start or text[start - 1].isspace())


def _spaced_out(tokens: list[Span], i: int) -> int:
    """How many letters stand by themselves with one space between: `s o l i d`."""
    size = 1
    while (
        i + size < len(tokens)
        and len(tokens[i + size][0]) == 1
        and tokens[i + size][0].isalpha()
        and tokens[i + size][1] == tokens[i + size - 1][2] + 1
    ):
        size += 1
    return size


def _ours(word: str, vocabulary: Vocabulary) -> bool:
    """Whether it is a word for a state, an organ, a degree, a photo, or a denial (`abs ent`)."""
    if len(word) >= _SHORTEST:
        return _is_ours(word, vocabulary)
    entry = vocabulary.alone(word) if len(word) == _SHORTEST - 1 else None
    return entry is not None and bool(entry.organs or entry.kinds & v.SLIGHT)


def _is_ours(word: str, vocabulary: Vocabulary) -> bool:
    entry = vocabulary.alone(word)
    return entry is not None and bool(entry.kinds & v.OURS)
