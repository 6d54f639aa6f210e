"""Pronouns that point at flowers: `only the flower head was left, and I named it from that`."""

from __future__ import annotations

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.basis_named import name_before
from crossproof.parse.remarks.sources.lexicon import Word, ends_at

Span = tuple[int, int]

_POINTING = ("that", "which", "those", "these", "this")
_HOW = frozenset({"how", "why", "where", "whence"})
_WHOLE = frozenset({"all", "sole", "whole", "entire"})


def named_on_that(words: list[Word], i: int, others_stated: bool) -> tuple[Span, int] | None:
    """`picked it, just the flower head, and I named it from that`."""
    ground = _that_is_why(words, i) or (0 if others_stated else _that_is_how(words, i))
    if ground:
        flower = _flower_before(words, i, words[i].sentence)
        return None if flower is None else ((i, ground), flower)
    after = words[i + 1].kinds if i + 1 < len(words) else x.STOP
    cleft = any(w.kinds & x.NAME for w in words[i + 2 : i + 4]) and words[i + 1].text == "that"
    if cleft and i and words[i - 1].kinds & x.FROM:
        flower = _flower_before(words, i - 1, words[i].sentence)
        return None if flower is None else ((i - 1, i), flower)
    if fronted := _fronted(words, i):
        flower = _flower_before(words, i - 1, words[i].sentence)
        return None if flower is None else ((i - 1, fronted), flower)
    alone = after & x.AND and i + 2 < len(words) and words[i + 2].kinds & x.ONLY
    if (
        not (after & (x.LIMIT | x.ONLY) or alone)
        or not i
        or not words[i - 1].kinds & (x.FROM | x.ONLY)
    ):
        return None
    ground = i - 1 if words[i - 1].kinds & x.FROM else i - 2
    if ground < 0 or not words[ground].kinds & x.FROM:
        return None
    first = name_before(words, ground)
    if first is None:
        return None
    flower = _flower_before(words, first, words[i].sentence)
    return None if flower is None else ((first, i), flower)


def _fronted(words: list[Word], i: int) -> int:
    """The naming behind `(and) from this alone I ventured a name`, `on those I named it`; or 0."""
    if i < 2 or not words[i - 1].kinds & x.FROM_FIRST or words[i].text == "it":
        return 0
    if not words[i - 2].kinds & (x.LIMIT | x.AND):
        return 0
    k = i + 1 + (i + 1 < len(words) and bool(words[i + 1].kinds & x.ONLY))
    whose = ("it", "the", "i", "we") if words[i].text == "which" else ("i", "we", "he", "she", "it")
    if k >= len(words) or words[k].text not in whose:
        return 0
    for n in range(k + 1, min(k + 6, len(words))):
        if words[n].kinds & (x.LIMIT | x.NOT | x.NEVER):
            return 0
        if words[n].kinds & x.NAME:
            return n
    return 0


def _that_is_why(words: list[Word], i: int) -> int:
    """The last word of `that's the sole reason`, `that is all the name rests on`, or 0."""
    if not words[i].text.startswith(_POINTING):
        return 0
    only = what = False
    for k in range(i + 1, min(i + 9, len(words))):
        kinds, text = words[k].kinds, words[k].text
        if kinds & x.LIMIT or kinds & x.NOT:
            return 0
        if kinds & x.GO_ON and only:
            return k
        if kinds & x.REASON and only:
            return k
        if what and kinds & x.NAME:
            ends = k + 2 >= len(words) or any(w.kinds & x.LIMIT for w in words[k + 1 : k + 4])
            return k if ends and any(w.kinds & x.FROM for w in words[k : k + 4]) else 0
        only = only or bool(kinds & (x.ONLY | x.ALL)) or text in _WHOLE
        what = what or text in ("what", "all", "all the") or bool(kinds & x.ALL)
    return 0


def _that_is_how(words: list[Word], i: int) -> int:
    """The last word of `that's how I got the name`, `which is the reason for the name`, or 0."""
    if not words[i].text.startswith(_POINTING):
        return 0
    if words[i].text == "that" and i + 2 < len(words) and words[i + 1].text in ("i", "we"):
        named = words[i + 2].kinds & x.NAME and ends_at(words, i + 3)
        return i + 2 if named else 0  # a flower head lay there, and that I named
    how = False
    for k in range(i + 1, min(i + 9, len(words))):
        kinds = words[k].kinds
        if kinds & (x.LIMIT | x.NOT | x.NEVER | x.PART):
            return 0
        how = how or words[k].text in _HOW or bool(kinds & x.REASON)
        if how and kinds & (x.NAME | x.GO_ON):
            return k
    return 0


def _flower_before(words: list[Word], first: int, sentence: int) -> int | None:
    """The part named last before word `first`, in this sentence or the one before, if a flower."""
    for j in range(first - 1, -1, -1):
        if words[j].sentence < sentence - 1:
            return None
        if words[j].kinds & x.PART and not _unlooked(words, j) and not _without(words, j):
            return None
        if words[j].kinds & x.FLOWER and not words[j].kinds & x.TRAP:
            return j
    return None


def _without(words: list[Word], j: int) -> bool:
    """`flowers but no foliage`: a part that is denied is none to go by."""
    return j > 0 and bool(words[j - 1].kinds & x.NOT)


def _unlooked(words: list[Word], j: int) -> bool:
    near = words[j + 1 : j + 4]
    return any(w.kinds & x.UNLOOKED and w.phrase == words[j].phrase for w in near)
