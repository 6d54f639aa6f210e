"""A state word that could not be placed makes doubtful what its rivals say of the same organ."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from crossproof.parse.remarks.organ.attach import is_a_place
from crossproof.parse.remarks.organ.attachment import is_sign
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.plants.counted import is_numbered
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item
from crossproof.parse.remarks.text.vocabulary import Scale

_SPEAKS = frozenset({"word", "alone", "certain"})  # roles of a state said of an organ
_PARTS = v.LIMIT | v.AND
_EXPLAINS = (
    v.SAYS | v.SUPPOSE | v.PLAN | v.ACTUALLY | v.WRONG | v.UNSURE | v.TRAP | v.OTHER | v.SPECIES
    | v.NOT | v.NONE
)  # fmt: skip


def without_rivals(
    items: list[Item], found: list[Mention], loose: Iterable[int], scales: Mapping[str, Scale]
) -> list[Mention]:
    """Leave out mentions beside which a word for another state stands that nothing was made of.

    `half with unmarked leaves, half with barred`: what `barred` is of was not understood, so the
    sentence was not, and the one state that was read would be half the truth. `loose` are the
    state words without an organ that nobody struck out and that speak of no other plant.
    """
    found = [m for m in found if not _half_counted(items, m, found)]
    rivals = [(items[i], states) for i in loose if (states := _unplaced(items, i))]
    if not rivals:
        return found
    return [m for m in found if not any(_against(items, m, *rival, scales) for rival in rivals)]


def _half_counted(items: list[Item], m: Mention, found: list[Mention]) -> bool:
    """`four flat, one firm`: of the four nothing was made, so the one is not the whole truth."""
    i = m.item
    if not i or not items[i - 1].kinds & v.COUNT or (i > 1 and not items[i - 2].kinds & _PARTS):
        return False
    if any(o is not m and o.character == m.character for o in found):
        return False
    return any(
        items[k].kinds & v.COUNT
        and items[k].sentence == items[i].sentence
        and items[k + 1].kinds == v.WORD
        and items[k + 2].kinds & _PARTS
        and (not k or items[k - 1].kinds & _PARTS)
        for k in range(len(items) - 2)
    )


def _unplaced(items: list[Item], i: int) -> dict[str, str]:
    """The states, by character, that item `i` may well say of the recorded plant."""
    item = items[i]
    if i > 2 and items[i - 1].kinds & v.COMMA and items[i - 3].kinds & v.EXCEPT:
        return {}  # all spotted apart from two, plain
    turned = _behind_but(items, i)
    speaks = _SPEAKS | {"sign"} if turned or _of_plants(items, i) else _SPEAKS
    states = {c: sense.state for c, sense in item.entry.senses.items() if sense.role in speaks}
    if (
        not states
        or item.soft
        or (item.kinds & v.LOOSE and not turned)
        or is_a_place(items, i)
        or _is_explained(items, i)
    ):
        return {}
    organ = _organ_before(items, i)
    if organ is not None:
        states = {c: state for c, state in states.items() if c in organ.entry.organs}
    return states


def _behind_but(items: list[Item], i: int) -> bool:
    """`firm enough, but there was a hole in it`: a noun that turns what was said before."""
    if not is_sign(items[i]) or items[i].soft:
        return False
    for j in range(i - 1, -1, -1):
        if items[j].kinds & (v.NOT | v.NONE) or items[j].sentence != items[i].sentence:
            return False
        if items[j].kinds & v.BUT:
            return True
    return False


def _of_plants(items: list[Item], i: int) -> bool:
    """`spots on four, …`: said of plants, whatever their organ."""
    return len(items) > i + 2 and bool(items[i + 1].kinds & v.ON and items[i + 2].kinds & v.COUNT)


def _is_explained(items: list[Item], i: int) -> bool:
    """Whether the stretch of item `i` speaks of what was written, supposed, or of another organ."""
    here = items[i].sentence
    if any(m.kinds & (v.WRONG | v.RETRACTS) and m.sentence == here for m in items):
        return True
    j = i
    while j > 0 and items[j - 1].phrase == items[i].phrase:
        j -= 1
    while j < len(items) and items[j].phrase == items[i].phrase:
        kinds = items[j].kinds
        explains = kinds & _EXPLAINS and not (kinds & v.ACTUALLY and j < i)
        if explains or (kinds & v.ORGAN and j > i) or is_numbered(items, j):
            return True
        j += 1
    return False


def _organ_before(items: list[Item], i: int) -> Item | None:
    for j in range(i - 1, -1, -1):
        if items[j].sentence != items[i].sentence:
            return None
        if items[j].kinds & v.ORGAN:
            return items[j]
    return None


def _found_later(items: list[Item], here: Item, rival: Item) -> bool:
    """`I wrote that it was hollow. I have since sliced it and it is solid.`"""
    return rival.sentence == here.sentence + 1 and any(
        m.kinds & v.ACTUALLY and m.phrase == rival.phrase and m.start < rival.start for m in items
    )


def _against(
    items: list[Item], m: Mention, rival: Item, states: dict[str, str], scales: Mapping[str, Scale]
) -> bool:
    """Whether the two differ; a degree between the poles is a rival of neither."""
    here = items[m.item]
    if rival.sentence != here.sentence and not _found_later(items, here, rival):
        return False
    if rival.clause < here.clause and _organ_before(items, items.index(rival)) is None:
        return False  # `bank spotted with gorse; leaves plain`: of no organ, and before any
    slightly = scales[m.character].slightly.values()
    state = states.get(m.character, m.state)
    return state != m.state and state not in slightly and m.state not in slightly
