"""Whose words: what the recorder saw, or what somebody said, wrote or thought at first."""

from __future__ import annotations

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item

_SAID_BEHIND = frozenset(
    {"said", "says", "claimed", "reported", "on the form", "on the card", "on card", "on label"}
)


def hearsay(items: list[Item]) -> list[bool]:
    """For each item, whether it is somebody's word, or a first impression, not the recorder's."""
    marks = [False] * len(items)
    for i, item in enumerate(items):
        if item.kinds & v.WRONG and any(m.lead & v.BE for m in items[max(i - 1, 0) : i + 1]):
            for j in range(i):  # the note of leaf spots is a mistake
                marks[j] = marks[j] or items[j].phrase == item.phrase
    if not any(item.kinds & v.SAYS for item in items):
        return marks
    said = change = stated = False
    for i, item in enumerate(items):
        kinds = item.kinds
        if kinds & v.SAYS:
            said, stated, change = True, False, item.entry.text.endswith(" from")
            if item.entry.text in _SAID_BEHIND or _between_commas(items, i):
                phrase = item.phrase - (item.entry.text not in _SAID_BEHIND)
                for j in range(i):
                    marks[j] = marks[j] or items[j].phrase == phrase
        elif kinds & (v.TO if change else 0):
            said = False
        elif kinds & (v.LIMIT | v.ACTUALLY):
            said = said and bool(kinds & v.COLON) and not stated
        elif stated and kinds & v.SEE:
            said = False  # thought them plain till I saw the spots
        stated = stated or bool(kinds & v.STATE)
        marks[i] = said
    return marks


def _between_commas(items: list[Item], i: int) -> bool:
    """`leaf rings, I wrote, but …`: said of what stands before the comma."""
    if not i or not items[i - 1].kinds & v.COMMA:
        return False
    here = [item for item in items if item.phrase == items[i].phrase]
    return not any(item.kinds & (v.STATE | v.ORGAN) for item in here)
