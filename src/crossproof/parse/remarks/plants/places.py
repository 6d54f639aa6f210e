"""Plants told apart by where they stand: `spots at the seaward end, none at the landward end`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, past, stretch_start
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_APART = -600  # numbers the plants of another place
_OF = "of"


def by_place(items: list[Item], found: list[Mention], vocabulary: Vocabulary) -> Iterator[Mention]:
    """Part two states of two places; yield the one that only `none at the other end` stands for."""
    for a, b in pairwise(sorted(found, key=lambda m: m.item)):
        absent = vocabulary.scales[a.character].absent
        opposite = a.character == b.character and absent in (a.state, b.state) and absent
        apart = opposite and a.state != b.state and a.plant == b.plant
        behind = _in_a_place(items, a.item) and _in_a_place(items, b.item)
        before = min(begins_in_a_place(items, m.item) for m in (a, b)) >= 0
        if apart and (behind or before):
            b.plant = _APART
    for i, item in enumerate(items):
        if not item.kinds & v.NONE or item.kinds & v.STATE or i < 2:
            continue
        if not any(m.item >= i and items[m.item].phrase == item.phrase for m in found):
            yield from _none_there(items, i, found, vocabulary)
            yield from _none_in_that(items, i, found, vocabulary)


def _none_there(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Iterator[Mention]:
    """`leaf spots at the bottom of the field, none at the top`: not where leaves are told apart."""
    if not items[i - 1].kinds & (v.LIMIT | v.AND | v.BUT) or not _goes_to_a_place(items, i):
        return
    before = [m for m in found if m.item < i and items[i].phrase - items[m.item].phrase < 2]
    if not before or before[-1].role != "sign" or not _in_a_place(items, before[-1].item):
        return
    m, absent = before[-1], vocabulary.scales[before[-1].character].absent
    if absent and m.state != absent and items[m.item].sentence == items[i].sentence:
        yield replace(m, state=absent, end=items[i].end, item=i, plant=_APART)


def begins_in_a_place(items: list[Item], i: int) -> int:
    """The `by` of `by the weir (they had none)`, in the stretch of item `i`; -1 where none is."""
    first = stretch_start(items, i)
    told = items[first : first + 3]
    if len(told) < 3 or first + 2 >= i or not told[0].kinds & (v.ON | v.AMONG):
        return -1
    return first if told[1].kinds & v.THE and told[2].kinds == v.WORD else -1


def _none_in_that(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Iterator[Mention]:
    """`at the gate they had leaf spots, at the weir they had none`; `…, by the weir not one`."""
    before = [m for m in found if m.item < i and items[m.item].sentence == items[i].sentence]
    if not before or not ends(items, i + 1) or begins_in_a_place(items, i) < 0:
        return
    m = before[-1]
    absent = vocabulary.scales[m.character].absent
    organ = any(k.kinds & v.ORGAN for k in items[stretch_start(items, i) : i])
    if organ or not absent or m.state == absent or begins_in_a_place(items, m.item) < 0:
        return
    if items[i].phrase - items[m.item].phrase < 3:
        yield replace(m, state=absent, end=items[i].end, item=i, plant=_APART)


def _goes_to_a_place(items: list[Item], i: int) -> bool:
    """`none at the top`, `none on those by the road`: to the end of what is said."""
    k = i + 1
    if k >= len(items) or not items[k].kinds & (v.ON | v.AMONG) or items[k].entry.text == _OF:
        return False
    passed = v.ON | v.THE | v.WORD | v.AMONG | v.COUNT | v.PLANTS
    k = past(items, k, passed, v.ORGAN | v.LIMIT)
    return ends(items, k)


def _in_a_place(items: list[Item], i: int) -> bool:
    """`(spots) on the plants at the north end`: a noun that we don't know, behind `at the`."""
    for k in range(i + 1, len(items) - 2):
        if items[k].kinds & v.LIMIT or items[k].kinds & v.STATE:
            return False
        joined = items[k].kinds & (v.ON | v.AMONG)
        told = items[k + 2].kinds == v.WORD or items[k + 2].kinds & v.MANY
        if joined and items[k + 1].kinds & v.THE and told:
            return not _of_them(items, k)
    return False


def _of_them(items: list[Item], k: int) -> bool:
    """`on the tips of the leaves`: a part of an organ."""
    here = [m for m in items[k:] if m.phrase == items[k].phrase]
    return any(m.kinds & v.ORGAN or m.lead & v.HEIGHTS for m in here[2:])
