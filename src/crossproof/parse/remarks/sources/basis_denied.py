"""Flowers that are left as the ground by what is denied: `did not look past the flowers`.

The denials are part of the saying, so that they don't take it back.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word
from crossproof.parse.remarks.text.item import back

Span = tuple[int, int]

_TO_BEYOND: Final = x.THE | x.LIGHT | x.FLOWER | x.OWN | x.OF
_DOES: Final = x.SAW | x.USED | x.LOOK | x.NAME | x.WEAK_NAME | x.FROM | x.GO_ON
_NAMES: Final = x.NAME | x.NAMING | x.WEAK_NAME | x.SPEAKS | x.USED | x.GO_ON | x.SAW | x.LOOK
_NAMING: Final = x.NAME | x.NAMING | x.REASON | x.GO_ON
_WOULD = frozenset({"i'd", "would", "should", "we'd", "had", "there'd"})
_MOST_TO_DENIAL = 9


def said_by_denial(words: list[Word], i: int) -> Iterator[Span | None]:
    """Every way in which a denial may leave the flower at word `i` as the only ground."""
    yield _nothing_beyond(words, i)
    yield _nothing_besides(words, i)
    yield _nothing_without(words, i)
    yield _all_for_flowers(words, i)


def _nothing_beyond(words: list[Word], i: int) -> Span | None:
    """`didn't look past the flowers`, `nothing bears it out bar the lip`; not `no photo of …`."""
    j = back(words, i - 1, _TO_BEYOND, x.BEYOND | x.BUT_FOR)
    if j < 1 or words[j - 1].kinds & x.OF or words[j].text == "but for":
        return None
    bars = words[j].kinds & x.BUT_FOR
    if not words[j].kinds & x.BEYOND and not bars:
        return None
    looked = bool(bars) and any(
        w.kinds & (_NAMING | x.SAW) and w.sentence == words[i].sentence
        for w in words[i + 1 : i + 8]
    )
    looked = looked or words[j].text.startswith("any")
    for k in range(j - 1, max(j - _MOST_TO_DENIAL, -1), -1):
        kinds = words[k].kinds
        if words[k].sentence != words[i].sentence or kinds & (x.PART | x.STATE | x.FLOWER):
            return None
        if kinds & x.HARD and words[k].text != "as":
            return None
        looked = looked or bool(kinds & (x.SAW | x.LOOK | (_NAMING if bars else 0)))
        if k == j - 1 and kinds & x.ALL_TOLD and bars:
            return (k, i) if _named_in(words, i) else None  # ignored everything but the lip
        if kinds & (x.NOT | x.FORGONE | x.NOTHING) or words[k].text == "too":
            return (k, i) if looked else None
    return None


def _named_in(words: list[Word], i: int) -> bool:
    """Whether a word for naming stands in the sentence of word `i`."""
    return any(w.kinds & _NAMING and w.sentence == words[i].sentence for w in words)


def _nothing_besides(words: list[Word], i: int) -> Span | None:
    """`measured the lip, did not look at anything else`, `named the top, never saw the plant`."""
    named = any(w.kinds & _NAMES and w.sentence == words[i].sentence for w in words[:i])
    for k in range(i + 1, len(words)):
        kinds = words[k].kinds
        if words[k].sentence > words[i].sentence + 1:
            return None
        if kinds & x.ELSE:
            denied = _denied(words, i, k) or _not_seen(words, k)
            return (i, k) if denied and (named or _names_else(words, denied)) else None
        if kinds & (x.PART | x.STATE):
            return None
        named = named or bool(kinds & _NAMES and not kinds & x.NOT)
    return None


def _denied(words: list[Word], i: int, k: int) -> int:
    """The denial between word `i` and the thing at word `k` that was not looked at; or 0."""
    does = False
    for m in range(k - 1, max(k - 6, i), -1):
        kinds = words[m].kinds
        if kinds & x.LIMIT:
            return 0
        if kinds & x.NOT:
            return m if does or _seen(words, k) else 0
        does = does or bool(kinds & _DOES)
    return 0


def _not_seen(words: list[Word], k: int) -> int:
    """The denial in `plant not seen`, `the rest was never looked at`, of the thing at word `k`."""
    for m in range(k + 1, min(k + 4, len(words))):
        if words[m].kinds & x.LIMIT:
            return 0
        if words[m].kinds & x.NOT or words[m].text in ("unseen", "ignored", "unchecked"):
            return m if words[m].text.startswith(("un", "ign")) or _seen(words, m) else 0
    return 0


def _seen(words: list[Word], k: int) -> bool:
    """`(the plant) being seen`: a word of looking within three words behind word `k`."""
    near = words[k + 1 : k + 4]
    return any(w.kinds & x.SAW and w.phrase == words[k].phrase for w in near)


def _names_else(words: list[Word], denied: int) -> bool:
    """`the name can't rest on anything else`: what is denied is itself a naming."""
    return any(w.kinds & (x.NAME | x.WEAK_NAME) for w in words[max(denied - 2, 0) : denied + 4])


def _nothing_without(words: list[Word], i: int) -> Span | None:
    """`take away the lip and this record has nothing under it`, `no lip, no name`."""
    j = back(words, i - 1, x.THE | x.LIGHT | x.FLOWER)
    if j < 0:
        return None
    without = words[j].text == "without"
    if not (words[j].kinds & x.WITHOUT or without):
        return None
    denied = False
    would = not without
    for k in range(i + 1, len(words)):
        kinds = words[k].kinds
        if words[k].sentence != words[i].sentence or kinds & x.PART:
            return None
        denied = denied or bool(kinds & (x.NOT | x.NOTHING))
        would = would or words[k].text in _WOULD
        if would and (kinds & x.FALLS or (denied and kinds & _NAMING)):
            return j, k
    return None


def _all_for_flowers(words: list[Word], i: int) -> Span | None:
    """`foliage gave nothing, flowers everything`, `all weight to the lip, none to the leaf`."""
    around = range(max(i - 5, 0), min(i + 5, len(words)))
    alls = [k for k in around if words[k].kinds & x.ALL_TOLD and words[k].phrase == words[i].phrase]
    if not alls:
        return None
    for p, word in enumerate(words):
        if word.kinds & x.PART and word.sentence == words[i].sentence and p not in alls:
            near = range(max(p - 4, 0), min(p + 5, len(words)))
            nothing = [k for k in near if words[k].kinds & (x.NOTHING | x.NOT | x.UNLOOKED)]
            apart = [k for k in nothing if not i < k < p or word.phrase == words[k].phrase]
            if any(words[k].text not in ("was", "were", "had", "all") for k in apart):
                return min(i, p), max(i, p)
    return None
