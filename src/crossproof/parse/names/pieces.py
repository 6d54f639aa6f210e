"""Words that came apart or ran together, and digits that stand for letters."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import product

from crossproof.parse.names import words
from crossproof.parse.names.fold import key
from crossproof.parse.names.index import Index
from crossproof.parse.names.near import nearest
from crossproof.parse.names.tokens import Token

_DASHES = frozenset("-–—−")
_LETTER = r"[^\W\d_]"
_SIGNS = re.escape("".join(words.DIGITS))
_DIGIT = re.compile(r"[a-z]\d|\d[a-z]{3}|[a-z][@$|!][a-z]")
_MIXED = re.compile(rf"(?<![\w@$])(?:{_LETTER}+[{_SIGNS}]|[{_SIGNS}]{_LETTER}{{4}})[\w{_SIGNS}-]*")


def spelled(index: Index, text: str) -> str:
    """Write letters for the digits and signs that a scanner or a finger put inside words.

    A digit between letters is a letter (`Dacty1orhiza`); at an end of a word only where the word is
    then a known one (`fuchsi1`, `0chroleuca`).
    """
    if not _DIGIT.search(text):
        return text
    return _MIXED.sub(lambda match: _letters(index, match[0]), text)


def _letters(index: Index, word: str) -> str:
    choices = [words.DIGITS.get(sign, sign) for sign in word]
    if sum(len(c) > 1 for c in choices) > 4:
        return word
    spellings = ["".join(letters) for letters in product(*choices)]
    known = index.known | index.bare.keys() | index.vocabulary
    for spelling in spellings:
        if key(spelling) in known:
            return spelling
    inner = all(c.isalnum() for c in word) and word[0].isalpha() and word[-2:].isalpha()
    return _guessed(word, choices) if inner and len(word) > 6 else word


def _guessed(word: str, choices: Sequence[str]) -> str:
    """The likeliest letters of an unknown word: of two, a vowel where no vowel stands beside it."""
    made = ""
    for i, letters in enumerate(choices):
        beside = {choices[i - 1][0], choices[i + 1][0]} if 0 < i < len(word) - 1 else set()
        consonants = not beside & set("aeiouy")
        made += letters[-1] if consonants and letters[-1] in "aeiou" else letters[0]
    return made


def rejoined(index: Index, tokens: Sequence[Token]) -> list[Token]:
    """Join the pieces of a known word, and part a genus from the epithet written on to it."""
    found: list[Token] = []
    i = 0
    while i < len(tokens):
        token = tokens[i]
        after = tokens[i + 1] if i + 1 < len(tokens) else None
        if token.raw == "F" and after and after.kind == "number" and after.start == token.end:
            found.append(_one(token, after))  # a generation: F1, F2
            i += 2
            continue
        if token.kind == "word" and not token.dot and after:
            joined, used = _joined(index, tokens[i : i + 3])
            if used:
                found.append(joined)
                i += used
                continue
        if len(token.key) > 10 and token.kind == "word" and token.key not in index.telling:
            found.extend(_parted(index, token))
        else:
            found.append(token)
        i += 1
    return found


def _joined(index: Index, tokens: Sequence[Token]) -> tuple[Token, int]:
    first, second, third = tokens[0], tokens[1], tokens[-1]
    if second.kind == "word":
        whole = first.key + second.key
        known = whole in index.known and len(whole) > 4
        if known and not (first.key in index.known and second.key in index.known):
            return _one(first, second), 2
    elif len(tokens) == 3 and third.kind == "word":
        whole = first.key + third.key
        if second.raw in _DASHES and whole in index.known and first.key not in index.genera:
            return _one(first, third), 3
        touching = first.end == second.start and second.end == third.start
        if second.kind == "cross" and second.raw == "×" and touching:
            pieces = (first.key, third.key)
            if not any(piece in index.telling or len(piece) < 2 for piece in pieces):
                close, _ = nearest(whole, [w for e in index.epithet_words for w in e])
                if close:  # a letter was lost, not a multiplication sign
                    return _one(first, third), 3
    return first, 0


def _one(first: Token, last: Token) -> Token:
    return first._replace(
        raw=first.raw + last.raw, key=first.key + last.key, dot=last.dot, end=last.end
    )


def _parted(index: Index, token: Token) -> list[Token]:
    for at in range(4, len(token.key) - 3):
        genus, epithet = token.key[:at], token.key[at:]
        if len(token.raw) == len(token.key) and genus in index.genera and epithet in index.known:
            return [
                token._replace(raw=token.raw[:at], key=genus, dot=False),
                token._replace(raw=token.raw[at:], key=epithet),
            ]
    return [token]
