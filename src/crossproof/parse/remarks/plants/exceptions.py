"""Plants left out of what is said: `all spotted except one`, `bar the two by the stile`."""

from __future__ import annotations

from dataclasses import replace

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.plants.opposite import opposite_of_last
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_EXCEPTED = -3  # plants that no count of ours numbers


def excepted(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`all spotted except one (plain one)`."""
    before = [m for m in found if m.item < i]
    on = i + 1 < len(items) and items[i + 1].entry.text in ("on", "in")  # save on one
    k = i + 1 + on
    if k + 1 < len(items) and items[k].kinds & v.THE and items[k + 1].kinds & v.PLANTS:
        k += 1  # except the plant nearest the fence
    if not before and (m := _excepted_first(items, i, found, vocabulary)):
        return m
    if not before or k >= len(items) or not items[k].kinds & (v.COUNT | v.PLANTS):
        return None
    for m in found:
        if m.item > i and m.character == before[-1].character and m.role != "sign":
            m.plant = _EXCEPTED
    k += k + 1 < len(items) and bool(items[k + 1].kinds & v.PLANTS)
    while k + 1 < len(items) and items[k + 1].kinds & (v.WORD | v.THE | v.ON | v.AMONG):
        k += 1  # … by the gate
    if not ends(items, k + 1):
        return None
    return opposite_of_last(items, i, found, vocabulary, k, _EXCEPTED)


def _excepted_first(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`bar the two by the stile, no plant had a mark on its leaves`."""
    k = i + 1
    while k < len(items) and items[k].kinds & v.THE and not items[k].kinds & v.COUNT:
        k += 1
    if (i and not items[i - 1].kinds & v.STOP) or k >= len(items) or not items[k].kinds & v.COUNT:
        return None
    here = [m for m in items[i:] if m.phrase == items[i].phrase]
    behind = [m for m in found if items[m.item].phrase == items[i].phrase + 1]
    if not behind or any(m.kinds & (v.STATE | v.ORGAN) for m in here):
        return None
    m = behind[0]
    scale = vocabulary.scales[m.character]
    if not scale.absent:
        return None
    other = scale.absent
    if m.state == scale.absent:
        other = scale.denied.get(m.state, "")
    return replace(m, state=other, start=items[i].start, plant=_EXCEPTED) if other else None
