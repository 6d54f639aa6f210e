"""The opposite of what was said last, of another plant."""

from __future__ import annotations

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, sentence_before
from crossproof.parse.remarks.text.vocabulary import Vocabulary


def opposite_of_last(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary, last: int, plant: int
) -> Mention | None:
    """The denial of the state mentioned last before item `i`, of another plant."""
    before = [m for m in found if m.item < i]
    if not before or before[-1].weight == "questioned" or further_up(items, i):
        return None
    character = before[-1].character
    scale = vocabulary.scales[character]
    state = scale.denied.get(before[-1].state, "")
    if not state and (items[i].kinds & v.NONE or items[i - 1].kinds & v.COUNT):
        state = scale.absent  # rings on one, none on the other; some ringed, a few not
    if not state:
        return None
    start, end = min(i, last), max(i, last)
    return Mention(character, state, "stated", items[start].start, items[end].end, i, plant)


def only_relates(items: list[Item], sign: int, i: int) -> bool:
    """`with blotches on the leaf that the little one lacks`: other than the plant told of."""
    between = items[sign + 1 : i]
    return not any(m.kinds & (v.LIMIT | v.AND | v.STATE) for m in between)


def further_up(items: list[Item], i: int) -> bool:
    """`lower leaves spotted, those above without`: leaves of one plant."""
    if not items[i].lead & v.HEIGHTS:
        return False
    here = sentence_before(items, i)
    return any(m.lead & v.HEIGHTS for m in here) and not any(m.kinds & v.PLANTS for m in here)
