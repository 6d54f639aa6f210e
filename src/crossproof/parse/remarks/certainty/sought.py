"""What was looked for, and what came of it: `looked for spots, found none`."""

from __future__ import annotations

from crossproof.parse.remarks.organ.scope import Scope
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, past


def merely_looked_for(items: list[Item], i: int, scope: Scope) -> bool:
    """`looked for spots`, `spots looked for` say nothing until it says what was found."""
    if _is_sought(items, i):
        return not scope.denied
    j = i - 1
    while j >= 0 and items[j].phrase == items[i].phrase:
        sought = items[j].entry.text == "for" and any(
            m.kinds & v.EXAMINE and m.phrase == items[j].phrase for m in items[:j]
        )
        if items[j].kinds & v.LOOKED or sought:
            return not scope.denied and scope.last == i
        if j and items[j].kinds & v.SEE and items[j - 1].kinds & (v.AND | v.BUT):
            return False  # looked for marks and found rings
        if items[j].kinds & (v.OWN | v.THEY) and items[j - 1].kinds & v.AND:
            return False  # tried to squash it and it went flat
        j -= 1
    return False


def _is_sought(items: list[Item], i: int) -> bool:
    """`spots (on the leaves) looked for`, `hunted for`."""
    j = past(items, i + 1, v.ON | v.THE | v.ORGAN)
    words = items[j : j + 2]
    hunted = len(words) > 1 and words[0].kinds & v.EXAMINE and words[1].entry.text == "for"
    return bool(words and (words[0].kinds & v.LOOKED or hunted))


def outcome_of(items: list[Item], i: int) -> tuple[bool, int] | None:
    """What came of looking for item `i`, and the item that says so: `found none`, `found a few`."""
    for j in range(i + 1, min(i + 9, len(items))):
        kinds = items[j].kinds
        if items[j].sentence != items[i].sentence or kinds & v.STATE:
            return None
        vain = j + 1 >= len(items) or items[j + 1].kinds & (v.SEE | v.YES | v.LIMIT)
        if kinds & v.NONE or (kinds & v.NOT and vain):
            return False, j
        if kinds & v.FULFILLED and ends(items, j + 1):
            return True, j  # and found them
        if kinds & (v.COUNT | v.SIZE) and items[j - 1].kinds & (v.SEE | v.YES | v.COLON | v.BREAK):
            return True, j
        if kinds & v.SEE and items[j - 1].kinds & (v.YES | v.COUNT):
            return True, j  # plenty found
        found = items[j].entry.text == "found" and items[j - 1].kinds & (v.AND | v.COMMA)
        if found and not any(m.kinds & (v.NONE | v.NOT) for m in items[j + 1 : j + 2]):
            return None if _something_else(items, j + 1) or _found_so(items, i, j) else (True, j)
    return None


def _found_so(items: list[Item], i: int, j: int) -> bool:
    """`(leaves checked for spots and found) clean`: a state of their own."""
    senses = items[j + 1].entry.senses if j + 1 < len(items) else {}
    return any(c in senses and senses[c].role != "sign" for c in items[i].entry.senses)


def _something_else(items: list[Item], j: int) -> bool:
    """`(went looking for spots, found) the gate locked`."""
    the, what, behind = (*(m.kinds for m in items[j : j + 3]), 0, 0, 0)[:3]
    return bool(the & v.THE) and what == v.WORD and not behind & v.COUNT  # found a wide one
