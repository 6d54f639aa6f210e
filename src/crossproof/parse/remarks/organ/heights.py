"""Where on a stem a state was found: `cut at 5 cm: hollow. Cut at 15 cm: solid`."""

from __future__ import annotations

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item


def at_two_heights(items: list[Item], a: Mention, b: Mention) -> bool:
    """Whether each of two mentions says at what height it was found, and not at the same."""
    first, second = sorted((a.item, b.item))
    for k in range(first + 1, second):
        if items[k].kinds & v.LIMIT:
            low = _heights(items, range(first, -1, -1), k)
            high = _heights(items, range(k + 1, len(items)), len(items) - 1)
            return bool(low and high) and low != high
    return False


def _heights(items: list[Item], stretch: range, end: int) -> set[int]:
    """The heights named in a stretch of one sentence, and before the mark that ends it."""
    sentence = items[stretch[0]].sentence if stretch else -1
    here = [items[k] for k in stretch if items[k].sentence == sentence]
    here.append(items[end])
    found = {item.lead & v.HEIGHTS for item in here if item.lead & v.HEIGHTS}
    return found | {item.value for item in here if item.value >= 0 and item.kinds & v.WORD}
