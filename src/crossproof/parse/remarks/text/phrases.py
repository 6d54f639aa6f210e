"""Which phrase of the vocabulary begins at a word."""

from __future__ import annotations

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.vocabulary import Entry, Vocabulary

_OF = frozenset({"of", "the"})
_ON = _OF | {"on", "its", "their", "each", "every", "all", "these"}  # behind `the rings`


def longest(tokens: list[Span], i: int, vocabulary: Vocabulary) -> tuple[Entry | None, int, bool]:
    """The longest phrase of the vocabulary that starts at token `i`, and its length in tokens."""
    node = vocabulary.phrases.first.get(tokens[i][0])
    if node is None:
        return None, 1, False
    soft = False
    for entry, n in vocabulary.phrases.longer(node, tokens, i):
        if entry.kinds == v.SOFT:  # but `hollow below the first leaf` is no place in a field
            behind = longest(tokens, i + 1, vocabulary)[0]
            listed = tokens[i + n : i + n + 1] and tokens[i + n][0] == ","  # …, solid above
            soft = not listed and (behind is None or not behind.kinds & (v.AFTER | v.HEIGHTS))
            continue
        if entry.kinds & v.STATE and _denies_a_sign(entry, tokens, i + n, vocabulary):
            continue
        passed = _ON if tokens[i][0] == "the" else _OF
        if entry.kinds == v.TRAP and (
            _organ_follows(tokens, i + n, passed, vocabulary)
            or _state_begins(tokens, i, n, vocabulary)
        ):
            continue
        return entry, n, soft
    return node.entry, 1, soft


def _denies_a_sign(entry: Entry, tokens: list[Span], i: int, vocabulary: Vocabulary) -> bool:
    """`no purple` says that a leaf has no marks, but `no purple blotches` denies the blotches."""
    behind = vocabulary.alone(tokens[i][0]) if i < len(tokens) else None
    if behind is None:
        return False
    return any(
        sense.role == "sign" and c in entry.senses and entry.senses[c].state == scale.absent
        for c, sense in behind.senses.items()
        if (scale := vocabulary.scales[c]).absent
    )


def _state_begins(tokens: list[Span], i: int, n: int, vocabulary: Vocabulary) -> bool:
    """`the ring-marked leaves` are no `ring` in the ground: the phrase of a state goes on."""
    if tokens[i][0] != "the":
        return False
    entry, length, _ = longest(tokens, i + 1, vocabulary)
    return length >= n and entry is not None and bool(entry.kinds & v.STATE)


def _organ_follows(
    tokens: list[Span], i: int, passed: frozenset[str], vocabulary: Vocabulary
) -> bool:
    """`the hollow (of the) stem` is no hollow in the ground, and `the ring spots` are no road."""
    while i < len(tokens) and tokens[i][0] in passed:
        i += 1
    entry = vocabulary.alone(tokens[i][0]) if i < len(tokens) else None
    if entry is None:
        return False
    return bool(entry.organs) or any(s.role == "sign" for s in entry.senses.values())
