"""Some plants have it and some have not, though the second half names no state of its own.

`most spotted, a third not`; `on the five in the ditch leaves spotted, on the three above they
weren't`; `leaf spots present or absent`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from crossproof.parse.remarks.organ.denial import outer_denial
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.organ.scope import LACKS
from crossproof.parse.remarks.plants.counted import THE_OTHERS, is_leaf_spotted
from crossproof.parse.remarks.plants.opposite import further_up, only_relates
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, back, ends, is_organ, past
from crossproof.parse.remarks.text.vocabulary import Vocabulary

MIXED = frozenset({"mixed", "mix", "a mix", "mixture", "a mixture"})
_LACKING, _HAVING = -300, -301  # plants that no count of ours numbers
_BEGINS = v.LIMIT | v.AND | v.OR | v.STATE | v.ORGAN
_NO_SUBJECT = v.ORGAN | v.SPECIES | v.OTHER | v.SAYS | v.SUPPOSE | v.ACTUALLY | v.UNSURE | v.EXAMINE
_PLANTS = v.COUNT | v.PLANTS | v.MANY
_TAKEN_BACK = v.SAYS | v.WRONG | v.ACTUALLY | v.SUPPOSE | v.ASK | v.PLAN
_AMOUNTS = v.YES | v.LARGE | v.MUCH | v.SLIGHT | v.SIZE | v.FAINT
_ONES = (" ones", " one")
_OURS = (*_ONES, "mine")
_PRINTED = frozenset({"yes", "no", "y", "n"})  # a form's choice
_DENIED = v.PHOTO | v.ORGAN | v.STATE | v.SPECIES | v.OTHER | v.LARGE  # many, none large
_JOINS = v.OR | v.TO | v.COMMA | v.AND


def some_lack(items: list[Item], found: list[Mention], vocabulary: Vocabulary) -> Iterator[Mention]:
    """The states of the plants that a bare denial speaks of."""
    for i, item in enumerate(items):
        if not item.kinds & (v.NOT | v.NONE) or item.kinds & (v.STATE | v.LIMIT):
            continue
        alone = _denies_alone(items, i) and outer_denial(items, i) == i and not further_up(items, i)
        m = _contrasted(items, i, found, vocabulary) if alone else None
        if m is not None:
            yield m
            return
    yield from _of_all_amounts(items, found, vocabulary)
    yield from _with_or_without(items, found, vocabulary)


def _denies_alone(items: list[Item], i: int) -> bool:
    """`… not.`, `… without.`, `… had none`, `… were free of them`; but not `0 absent`."""
    if i and items[i - 1].entry.text == "0":
        return False
    k = i + 1
    while k < len(items) and (items[k].kinds & v.THEY or items[k].entry.text == "so"):
        k += 1
    return ends(items, k, v.AND)


def _subject(items: list[Item], i: int) -> list[Item]:
    """What a denial is said of: `on the three new ones (they weren't)`, `most (not)`."""
    first = i
    while first and not _begins(items[first - 1]):
        first -= 1
    return items[first:i]


def _begins(item: Item) -> bool:
    """Whether the subject stands behind `item`; `those in the open`, `the small ones` go on."""
    goes_on = item.kinds & v.LOOSE or item.entry.text.endswith(_ONES)
    return bool(item.kinds & _BEGINS) and not (item.kinds & v.STATE and goes_on)


def _contrasted(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    subject = _subject(items, i)
    first = i - len(subject)
    if not _are_plants(items[:first], subject, items[i : i + 1]) or any(
        m.kinds & _NO_SUBJECT and not _is_a_place(items, first + k) for k, m in enumerate(subject)
    ):
        return None
    before = [m for m in found if m.item < i and _sentences_apart(items, m.item, i) < 2]
    if not before or before[-1].weight == "questioned" or before[-1].said:
        return None
    m = before[-1]
    if items[i].entry.text in LACKS and only_relates(items, m.item, i):
        return None
    if items[m.item].sentence != items[i].sentence and not _of_some(items, m.item):
        return None
    here = [k for k in items if items[m.item].sentence <= k.sentence <= items[i].sentence]
    scale = vocabulary.scales[m.character]
    leaves = any(
        a.kinds & v.COUNT and is_organ(b) and not is_leaf_spotted(here, k)
        for k, (a, b) in enumerate(pairwise(here), start=1)
    )
    if not scale.absent or leaves or _taken_back(items, here, (m.item, i)):
        return None
    state = scale.absent
    if m.state == scale.absent:
        state = scale.denied.get(m.state, "") if items[i].kinds & v.NOT else ""
    if not state:
        return None
    of = first if any(m.kinds & v.OTHER for m in subject) else i
    return replace(m, state=state, end=max(m.end, items[i].end), item=of, plant=_LACKING)


def _is_a_place(items: list[Item], k: int) -> bool:
    """`the two under the willow don't`: where they stand, and no plant of comparison."""
    if not items[k].kinds & v.OTHER or items[k].kinds & v.SPECIES:
        return False
    k = back(items, k - 1, v.THE, first=0)
    return k > 0 and bool(items[k].kinds & (v.ON | v.AMONG))


def _sentences_apart(items: list[Item], first: int, last: int) -> int:
    """How many sentences on item `last` stands; those that say nothing of a plant don't count."""
    return len({m.sentence for m in items[first : last + 1]}) - 1


def _taken_back(items: list[Item], here: list[Item], span: tuple[int, int]) -> bool:
    return any(k.kinds & _TAKEN_BACK for k in here) or any(
        k.kinds & v.RETRACTS for k in items[span[0] : span[1]]
    )


def _of_some(items: list[Item], i: int) -> bool:
    """Whether the sentence of state word `i` spoke of some plants: `in most leaves spotted.`"""
    return any(m.kinds & _PLANTS and m.sentence == items[i].sentence for m in items[:i])


def _of_leaves(before: list[Item], subject: list[Item]) -> bool:
    """`the lowest leaf has a spot, the others none`: leaves of one plant."""
    others = any(m.entry.text in THE_OTHERS for m in subject)
    return others and any(
        m.entry.text == "leaf" and not (b.kinds & v.STATE) for m, b in pairwise(before)
    )


def _are_plants(before: list[Item], subject: list[Item], behind: list[Item]) -> bool:
    """Whether some plants of several are named: `six`, `the others`, `the clump past it`, `B`."""
    if any(m.lead & v.HEIGHTS for m in (*subject, *behind)) or _of_leaves(before, subject):
        return False
    lettered = len(subject) in (1, 2) and subject[0].end - subject[0].start == 1
    return lettered or any(m.kinds & _PLANTS or m.entry.text.endswith(_OURS) for m in subject)


def of_both_sorts(
    items: list[Item], found: list[Mention], vocabulary: Vocabulary
) -> Iterator[Mention]:
    """`mixed for leaf spots`; `no two with the same leaves: nil, dots, rings`: some have none."""
    for m in found:
        absent = vocabulary.scales[m.character].absent
        if m.role != "sign" or not absent or m.state == absent or m.weight == "questioned":
            continue
        j = back(items, m.item - 1, v.ORGAN | v.THE, first=0)
        if j > 0 and items[j].kinds & v.ON and items[j - 1].entry.text in MIXED:
            yield replace(m, state=absent, start=items[j - 1].start, plant=_LACKING)
            return
        if (nil := _nil_in_list(items, m.item)) >= 0:
            yield replace(m, state=absent, start=items[nil].start, plant=_LACKING)
            return


def _nil_in_list(items: list[Item], i: int) -> int:
    """The `nil` of `all different: nil, dots, rings` or `dots, rings, nil` by the sign `i`; -1."""
    varied = any(m.kinds & v.VARIED and m.sentence == items[i].sentence for m in items[:i])
    for nil, sign in ((i - 2, i + 2), (i + 2, i - 2)):
        if not varied or min(nil, sign) < 0 or max(nil, sign) >= len(items):
            continue
        alone = items[nil].kinds & v.NONE and not items[nil].kinds & v.STATE
        joined = all(items[k].kinds & (v.COMMA | v.AND | v.OR) for k in (i - 1, i + 1))
        if alone and joined and items[sign].kinds & v.STATE:
            return nil
    return -1


def _of_all_amounts(
    items: list[Item], found: list[Mention], vocabulary: Vocabulary
) -> Iterator[Mention]:
    """`leaf spots present or absent`, `leaf spotting nil to dense`, `heavy/light/absent`."""
    for m in found:
        scale = vocabulary.scales[m.character]
        if m.role != "sign" or not scale.absent or not (amounts := _amounts(items, m.item)):
            continue
        kinds = [item.kinds for item in amounts]
        if any(k & v.NONE for k in kinds) and any(k & _AMOUNTS and not k & v.NONE for k in kinds):
            other = scale.absent
            if m.state == scale.absent:
                other = items[m.item].entry.senses[m.character].state
            yield replace(m, state=other, end=amounts[-1].end, plant=_HAVING)


def _with_or_without(
    items: list[Item], found: list[Mention], vocabulary: Vocabulary
) -> Iterator[Mention]:
    """`one plant with, six without, leaf spots`; `seven with, four without (leaf spots)`."""
    bare = [
        m
        for i, m in enumerate(items)
        if m.entry.text in ("with", "without")
        and ends(items, i + 1)
        and _are_plants([], items[:i], [])
    ]
    if {m.entry.text for m in bare} != {"with", "without"}:
        return
    for m in found:
        scale = vocabulary.scales[m.character]
        near = items[m.item].sentence == bare[-1].sentence and m.item > items.index(bare[-1])
        if m.role == "sign" and scale.absent and near:
            state = items[m.item].entry.senses[m.character].state
            other = state if m.state == scale.absent else scale.absent
            yield replace(m, state=other, start=bare[0].start, plant=_HAVING)
            return


def _amounts(items: list[Item], i: int) -> list[Item]:
    """The amounts behind the sign `i`, joined by `or`, `to` or `/`; none where more is said."""
    k = past(items, i + 1, v.COLON | v.VARIED | v.COMMA, v.STATE)
    found: list[Item] = []
    while k < len(items) and items[k].kinds & (_AMOUNTS | v.NONE) and not items[k].kinds & v.STATE:
        found.append(items[k])
        if k + 1 >= len(items) or not items[k + 1].kinds & _JOINS:
            if k + 1 < len(items) and items[k + 1].kinds & _DENIED:
                return []  # leaf spotting heavy, no photo
            break
        k += 2
    printed = {item.entry.text for item in found} <= _PRINTED
    return found if len(found) > 1 and not printed else []
