"""Denials farther off from the photo: behind an aside, or with their reason in between."""

from __future__ import annotations

from typing import Final

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word
from crossproof.parse.remarks.sources.photo_denial import Reading
from crossproof.parse.remarks.text.item import back

_LEAD: Final = x.THE | x.COUNT | x.GET | x.LIGHT | x.OF | x.OWN | x.PRONOUN
_PARTS: Final = x.STOP | x.BREAK | x.ASK | x.COLON | x.OPEN
_LONGEST_ASIDE = 7
_FARTHEST = 12
_FAILS: Final = frozenset({"forgot", "omitted", "neglected", "failed", "declined", "refused"})


def denied_afar(words: list[Word], i: int) -> Reading | None:
    """`forgot, in the rain, to take a photo`, `too busy counting to`, `nothing by way of`."""
    k = back(words, i - 1, _LEAD, x.LIMIT)
    if k < 0 or words[k].sentence != words[i].sentence:
        return None
    return _none_by_way(words, k, i) or _too_much(words, k, i) or _behind_aside(words, k, i)


def _none_by_way(words: list[Word], k: int, i: int) -> Reading | None:
    """`nothing to send in the form of a picture`; not `evidence in the form of a picture`."""
    if not words[k].kinds & x.WAY:
        return None
    for j in range(k - 1, max(k - _FARTHEST, -1), -1):
        if words[j].kinds & x.LIMIT:
            return None
        if words[j].kinds & (x.NONE | x.DENIAL):
            return Reading("denied", j, i)
    return None


def _too_much(words: list[Word], k: int, i: int) -> Reading | None:
    """`too taken up with the (spotted) leaves to get a picture`; not `too dark to count and so`."""
    if not words[k].text.startswith("to"):
        return None
    to_before_and = False
    j = _before_aside(words, k - 1)
    for _ in range(_FARTHEST):
        if j < 0 or words[j].text == "too":
            break
        if words[j].text == ")":
            j = _opening(words, j)
        elif words[j].kinds & (x.LIMIT | x.NOT):
            return None
        to_before_and = to_before_and or words[j].text == "and"
        if to_before_and and words[j].text == "to":
            return None
        j -= 1
    if j < 0 or words[j].text != "too":
        return None
    graded = not words[j + 1].kinds & (x.LIMIT | x.AND | x.OR | x.PREPOSITION)
    return Reading("denied", j, i) if graded else None


def _behind_aside(words: list[Word], k: int, i: int) -> Reading | None:
    """`omitted, to my shame, to take a picture`, `did not, I confess, get a photo`."""
    to = words[k].text.startswith("to")
    mark = k - 1 if to else k
    j = _before_aside(words, mark)
    if j < 0 or j == mark:
        return None
    fails = to and words[j].text in _FAILS
    verb = x.VERB if mark + 1 == i else x.GET
    never = not to and words[mark + 1].kinds & verb and _denies_verb(words, j)
    return Reading("denied", j, i) if fails or never else None


def _denies_verb(words: list[Word], j: int) -> bool:
    """`never`, `didn't`, `did not`; not `no`, which answers."""
    text = words[j].text
    helped = j > 0 and bool(words[j - 1].kinds & x.LIGHT)
    return text == "never" or text.endswith("n't") or (text == "not" and helped)


def _before_aside(words: list[Word], k: int) -> int:
    """The word before an aside that ends at mark `k`: `forgot, alas,`; `k` where there is none."""
    if k < 1 or words[k].text not in (",", ")"):
        return k
    opening = _opening(words, k)
    return opening - 1 if opening < k else k


def _opening(words: list[Word], k: int) -> int:
    """The mark that opens what the comma or bracket `k` closes; `k` where there is none near."""
    opens = "(" if words[k].text == ")" else ","
    for j in range(k - 1, max(k - 2 - _LONGEST_ASIDE, -1), -1):
        if words[j].text == opens:
            return j
        if words[j].kinds & _PARTS:
            return k
    return k
