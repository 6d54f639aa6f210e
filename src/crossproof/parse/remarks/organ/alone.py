"""What stands with a state word: nothing else, only other states, an article."""

from __future__ import annotations

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item


def nothing_else_said(items: list[Item], i: int) -> bool:
    """Whether the stretch around item `i` holds no word that we don't know."""
    phrase = items[i].phrase
    off = v.WORD | v.TRAP | v.SPECIES | v.PHOTO_TRAP
    ends = v.THAN | v.LIKE
    j = i - 1
    while j >= 0 and items[j].phrase == phrase and items[j].entry.text != "/":
        if items[j].kinds & off:
            return False
        j -= 1
    j = i + 1
    if j < len(items) and items[j].kinds & v.NAMED and items[j].phrase == phrase:
        return False  # a solid identification
    while j < len(items) and items[j].phrase == phrase and not items[j].kinds & ends:
        if items[j].entry.text == "/":
            break
        them = items[j].kinds & v.THEY and items[j - 1].kinds & v.ON
        if items[j].kinds & off and not (them or _is_a_share(items, j)):
            return False
        j += 1
    return True


def _is_a_share(items: list[Item], j: int) -> bool:
    """`hollow 10/10`: the first figure of a share."""
    return items[j].value >= 0 and j + 1 < len(items) and items[j + 1].entry.text == "/"


def pointed_at(items: list[Item], i: int) -> bool:
    return i > 0 and items[i - 1].entry.text in ("the", "this", "that")


def only_states(items: list[Item], i: int) -> bool:
    """Whether the sentence of item `i` holds nothing but states: `spotted/hollow`."""
    states = 0
    for item in items:
        if item.sentence == items[i].sentence:
            if not item.kinds & (v.STATE | v.OR | v.AND | v.LIMIT | v.DEGREE | v.NOT | v.PHOTO):
                return False
            states += bool(item.kinds & v.STATE)
    return states > 1
