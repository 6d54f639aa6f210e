"""The list of nouns that a sign stands in, and whether an answer stands behind it."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, past

_NAMED = v.STATE | v.ORGAN
_JOINS = v.AND | v.OR | v.COMMA
OWN_WORDS: Final = v.THE | v.DEGREE | v.COUNT | v.NUMBER | v.STATE | v.ORGAN
# What may stand between the nouns and what is said of them: `both`, `not`, `alone`.
FILLS: Final = v.THE | v.ADVERB | v.VARIED | v.COUNT | v.NOT | v.OWN | v.AGAIN | v.ONLY


def first_of_list(items: list[Item], i: int) -> int:
    """Where the list of nouns begins that item `i` stands in: `spots, rings and a stem`."""
    first = i
    while first:
        kinds = items[first - 1].kinds
        if kinds & _JOINS and first > 1 and items[first - 2].kinds & _NAMED:
            first -= 2
        elif kinds & OWN_WORDS and not kinds & (v.LIMIT | v.NOT):
            first -= 1
        else:
            break
    return first


def last_of_list(items: list[Item], i: int) -> int:
    """Where that list ends: `leaf spots (on the leaves), rings and the stem`."""
    last = i
    while last + 1 < len(items):
        k = last + 1
        joins = items[k].kinds & _JOINS
        if joins or items[k].kinds & v.ON:
            k += 1
            k = past(items, k, v.THE)
            wanted = _NAMED if joins else v.ORGAN
        else:
            wanted = _NAMED
        if k >= len(items) or items[k].lead & v.BE or not items[k].kinds & wanted:
            break
        if items[k].entry.topic & v.TASK:
            break  # the column of a form
        last = k
    return last


def is_answered(items: list[Item], last: int) -> bool:
    """`column 'leaf spots': yes`; `aim: leaf spots - none`; `ignore the spots, but they are …`."""
    for (a, b), c in zip(pairwise(items[last:]), items[last + 2 :], strict=False):
        if a.kinds & v.BUT and b.kinds & v.THEY and c.lead & v.BE and not c.kinds & v.NOT:
            return True
        if a.kinds & v.BREAK and b.kinds & v.OWN and c.kinds & v.WITH:
            return True  # spots fade with age; these had some left
    if last + 1 < len(items) and items[last + 1].kinds & (v.YES | v.NONE):
        return ends(items, last + 2)
    if last + 2 >= len(items) or not (items[last + 1].kinds & v.COLON or is_dash(items, last + 1)):
        return False
    kinds = items[last + 2].kinds
    if items[last + 2].entry.text == "no" and last + 3 < len(items):
        return not items[last + 3].kinds & v.WORD  # leaf spots: no opportunity
    return bool(kinds & (v.YES | v.NONE | v.DEGREE)) or bool(
        kinds & v.COUNT and ends(items, last + 3)
    )


def is_dash(items: list[Item], j: int) -> bool:
    return j < len(items) and items[j].entry.text in v.DASHES


def finds(item: Item) -> bool:
    return bool(item.kinds & (v.WITH | v.SEE | v.BUT | v.NOT) or item.lead & v.BE)
