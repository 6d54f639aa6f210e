"""What is said of marks: that they are there, how they are, or something else of no plant."""

from __future__ import annotations

from itertools import pairwise

from crossproof.parse.remarks.certainty.nouns import is_dash
from crossproof.parse.remarks.organ.attachment import is_sign
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, is_organ, past

_UNKNOWN = frozenset({v.WORD, v.WORD | v.VERB})
# What describes marks; the others have tests of their own.
_KNOWN = v.DESCRIBES | v.OPEN | v.TASK | v.GENERAL | v.DOES
_NAMES = v.SPECIES | v.OWN | v.OTHER | v.CROSS
_LOOKED_AT = frozenset({"checked", "examined", "inspected", "tested"})
_MAY = frozenset({"can", "may", "might"})
_BEFORE_STATE = v.DEGREE | v.ORGAN | v.STATE | v.THE | v.COUNT
_KIND = frozenset({"type", "kind", "sort", "class"})
_BEFORE_WORD = v.THE | v.OWN | v.ADVERB | v.HEDGE | v.NOT


def is_said_otherwise(items: list[Item], first: int, i: int, last: int) -> bool:
    """`leaf spots deserve a closer look`, `leaf spots my weak point`: a predicate we don't know.

    The nouns from `first` to `last` open their stretch, and the word behind neither says that
    there are such marks (`leaf spots cover half of it`) nor describes them (`leaf spots bluish`).
    """
    if first and not items[first - 1].kinds & v.LIMIT:
        return False
    if any(m.kinds & v.COMMA for m in items[first:last]):
        return False
    if items[last].kinds & v.EXCEPT or not (is_sign(items[last]) or is_organ(items[last])):
        return False
    k = _passed(items, last + 1)
    if k + 1 < len(items) and items[k].kinds & v.WITH and items[k + 1].lead & v.BE:
        k = _passed(items, k + 1)  # have been a puzzle
    if k < len(items) and (items[k].kinds & v.COLON or is_dash(items, k)) and is_sign(items[i]):
        k = _passed(items, k + 1)
    if k >= len(items) or items[k].value >= 0:
        return False
    item = items[k]
    if item.entry.text == "for" and (k > last + 1 or item.lead & v.BE):
        return True  # are for others to judge
    if item.kinds & v.PLAN and (k == last + 1 or items[k - 1].kinds & v.LIMIT):
        return True  # leaf spots need a better lens; leaf spots: homework
    if item.entry.text in _LOOKED_AT and is_sign(items[i]) and _ends_sentence(items, k + 1):
        return True  # leaf spots checked.
    if item.entry.text == "what" and k + 1 < len(items) and items[k + 1].kinds & v.THE:
        return True  # a hollow stem is what the key asks for
    return item.kinds in _UNKNOWN and not item.entry.topic & _KNOWN


def _ends_sentence(items: list[Item], k: int) -> bool:
    return k >= len(items) or bool(items[k].kinds & v.STOP)


def _passed(items: list[Item], k: int) -> int:
    """The first item from `k` on that is more than an article, a denial or a `perhaps`."""
    while k < len(items) and _is_passed(items[k]):
        k += 1
    return k


def _is_passed(item: Item) -> bool:
    before = item.kinds & _BEFORE_WORD and not item.kinds & v.DEGREE
    return bool(before) or item.entry.text in _KIND  # leaf spot type: select


def is_capability(items: list[Item], i: int) -> bool:
    """`stems can be hollow`, `hybrids may have rings`: of no plant seen; not `can be made out`."""
    j = i
    while j > 0 and items[j].kinds & _BEFORE_STATE and not items[j].lead & v.BE:
        j -= 1
    bound = items[j].lead & v.BE and not items[j].kinds & v.LIMIT
    return bool(bound or items[j].kinds & v.WITH) and j > 0 and items[j - 1].entry.text in _MAY


def is_equation(items: list[Item], i: int) -> bool:
    """`unspotted = praetermissa; spotted = fuchsii`: a key in small, and no plant."""
    here = [m for m in items if m.sentence == items[i].sentence]
    pairs = pairwise(here)
    return sum(a.entry.text == "=" and bool(b.kinds & _NAMES) for a, b in pairs) > 1


def is_on_a_thing(items: list[Item], i: int) -> bool:
    """`(leaves plain;) rings of the old pond`, `marks left by the oak`: no plant bears them."""
    on = i + 1 + (i + 2 < len(items) and items[i + 1].kinds == v.WORD)
    if on + 2 >= len(items) or not items[on].kinds & v.ON or not items[on + 1].kinds & v.THE:
        return False
    last = past(items, on + 2, v.WORD | v.OTHER)
    named = items[on + 2 : last]
    return bool(named) and ends(items, last) and not any(m.entry.topic for m in named)
