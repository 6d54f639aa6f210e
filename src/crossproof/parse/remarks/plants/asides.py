"""Where and when a thing was seen, which says nothing of what it was like."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import is_sign
from crossproof.parse.remarks.plants.counted import THE_OTHERS
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends

_LONGEST = 6  # items: what goes on for longer is a thought of its own
_PLACES = v.ON | v.THE | v.LARGE | v.SIZE
_TELLS_MORE = v.VARIED | v.STATE | v.ORGAN | v.LIMIT
_GOES_ON = v.STATE | v.WITH | v.NOT | v.NONE
_SOME = THE_OTHERS | {"some", "most", "many"}
_POINTED_AT = frozenset(
    {"those", "the ones", "ones", "plants", "spikes", "specimens", "individuals", "the plant"}
)
_COUNTED = v.COUNT | v.PLANTS


def without_asides(items: list[Item]) -> list[Item]:
    """Leave out `by the ditch`, `on the upper bank` where they end a stretch, or a few plants.

    A sign keeps what stands behind it (`spots on the ovary`), and so does a state that has no organ
    and no plants before it (`solid by the gate` is no stem).
    """
    if not any(item.kinds & (v.ON | v.AMONG) for item in items):
        return items
    kept: list[Item] = []
    i = 0
    while i < len(items):
        last = _aside(items, i) if items[i].kinds & (v.ON | v.AMONG) and i else 0
        if last:
            i = last + 1
        else:
            kept.append(items[i])
            i += 1
    return kept


def _aside(items: list[Item], i: int) -> int:
    """The last item of the aside that begins with the preposition `i`, or 0."""
    around = items[i].kinds & v.LOOSE  # round the pond
    if (items[i].kinds & _TELLS_MORE and not around) or items[i - 1].kinds & v.LIMIT:
        return 0
    k, words = i + 1, 0
    named = v.OTHER if items[i - 1].entry.text == "the plant" else v.WORD  # under the willow
    while (
        k < len(items)
        and k - i <= _LONGEST
        and (_is_of_a_place(items[k]) or items[k].kinds == named)
    ):
        words += items[k].kinds in (v.WORD, named)
        k += 1
    if not words or items[k - 1].kinds not in (v.WORD, named):
        return 0
    if ends(items, k):
        return k - 1 if _says_of_plant(items, i) else 0
    goes_on = items[k].kinds & _GOES_ON and not items[k].kinds & v.LOOSE
    return k - 1 if goes_on and _sets_plants_apart(items, i) else 0


def _sets_plants_apart(items: list[Item], i: int) -> bool:
    """`most plain-leaved, a few by the ditch spotted`: two counts, and the second has a place."""
    if items[i - 1].entry.text in _POINTED_AT:
        return True
    if not items[i - 1].kinds & _COUNTED:
        return False
    before = [
        m for m in items[:i] if m.sentence == items[i].sentence and m.phrase < items[i].phrase
    ]
    told = any(m.kinds & v.STATE for m in before)
    return told and any(m.kinds & (v.COUNT | v.MANY) for m in before)


def _is_of_a_place(item: Item) -> bool:
    if item.kinds & _TELLS_MORE or item.value >= 0:
        return False
    return item.kinds == v.WORD or bool(item.kinds & _PLACES)


def _says_of_plant(items: list[Item], i: int) -> bool:
    """Whether what stands right before item `i` was said of an organ, or of so many plants."""
    before = items[i - 1]
    pointed = i > 2 and items[i - 2].kinds & v.THE and items[i - 3].kinds & v.ON
    if before.kinds & v.COUNT and before.entry.text not in _SOME and not pointed:
        return False  # 3 on the next leaf; but in the three by the ditch
    if is_sign(before):
        return False
    if not before.kinds & (v.STATE | v.ADJECTIVE | _COUNTED | v.NONE | v.NOT):
        return False
    here = [m for m in items[:i] if m.phrase == before.phrase]
    return any(m.kinds & (v.ORGAN | _COUNTED) for m in here)
