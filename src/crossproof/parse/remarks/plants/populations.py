"""Several plants in one remark: counted off, told apart, read by each other's characters."""

from __future__ import annotations

from crossproof.parse.remarks.organ.alone import only_states
from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.plants.counted import (
    GENERALLY,
    THE_OTHERS,
    counted_behind,
    counts_plants,
    in_letters,
    in_order,
    is_lettered,
    is_numbered,
    is_twin,
)
from crossproof.parse.remarks.plants.limited import number_of
from crossproof.parse.remarks.plants.places import begins_in_a_place
from crossproof.parse.remarks.plants.single import of_counted_leaves
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, back, ends, is_organ, sets_apart

_ANOTHER_ONE = ("the other ", "that one", "the next one", "as many ")


def groups(items: list[Item]) -> list[int]:
    """Number the plants: words that count them off (`some`, `others`, `5 with`) start a new one."""
    numbers = [0] * len(items)
    cues = [
        i
        for i in range(len(items))
        if (items[i].kinds & v.COUNT and counts_plants(items, i))
        or (items[i].kinds & v.STATE and counted_behind(items, i))
        or is_numbered(items, i)
        or is_twin(items, i)
        or items[i].counted
        or _with_its_figure(items, i)
        or (items[i].kinds & v.STATE and items[i].kinds & v.COUNT)
    ]
    told_apart = [i for i in range(len(items) - 1) if _contrasted(items, i) or _sized(items, i)]
    if len(told_apart) > 1:
        cues.extend(told_apart)
    lettered = [i for i in range(len(items)) if is_lettered(items, i, bool(cues))]
    if len(lettered) > 1 or cues:
        cues.extend(lettered)
    cues.extend(in_letters(items))
    cues.extend(_counted_by_organ(items))
    cues.extend(in_order(items))
    if not cues or of_counted_leaves(items, cues[0]):
        return numbers
    told = {item.sentence for item in items if item.kinds & v.STATE}
    plural = any(_other_plants_have(items, i) for i in cues) or any(
        item.kinds & v.MANY
        or (item.kinds & v.VARIED and item.sentence in told)
        or item.entry.text.startswith(_ANOTHER_ONE)
        or item.entry.text in GENERALLY
        or is_twin(items, i)
        for i, item in enumerate(items)
    )
    if len(cues) < 2 and not plural:
        return numbers
    number, cue = 0, set(cues)
    for i in range(len(items)):
        if i in cue:
            number += 1
        numbers[i] = number
    return numbers


def _with_its_figure(items: list[Item], i: int) -> bool:
    """`leaves: spotted 17, unspotted 13`."""
    if not items[i].kinds & v.STATE or not ends(items, i + 2, v.OR):
        return False
    return i + 1 < len(items) and items[i + 1].value > 0


def _counted_by_organ(items: list[Item]) -> list[int]:
    """`Nine plants: 4 lvs spotted, 5 lvs plain`: as many as there are plants, so not of leaves."""
    parts = [
        i
        for i in range(1, len(items) - 2)
        if items[i].kinds & v.COUNT and is_organ(items[i + 1]) and items[i + 2].kinds & v.STATE
    ]
    total, first = sum(number_of(items[i]) for i in parts), parts[0] if parts[1:] else 0
    plants = [k for k in range(1, first) if items[k].kinds & v.PLANTS]
    whole = any(number_of(items[k - 1]) == total for k in plants)
    return parts if whole else []


def _other_plants_have(items: list[Item], i: int) -> bool:
    """`some of the fourteen showed bars, the rest had none`: leaves don't have leaves."""
    if items[i].entry.text not in THE_OTHERS or i + 1 >= len(items):
        return False
    here = [m for m in items[:i] if m.sentence == items[i].sentence and m.phrase < items[i].phrase]
    counted = any(m.kinds & v.COUNT for m in here[:2])
    return counted and bool(items[i + 1].kinds & v.WITH)


def _contrasted(items: list[Item], i: int) -> bool:
    """`the tall plants had …, the short ones had none`."""
    told = v.WITH | v.NOT | v.NONE | v.STATE
    return bool(items[i].kinds & v.MANY and items[i + 1].kinds & told)


def _sized(items: list[Item], i: int) -> bool:
    """`leaves of the big plant ringed, of the small plant plain`."""
    sized = items[i].kinds & (v.SIZE | v.LARGE) and items[i + 1].kinds & v.PLANTS
    return bool(sized and i + 2 < len(items) and items[i + 2].kinds & v.STATE)


def read_plants(items: list[Item], attached: dict[int, Attachment | None]) -> set[int]:
    """Where some plants' state is plain to read, read the other plants' by the same character.

    Returns the state words that are read of other plants than the rest.
    """
    apart: set[int] = set()
    loose = {
        i: found
        for i, at in attached.items()
        if at is None
        and not items[i].soft
        and (found := _without_organ(items, i))
        and not _of_another_part(items, i, found.character)
    }
    for i, at in loose.items():
        rivals = (
            k
            for k, other in loose.items()
            if other.character == at.character and other.sense.state != at.sense.state
        )
        compared = i + 1 < len(items) and items[i + 1].kinds & v.THAN
        told_apart = any(
            (_counted(items, k) and _counted(items, i)) or _paired(items, i, k) for k in rivals
        )
        if compared or told_apart or _others_lack_it(items, i):
            attached[i] = at
            apart |= {i} if told_apart else set()
    for i, found in loose.items():
        alike = [
            a
            for k, a in attached.items()
            if a is not None
            and items[k].sentence == items[i].sentence
            and (
                items[k].clause == items[i].clause
                or _counted(items, i)
                or _counted_behind_brackets(items, i)
                or any(_seen_now(items, j) for j in range(i) if items[j].clause == items[i].clause)
            )
        ]
        if any(
            a.sense.state != found.sense.state
            and (a.character == found.character or only_states(items, i))
            for a in alike
        ):
            attached[i] = found
            apart |= {i} if any(a.character == found.character for a in alike) else set()
    return apart


def _of_another_part(items: list[Item], i: int, character: str) -> bool:
    """`bracts long and spotted, leaves plain`, `lips varied, some spotted`: of the organ before."""
    label = i > 1 and sets_apart(items[i - 1])
    beside = [items[k] for k in (i - 1 - label, i + 1) if 0 <= k < len(items)]
    if any(is_organ(m) and character not in m.entry.organs for m in beside):
        return True  # leaves plain and lip spotted; lip: spotted; a spotted lip
    others = i and items[i - 1].entry.text in THE_OTHERS  # some lips looped, others dotted
    first = items[i].phrase - bool(others)
    organs = [m.entry.organs for m in items[:i] if m.phrase >= first and is_organ(m)]
    if i and items[i - 1].kinds & v.COUNT and not organs:
        organs = [m.entry.organs for m in _last_named(items, i) if is_organ(m)]
    return bool(organs) and not any(character in named for named in organs)


def _last_named(items: list[Item], i: int) -> list[Item]:
    """The organ or the plants that the clause of item `i` named last."""
    named = [m for m in items[:i] if m.clause == items[i].clause and not m.kinds & v.STATE]
    return [m for m in named if m.kinds & (v.ORGAN | v.PLANTS | v.MANY)][-1:]


def _others_lack_it(items: list[Item], i: int) -> bool:
    """`a third are spotted, the others not`."""
    return _counted(items, i) and any(
        items[j].kinds & v.COUNT
        and items[j + 1].kinds & (v.NOT | v.NONE)
        and ends(items, j + 2)
        and items[j].sentence == items[i].sentence
        for j in range(i + 1, len(items) - 1)
    )


def _seen_now(items: list[Item], j: int) -> bool:
    """`listed as plain-leaved; this year's plant spotted`."""
    return j >= 0 and bool(items[j].kinds & v.ACTUALLY and items[j + 1].kinds & v.PLANTS)


def _counted_behind_brackets(items: list[Item], i: int) -> bool:
    """`spotted (9)`."""
    return (
        i + 2 < len(items)
        and items[i + 1].entry.text == "("
        and bool(items[i + 2].kinds & v.NUMBER)
    )


def _paired(items: list[Item], i: int, k: int) -> bool:
    """`spotted and plain forms`."""
    first, last = min(i, k), max(i, k)
    joined = last - first == 2 and items[first + 1].kinds & v.AND
    return bool(joined) and last + 1 < len(items) and bool(items[last + 1].kinds & v.MANY)


def _counted(items: list[Item], i: int) -> bool:
    """`3 spotted`, `spotted on 3`, `one plain-leaved, its neighbour spotted`."""
    j = i - 1
    if j >= 0 and is_twin(items, j):
        return True
    if j > 0 and items[j].kinds & v.CROSS:
        j -= 1  # 3 x spotted
    if j > 0 and items[j].kinds & v.PLANTS:
        j -= 1
        j = back(items, j, v.THE | v.ON, v.COUNT, first=0)  # a few of the plants spotted
    return (j >= 0 and bool(items[j].kinds & v.COUNT)) or counted_behind(items, i)


def _without_organ(items: list[Item], i: int) -> Attachment | None:
    """Read the adjective `items[i]` of whole plants: `3 spotted, 2 unspotted`, `spotted plants`."""
    item = items[i]
    before = items[i - 1].kinds if i else v.LIMIT
    after = items[i + 1].kinds if i + 1 < len(items) else v.LIMIT
    j = i - 1
    while (
        j >= 0
        and items[j].kinds & (v.DEGREE | v.PLANTS | v.THE | v.ON | v.CROSS)
        and not items[j].kinds & (v.COUNT | v.LIMIT)
    ):
        j -= 1
    counted = j >= 0 and bool(items[j].kinds & (v.COUNT | v.PLANTS | v.VARIED))
    counted = counted or (j >= 0 and is_twin(items, j))
    compared = bool(after & v.THAN) and not any(
        m.kinds & v.ORGAN and m.sentence == item.sentence for m in items[:i]
    )
    linked = (
        compared
        or _seen_now(items, j)
        or only_states(items, i)
        or (j >= 0 and bool(items[j].kinds & (v.AND | v.OR | v.TO)))
        or bool((before | after) & (v.AND | v.OR | v.TO))
        or counted
        or counted_behind(items, i)
        or bool((after | (0 if item.kinds & v.LOOSE else before)) & v.PLANTS)
        or _excepted(items, i)
        or begins_in_a_place(items, i) >= 0
    )
    if not linked or item.soft:
        return None
    roles = ("word", "alone") if _excepted(items, i) else ("word",)
    figure = i and items[i - 1].value > 0 and not item.kinds & v.PLANTS
    if figure and (i == 1 or items[i - 2].kinds & v.LIMIT):
        roles = (*roles, "short")  # 8 sp, 4 unsp
    for character, sense in item.entry.senses.items():
        if sense.role in roles:
            return Attachment(character, sense, -1)
    return None


def _excepted(items: list[Item], i: int) -> bool:
    """`apart from a single unmarked plant`."""
    j = back(items, i - 1, v.THE | v.COUNT | v.DEGREE, v.LIMIT)
    behind = items[i + 1].kinds if i + 1 < len(items) else 0
    return j >= 0 and bool(items[j].kinds & v.EXCEPT and behind & (v.PLANTS | v.OWN))
