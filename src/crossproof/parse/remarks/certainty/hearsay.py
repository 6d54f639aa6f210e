"""Whose words: what the recorder saw, or what somebody said, wrote or thought at first."""

from __future__ import annotations

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item

_SAID_BEHIND = frozenset(
    {"said", "says", "claimed", "reported", "on the form", "on the card", "on card", "on label"}
)


def hearsay(items: list[Item]) -> list[bool]:
    """For each item, whether it is somebody's word, or a first impression, not the recorder's."""
    marks = [False] * len(items)
    for i, item in enumerate(items):
        near = items[max(i - 1, 0) : i + 1]
        mistaken = any(m.lead & v.BE or m.entry.text in ("in", "by") for m in near)  # in error
        if item.kinds & v.WRONG and mistaken:
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
            said = said and (bool(kinds & v.COLON) or _closes_aside(items, i)) and not stated
        elif stated and kinds & v.SEE:
            said = False  # thought them plain till I saw the spots
        stated = stated or bool(kinds & v.STATE)
        marks[i] = said
    return marks


def _closes_aside(items: list[Item], i: int) -> bool:
    """`leaves, I had been told, were plain`: what was told stands behind the second comma."""
    if not items[i].kinds & v.COMMA or not items[i - 1].kinds & v.SAYS:
        return False
    here = [m for m in items[: i - 1] if m.sentence == items[i].sentence]
    return _between_commas(items, i - 1) and not any(m.kinds & v.STATE for m in here)


def _between_commas(items: list[Item], i: int) -> bool:
    """`leaf rings, I wrote, but …`: said of what stands before the comma."""
    if not i or not items[i - 1].kinds & v.COMMA:
        return False
    here = [item for item in items if item.phrase == items[i].phrase]
    return not any(item.kinds & (v.STATE | v.ORGAN) for item in here)


def quoted(items: list[Item], found: list[Mention]) -> None:
    """`Meg put 'solid'; cut since, it is hollow`: quoted words give way to the recorder's own."""
    for m in found:
        if items[m.item].quoted and any(
            o.character == m.character and o.state != m.state and not items[o.item].quoted
            for o in found
        ):
            m.said = True
