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
_SIGN = re.compile(r"[0-9@$|!]")
_DIGIT = re.compile(r"[a-z]\d|\d[a-z]{3}|[a-z][@$|!][a-z]")
_MIXED = re.compile(rf"(?<![\w@$])(?:{_LETTER}+[{_SIGNS}]|[{_SIGNS}]{_LETTER}{{4}})[\w{_SIGNS}-]*")


_SPECIAL = words.NUMBERED | words.WITHIN_ENGLISH.keys() | words.HEDGES.keys() | {"f"}


def spelled(index: Index, text: str) -> str:
    """Write letters for the digits and signs that a scanner or a finger put inside words.

    A digit between letters is a letter (`Dacty1orhiza`); at an end of a word only where the word is
    then a known one (`fuchsi1`, `0chroleuca`).
    """
    if not _SIGN.search(text) or not _DIGIT.search(text):
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
    """Join the pieces of a known word, part words that run together, drop labels and families."""
    found: list[Token] = []
    skip, last = 0, len(tokens)
    for i, token in enumerate(tokens):
        if skip:
            skip -= 1
            continue
        if token.kind != "word":
            if token.raw != "," or not _turned_round(index, found, tokens[i + 1 :]):
                found.append(token)
            continue
        word = token.key
        if word in _SPECIAL:
            token, skip = _special(index, token, found, tokens[i + 1 : i + 4])
        elif not token.dot and i + 1 < last:
            after = tokens[i + 1]
            if after.kind != "word" or word + after.key in index.known:
                token, skip = _joined(index, token, tokens[i + 1 : i + 3])
        if skip or word in index.telling or len(word) < 8:
            found.append(token)
        elif not (word.endswith("aceae") and _named(index, tokens[i + 1 :])):
            found.extend(_parted(index, token) if len(word) > 10 else [token])
    return found


def _special(
    index: Index, token: Token, before: Sequence[Token], rest: Sequence[Token]
) -> tuple[Token, int]:
    """A generation (F1), the label of a number (No. 17), a short form within an English name."""
    number = bool(rest) and rest[0].kind == "number"
    if token.raw == "F" and number and rest[0].start == token.end:
        return _one(token, rest[0]), 1
    if token.key in words.NUMBERED and number:
        return token._replace(kind="sign", key=""), 0  # no denial
    for more in words.HEDGES.get(token.key, ()):
        if tuple(t.key for t in rest[: len(more)]) == more:
            return token._replace(key="maybe"), len(more)
    meant = words.WITHIN_ENGLISH.get(token.key, "")
    if meant and before and before[-1].key + meant in index.phrases:
        return token._replace(raw=meant, key=meant, dot=False), 0
    return token, 0


def _joined(index: Index, first: Token, rest: Sequence[Token]) -> tuple[Token, int]:
    """A word with what belongs to it of the two tokens behind it, and how many those are."""
    second, third = rest[0], rest[-1]
    if second.kind == "word":
        whole = first.key + second.key
        if whole not in index.known or len(whole) < 5:
            return first, 0
        both = first.key in index.known and second.key in index.known
        return (first, 0) if both else (_one(first, second), 1)
    if len(rest) < 2 or third.kind != "word":
        return first, 0
    whole = first.key + third.key
    if second.raw in _DASHES and whole in index.known and first.key not in index.genera:
        return _one(first, third), 2
    if second.raw == "×" and first.end == second.start and second.end == third.start:
        apart = any(piece in index.telling or len(piece) < 2 for piece in (first.key, third.key))
        if not apart and nearest(whole, [w for e in index.epithet_words for w in e])[0]:
            return _one(first, third), 2  # a letter was lost, not a multiplication sign
    return first, 0


def _named(index: Index, tokens: Sequence[Token]) -> bool:
    """Whether a plant is named there: a word we know, or a capital and a small one."""
    named = [t for t in tokens if t.kind == "word"]
    if any(t.key in index.telling for t in named):
        return True
    return len(named) > 1 and named[0].capital and named[1].raw.islower() and not named[0].dot


def _turned_round(index: Index, before: Sequence[Token], rest: Sequence[Token]) -> bool:
    """Whether a comma only turns an English name round: `Orchid, Southern Marsh × …`."""
    if not before or not rest or before[-1].key not in index.heads:
        return False
    return rest[0].key in index.vocabulary and (len(before) == 1 or before[-2].kind == "cross")


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
