"""Labels that nobody answered: `Leaf spots: ___`, `Hollow stem: don't know`."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import Attachment, is_sign
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, is_organ, past, stops, stretch_start

_PASSED = v.DASHES | frozenset("([")
_LABELS = v.ORGAN | v.PHOTO | v.STATE
_SAID_OF_ORGAN = frozenset({"word", "alone", "certain"})


def is_unanswered(items: list[Item], i: int, at: Attachment) -> bool:
    """Whether item `i` is the label of a blank, a question mark, `don't know` or `see ...`.

    An adjective (`hollow stem: ...`, `stem hollow: ...`) is a label only where it, or its organ,
    begins its stretch.
    """
    sign = at.sense.role == "sign"
    colon = i + 1
    first = max(stretch_start(items, i), _behind_slash(items, i))
    if not sign and first < i and (at.organ != first or i > first + 1):
        return False
    while colon < len(items) and (
        items[colon].kinds & (v.ON | v.THE)
        or at.character in items[colon].entry.organs
        or items[colon].entry.text == "present"  # leaf spots present: …
    ):
        colon += 1
    apart = first in (i, at.organ) and _is_apart(items, colon)
    if sign and apart and _names_state(items, colon + 1, at):
        return stops(items, past(items, colon + 1, v.NOT | v.THE, v.STATE) + 1)
    if not apart and (colon >= len(items) or not items[colon].kinds & v.COLON):
        return False
    j = colon + 1
    while j < len(items) and _passes(items[j]):
        j += 1
    if j >= len(items) or (stops(items, j) and not (apart and j == colon + 1)):
        return not apart or j > colon + 1
    if items[j].entry.text == "blank":
        return True
    if sign and _names_state(items, j, at):
        return True
    behind = items[j + 1].kinds if j + 1 < len(items) else v.LIMIT
    if (sign or first == i) and items[j].kinds & _LABELS and _is_label(items, j):
        return True  # the next label
    open_yet = items[j].kinds & (v.UNSURE | v.AGAIN) or items[j].entry.topic & v.OPEN
    if open_yet and stops(items, j + 1):
        return True
    return sign and not apart and items[j].entry.text == "see" and bool(behind & v.PHOTO)


def _passes(item: Item) -> bool:
    """What may stand before an answer: a dash that is no minus, a bracket, a second colon."""
    return bool(item.kinds & v.COLON) or (item.entry.text in _PASSED and not item.kinds & v.NONE)


def _behind_slash(items: list[Item], i: int) -> int:
    """Where a label begins behind another: `photo: no / leaf spots: ...`, not `hollow/solid:`."""
    slash = next((k for k in range(i - 1, 0, -1) if items[k].entry.text == "/"), 0)
    choice = slash and items[slash - 1].kinds & v.STATE and not is_organ(items[slash + 1])
    return slash + 1 if slash and not choice else 0


def _is_apart(items: list[Item], k: int) -> bool:
    """A dash between spaces: not that of `ring -marked`."""
    dash = k + 1 < len(items) and items[k].entry.text in v.DASHES
    return dash and items[k].end < items[k + 1].start


def _names_state(items: list[Item], j: int, at: Attachment) -> bool:
    """`leaf pattern: plain`, `leaf pattern - plain`, `leaf marks: no spots`: it was a label."""
    k = past(items, j, v.NOT | v.THE, v.STATE)
    if j < k < len(items) and is_sign(items[k], at.character) and stops(items, k + 1):
        return k + 1 >= len(items) or not items[k + 1].kinds & (v.COLON | v.ASK)
    answer = items[k].entry.senses.get(at.character) if k < len(items) else None
    return answer is not None and answer.role in _SAID_OF_ORGAN


def _is_label(items: list[Item], j: int) -> bool:
    """`stem: `, `hollow stem: `."""
    j = past(items, j, _LABELS)
    return j < len(items) and bool(items[j].kinds & v.COLON)
