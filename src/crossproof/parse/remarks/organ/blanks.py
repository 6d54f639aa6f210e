"""Labels that nobody answered: `Leaf spots: ___`, `Hollow stem: don't know`."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, past

_BRACKETS = frozenset("([")
_SAID_OF_ORGAN = frozenset({"word", "alone", "certain"})


def is_unanswered(items: list[Item], i: int, at: Attachment) -> bool:
    """Whether item `i` is the label of a blank, a question mark, `don't know` or `see ...`.

    An adjective (`hollow stem: ...`) is a label only where it begins its stretch.
    """
    sign = at.sense.role == "sign"
    colon = i + 1
    if not sign and i and not items[i - 1].kinds & v.LIMIT:
        return False
    while colon < len(items) and (
        items[colon].kinds & (v.ON | v.THE) or at.character in items[colon].entry.organs
    ):
        colon += 1
    if colon >= len(items) or not items[colon].kinds & v.COLON:
        return False
    j = colon + 1
    while j < len(items) and (items[j].entry.text in v.DASHES or items[j].entry.text in _BRACKETS):
        j += 1
    if j >= len(items) or items[j].kinds & (v.STOP | v.ASK) or items[j].entry.text == "blank":
        return True
    answer = items[j].entry.senses.get(at.character)
    if sign and answer is not None and answer.role in _SAID_OF_ORGAN:
        return True  # leaf pattern: plain
    behind = items[j + 1].kinds if j + 1 < len(items) else v.LIMIT
    if items[j].kinds & (v.ORGAN | v.PHOTO | v.STATE) and _is_label(items, j):
        return True  # the next label
    if items[j].kinds & v.UNSURE and behind & v.LIMIT:
        return True
    return sign and items[j].kinds & (v.SEE | v.FORM | v.STATE) == v.SEE  # see photo; not: seen


def _is_label(items: list[Item], j: int) -> bool:
    """`stem: `, `hollow stem: `."""
    j = past(items, j, v.ORGAN | v.PHOTO | v.STATE)
    return j < len(items) and bool(items[j].kinds & v.COLON)
