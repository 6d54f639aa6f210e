"""Marks on a leaf that are none of its own: mud, rust, dirt that came off."""

from __future__ import annotations

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item

SPEAKS_OF = v.BLEMISH | v.CAME_OFF
_ENDS = v.LIMIT | v.EXCEPT
_STANDS_FOR_THEM = frozenset({"it", "they", "these", "them", "this", "it's"})


def blemished(items: list[Item], i: int) -> bool:
    """Whether the marks of state word `i` are dirt: `rust spots`, `spots, but they rubbed off`."""
    return _named_with(items, i) or _came_off(items, i) or _proved_dirt(items, i)


def _named_with(items: list[Item], i: int) -> bool:
    """`splashed with mud`, `rust spots`."""
    phrase = items[i].phrase
    j = i
    while j > 0 and items[j - 1].phrase == phrase and not items[j - 1].kinds & _ENDS:
        j -= 1
    while j < len(items) and items[j].phrase == phrase and not items[j].kinds & _ENDS:
        if items[j].kinds & v.BLEMISH and not (j and items[j - 1].kinds & v.NOT):
            return True
        j += 1
    return False


def _came_off(items: list[Item], i: int) -> bool:
    """`the specks on the leaves rubbed off`; what is said behind that is of the leaf itself."""
    for j in range(i + 1, len(items)):
        kinds = items[j].kinds
        if kinds & v.CAME_OFF:
            return not items[j - 1].kinds & (v.NOT | v.BLEMISH)
        if kinds & v.STOP or (kinds & v.STATE and _alike(items[j], items[i])):
            return False
    return False


def _proved_dirt(items: list[Item], i: int) -> bool:
    """`spots, but it was only mud`, `took them for spots, they turned out to be rust`."""
    pointed = False
    for j in range(i + 1, len(items)):
        kinds = items[j].kinds
        if items[j].sentence > items[i].sentence + 1:
            return False
        if kinds & v.BLEMISH:
            return pointed and not items[j - 1].kinds & v.NOT
        if kinds & v.STATE and _alike(items[j], items[i]):
            return False
        if kinds & v.ACTUALLY or items[j].entry.text in _STANDS_FOR_THEM:
            pointed = True
        elif kinds & v.LIMIT:
            pointed = False
    return False


def _alike(a: Item, b: Item) -> bool:
    return not a.entry.senses.keys().isdisjoint(b.entry.senses)
