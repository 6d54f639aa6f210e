"""A flower, a naming and what shuts out all else, together in one sentence in whatever order."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word
from crossproof.parse.remarks.text.item import back

Span = tuple[int, int]

_NAMES: Final = x.NAME | x.NAMING | x.REASON | x.USED | x.GO_ON
_TAKES_BACK: Final = x.NOT | x.NEVER | x.ASK | x.OTHER | x.EARLIER | x.TRAP | x.WITHOUT
_NEAR = 7
_BESIDE = 12
_NUMBERS = frozenset(
    {"two", "three", "four", "five", "six", "several", "many", "few", "a few", "only"}
)
_NO_DENIAL = frozenset({"was", "were", "had", "all", "too"})
_SMALL = frozenset({"there", "here", "accordingly", "off", "straight", "with", "made", "given"})
_MOVES = frozenset({"go", "going", "went", "gone"})  # a naming only before `by`, `on`, `off`
_JUST = frozenset({"just", "simply"})  # of time, unless before the flower or its ground


def said_together(words: list[Word], i: int, others_stated: bool) -> Iterator[Span | None]:
    """Every way in which the sentence of the flower at word `i`, or the next, may name by it."""
    first, last = _sentence(words, i)
    shut_out = _shut_out(words, first, last)
    if shut_out is None:
        return
    if not _taken_back(words, first, last, shut_out):
        yield _with_all_shut_out(words, i, first, last)
        if not others_stated:
            yield _named_beside(words, i, first, last)
    if not others_stated:
        yield _named_next(words, i, first, last)


def _shut_out(words: list[Word], first: int, last: int) -> set[int] | None:
    """What denies the other parts from word `first` to `last`; None where one is not denied."""
    found: set[int] = set()
    for p in range(first, last + 1):
        if words[p].kinds & x.PART:
            denied = denials(words, p)
            if not denied:
                return None
            found.update(denied)
    return found


def _taken_back(words: list[Word], first: int, last: int, shut_out: set[int]) -> bool:
    """Whether something is denied, asked or put off from word `first` to `last` but other parts."""
    for k in range(first, last + 1):
        kinds = words[k].kinds
        if words[k].kinds & x.LATER:
            return True
        if kinds & _TAKES_BACK and not kinds & (x.ONLY | x.LIGHT) and k not in shut_out:
            return True
    return False


def _with_all_shut_out(words: list[Word], i: int, first: int, last: int) -> Span | None:
    """`the hybrid tag is a matter of the lip, nothing else`, `leaves ignored, the lip used`."""
    naming = _naming(words, i, first, last)
    if naming is None:
        return None
    for k in range(first, last + 1):
        if _shuts_out(words, k, i, naming):
            return min(i, naming, k), max(i, naming, k)
    parts = any(w.kinds & x.PART for w in words[first : last + 1])
    if parts and words[naming].phrase == words[i].phrase:
        return min(i, naming), max(i, naming)
    return None


def _sentence(words: list[Word], i: int) -> tuple[int, int]:
    """The first and the last word of the sentence of word `i`."""
    first = last = i
    while first and words[first - 1].sentence == words[i].sentence:
        first -= 1
    while last + 1 < len(words) and words[last + 1].sentence == words[i].sentence:
        last += 1
    return first, last


def _naming(words: list[Word], i: int, first: int, last: int) -> int | None:
    """The word for naming or reason that is nearest to the flower at word `i`."""
    near = [
        k for k in range(max(first, i - _NEAR), min(last, i + _NEAR) + 1)
        if k != i and words[k].kinds & _NAMES and not _moves(words, k)
    ]  # fmt: skip
    return min(near, key=lambda k: abs(k - i)) if near else None


def _shuts_out(words: list[Word], k: int, i: int, naming: int) -> bool:
    """`alone`, `nothing else` at word `k`, near the flower or the naming; not `only two`."""
    if not words[k].kinds & x.ONLY or min(abs(k - i), abs(k - naming)) > _NEAR:
        return False
    behind = words[k + 1].kinds if k + 1 < len(words) else x.STOP
    if words[k].text in _JUST and not behind & (x.THE | x.FLOWER | x.FROM):
        return False
    if k + 1 < len(words) and words[k + 1].text == "name":
        return False
    return not behind & (x.COUNT | x.NUMBER) and not (
        behind & x.PREPOSITION and not behind & x.FROM
    )


def _moves(words: list[Word], k: int) -> bool:
    """`going over`: a word of going that names nothing."""
    behind = words[k + 1].kinds if k + 1 < len(words) else x.STOP
    return words[k].text in _MOVES and not behind & (x.FROM | x.ONLY | x.AND)


def denials(words: list[Word], p: int) -> list[int]:
    """What says that the part at word `p` was not used: `no leaves`, `leaves not seen`."""
    found = []
    for k in range(max(p - 5, 0), min(p + 5, len(words))):
        kinds = words[k].kinds
        if k != p and kinds & (x.NOT | x.UNLOOKED) and words[k].phrase == words[p].phrase:
            if words[k].text in _NO_DENIAL or (words[k].text == "cut" and "st" in words[p].text):
                continue  # a stem that was cut was looked into
            if k < p and any(w.kinds & x.FROM for w in words[k + 1 : p]) and not kinds & x.NOT:
                continue  # flowers passed over in favour of leaves
            found.append(k)
    return found


def _named_beside(words: list[Word], i: int, first: int, last: int) -> Span | None:
    """`named what was left, the flowers`, `three florets in a saucer, and I put a name to it`.

    A plain naming in the sentence of a flower, with no other part.
    """
    if words[i].kinds & x.VAGUE or _counted_or_gone(words, i) or _is_of_a_noun(words, i):
        return None
    if any(w.kinds & (x.TOO_FAR | x.BUT_FOR) for w in words[first : last + 1]):
        return None
    for k in range(max(first, i - _BESIDE), min(last, i + _BESIDE) + 1):
        if _plainly_names(words, k, i) and _unbroken(words, k, i):
            return min(i, k), max(i, k)
    return None


def _is_of_a_noun(words: list[Word], i: int) -> bool:
    """`by the flower recorder`: the flower of another noun."""
    if words[i].text != "flower" or i + 1 >= len(words):
        return False
    return words[i + 1].kinds == x.UNKNOWN and words[i + 1].phrase == words[i].phrase


def _counted_or_gone(words: list[Word], i: int) -> bool:
    """`12 flower spikes`, `flowers over`, `the flower head was broken off`."""
    before = words[max(i - 2, 0) : i]
    if any(w.kinds & x.NUMBER or w.text in _NUMBERS for w in before):
        return True
    behind = [w for w in words[i + 1 : i + 4] if w.phrase == words[i].phrase]
    return any(
        w.kinds & (x.STATE | x.NUMBER | x.GONE)
        or (w.kinds & x.UNLOOKED and w.kinds & x.LIGHT and " " in w.text)
        for w in behind
    )


def _unbroken(words: list[Word], k: int, i: int) -> bool:
    """Whether no stop, dash or colon stands between words `k` and `i`."""
    return not any(
        w.kinds & (x.BREAK | x.COLON | x.OPEN) and w.text != "/"
        for w in words[min(k, i) : max(k, i)]
    )


def _plainly_names(words: list[Word], k: int, i: int) -> bool:
    """Whether word `k` names the plant: not `det. J. Fenwick`, `named after`, `flower ID`."""
    kinds = words[k].kinds
    if not kinds & x.NAME or kinds & (x.WEAK_NAME | x.OWN) or _moves(words, k):
        return False
    if kinds & x.WRITTEN or (k == i + 1 and kinds & x.NAMING):
        return False
    b = back(words, k - 1, x.THE, first=0)
    if b > 0 and words[b].text == "for" and words[b - 1].kinds & (x.FLOWER | x.SAW) & ~x.USED:
        return False  # flowers sent for naming
    behind = words[k + 1] if k + 1 < len(words) else None
    if behind is None:
        return True
    if any(w.kinds & x.FLOWER for w in words[k + 1 : k + 3]) and behind.kinds & (x.THE | x.FLOWER):
        return words[k].text.startswith("name")  # judged the flowers the best
    if behind.text in ("by", "after") or behind.text.startswith("for"):
        return False
    if behind.text == "as":  # named as the flowers opened, as Bombus
        return any(w.kinds & (x.OWN | x.WEAK_NAME) for w in words[k + 2 : k + 4])
    return behind.kinds != x.UNKNOWN or behind.text in _SMALL


def _named_next(words: list[Word], i: int, first: int, last: int) -> Span | None:
    """`someone's vase: flowers, no leaves. Named there and then.`: what is left of the plant.

    The other parts are denied, or the flowers are in a vase or a letter; then a sentence names.
    """
    if not any(w.kinds & (x.PART | x.DETACHED) for w in words[first : last + 1]):
        return None
    if _counted_or_gone(words, i):
        return None
    k = next((m for m in range(i, last) if words[m].kinds & x.BREAK), last) + 1
    while k < len(words) and words[k].kinds & (x.PRONOUN | x.SO | x.LIGHT | x.AND):
        k += 1
    if k >= len(words) or not _plainly_names(words, k, i):
        return None
    _, end = _sentence(words, k)
    shut_out = _shut_out(words, k, end)
    if shut_out is None:
        return None
    taken = any(words[p].kinds & (x.NOT | x.NEVER) and p not in shut_out for p in range(k, end + 1))
    return None if taken else (i, k)
