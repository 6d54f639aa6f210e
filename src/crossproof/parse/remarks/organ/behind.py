"""The organ that stands behind its state: `spotted leaves`, `spots on the leaves`."""

from __future__ import annotations

from collections.abc import Mapping

from crossproof.parse.remarks.organ.attachment import (
    Attachment,
    group_behind,
    is_sign,
    known,
    sign_near,
)
from crossproof.parse.remarks.organ.carried import carried
from crossproof.parse.remarks.organ.scope import EVERY
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, is_organ, past
from crossproof.parse.remarks.text.vocabulary import Sense

_BEFORE_ORGAN = v.DEGREE | v.COUNT | v.HEDGE | v.NUMBER
_AFTER_SIGN = (
    v.WITH | v.DEGREE | v.SEE | v.YES | v.NONE | v.HEDGE | v.STATE | v.WORD | v.COUNT | v.ONLY
    | v.THE
)  # fmt: skip
_AFTER_ON = (
    v.THE | v.DEGREE | v.COUNT | v.WORD | v.ON | v.OWN | v.NUMBER | v.EXAMINE | v.STATE | v.TO
    | v.VARIED
)  # fmt: skip


def found_behind(items: list[Item], i: int, senses: Mapping[str, Sense]) -> Attachment | None:
    """The organ behind the word, by a preposition, or carried from before."""
    compound = i + 1 < len(items) and items[i + 1].kinds & v.ADJECTIVE  # spot-leaved
    if compound or any(sense.role != "sign" for sense in senses.values()):
        after, blocked = just_after(items, i)
        if after is not None or blocked:
            return after
    after, blocked = by_preposition(items, i)
    if after is not None or blocked:
        return after
    if items[i + 1 : i + 2] and items[i + 1].kinds & v.COLON:
        labelled, blocked = _labels_organs(items, i, senses)
        if labelled is not None or blocked:
            return labelled
    if items[i].soft and not any(sign_near(items, i, character) for character in senses):
        return None
    return carried(items, i)


def _labels_organs(
    items: list[Item], i: int, senses: Mapping[str, Sense]
) -> tuple[Attachment | None, bool]:
    """`Marked: leaves, bracts.`; and whether other organs are labelled: `Spots: on lip only`."""
    first = past(items, i + 2, v.ON | v.THE)
    if first >= len(items) or not items[first].kinds & v.ORGAN:
        return None, False
    for k in group_behind(items, first):
        if not _speaks_of_next(items, k):
            for character in senses:
                if character in items[k].entry.organs:
                    return Attachment(character, senses[character], k), False
    return None, not any(c in items[first].entry.organs for c in senses)


def just_after(items: list[Item], i: int) -> tuple[Attachment | None, bool]:
    """`spotted leaves`, `solid, pith-filled stem`: the organ follows its state."""
    crossed = False
    for j in range(i + 1, min(i + 8, len(items))):
        if items[j].kinds & v.ORGAN:
            for k in group_behind(items, j):
                listed = crossed or k > j
                if (found := known(items, i, k, True)) and not (listed and _new_pair(items, k)):
                    return found, False
            return None, not crossed and not _speaks_of_next(items, j)
        crossed = crossed or bool(items[j].kinds & (v.COMMA | v.AND | v.OR))
        if not _leads_to_organ(items, i, j, crossed):
            return None, False
    return None, False


def _leads_to_organ(items: list[Item], i: int, j: int, crossed: bool) -> bool:
    """Whether item `j` may stand between the state word `items[i]` and its organ behind it."""
    kinds = items[j].kinds
    if kinds & (v.COMMA | v.AND | v.OR):
        if j + 1 >= len(items):
            return True
        begins = kinds & v.COMMA and items[j + 1].entry.text in EVERY  # lip spotted, all leaves …
        if items[j + 1].kinds & v.COUNT and is_organ(items[min(j + 2, len(items) - 1)]):
            return False  # lip spotted, six leaves
        return not begins and bool(items[j + 1].kinds & (v.STATE | _BEFORE_ORGAN))
    if kinds & v.STATE:
        return bool(set(items[j].entry.senses) & set(items[i].entry.senses))
    if kinds & v.WORD:
        return not crossed and not any(item.kinds & v.WORD for item in items[i + 1 : j])
    if kinds & v.THE:
        return not items[i].soft and not crossed
    return bool(kinds & _BEFORE_ORGAN) and not kinds & v.HARD


def _speaks_of_next(items: list[Item], j: int) -> bool:
    """Whether organ `j` begins a pair of its own, unpunctuated: `leaf: spotted stem: hollow`."""
    k = j + 1
    while k < len(items) and items[k].kinds & (v.DEGREE | v.NOT | v.COLON | v.WITH):
        if items[k].kinds & v.COLON:
            return True
        k += 1
    return k < len(items) and any(c in items[k].entry.senses for c in items[j].entry.organs)


def _new_pair(items: list[Item], j: int) -> bool:
    """Whether organ `j` has a state of its own behind it: `spotted, stem solid`."""
    return (
        j + 1 < len(items)
        and bool(items[j + 1].kinds & v.STATE)
        and any(c in items[j + 1].entry.senses for c in items[j].entry.organs)
        and not bool(items[j - 1].kinds & v.STATE)
    )


def _begins_state(items: list[Item], j: int) -> bool:
    """`rings and (ordinary) spots`, `rings and (a few solid) spots`."""
    kinds = items[j].kinds
    if (kinds == v.WORD or kinds & v.COUNT) and j + 1 < len(items):
        k = past(items, j + 1, v.DEGREE)
        return k < len(items) and is_sign(items[k])
    return bool(kinds & (v.STATE | v.DEGREE) and not kinds & v.ORGAN)


def by_preposition(items: list[Item], i: int) -> tuple[Attachment | None, bool]:
    """`spots (seen) on the lower leaves`."""
    j, size = i + 1, len(items)
    words = 0
    if j + 1 < size and items[j].kinds & v.COMMA and items[j + 1].entry.text == "on":
        j += 1
    while j < size and not items[j].kinds & v.ON:
        kinds = items[j].kinds
        listed = (
            bool(kinds & (v.COMMA | v.OR | v.AND)) and j + 1 < size and _begins_state(items, j + 1)
        )
        words += bool(kinds & v.WORD)
        if words > 2 or (not kinds & _AFTER_SIGN and not listed) or kinds & (v.HARD | v.ORGAN):
            return None, False
        j += 1
    if j >= size:
        return None, False
    for k in range(j + 1, min(j + 7, size)):
        other = items[k]
        if other.kinds & v.ORGAN:
            for m in group_behind(items, k):
                if found := known(items, i, m, True):
                    return Attachment(found.character, found.sense, m), False
            return None, True
        if other.kinds & (v.SPECIES | v.OTHER):
            return None, False
        if not other.kinds & _AFTER_ON or other.kinds & v.LIMIT:
            return None, False
    return None, False
