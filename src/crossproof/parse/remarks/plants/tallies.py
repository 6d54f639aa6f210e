"""Plants told off in figures and signs: `Ditch: 0/9`, `A+ B- C+`, `y y n`, `spotted 4, not 3`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_ELSEWHERE = -500  # numbers the plants that figures tell apart
_ANSWERS = 3  # that many in a row are of as many plants
_BETWEEN = v.COMMA | v.AND | v.OR | v.BREAK


def last_answer(items: list[Item], i: int) -> int:
    """The last of `(leaf spots:) y y n y`, `A yes, B no, C yes`, of some and some; or `i` - 1."""
    if not i or not items[i - 1].kinds & (v.COLON | v.STATE):
        return i - 1
    answers: list[bool] = []
    last, labelled = i - 1, True
    for k in range(i, len(items)):
        item = items[k]
        if _answers(item):
            answers.append(bool(item.kinds & v.YES))
            last, labelled = k, False
        elif item.kinds & _BETWEEN and not labelled:
            labelled = False
        elif _is_label(item) and not labelled:
            labelled = True
        elif k > i or not _is_label(item):
            break
    several = len(answers) >= _ANSWERS and len(set(answers)) > 1
    return last if several and ends(items, last + 1) else i - 1


def _answers(item: Item) -> bool:
    short = item.end - item.start < 4
    return short and bool(item.kinds & (v.YES | v.NONE)) and not item.kinds & (v.STATE | v.COUNT)


def _is_label(item: Item) -> bool:
    """A letter or a number of a plant: `A+`, `2 no`."""
    return item.end - item.start < 3 and not item.kinds & (v.LIMIT | v.STATE | v.ORGAN)


def in_figures_elsewhere(
    items: list[Item], first: int, last: int, part: float, found: list[Mention], of: Vocabulary
) -> Iterator[Mention]:
    """`Verge: leaves spotted in 4/4. Field: 0/6.`: figures behind a place, of the same state."""
    headed = first and items[first - 1].kinds & (v.COLON | v.WORD | v.COMMA)
    sentence = items[first].sentence
    if not headed or last - first < 2 or not ends(items, last + 1):
        return
    if any(m.sentence == sentence and m.kinds & (v.STATE | v.ORGAN) for m in items[first:]):
        return
    before = [m for m in found if m.item < first and items[m.item].clause < items[first].clause]
    if not before or sentence - items[before[-1].item].sentence > 1:
        return
    m = before[-1]
    absent = of.scales[m.character].absent
    own = items[m.item].entry.senses[m.character].state
    if not absent or own == absent or m.weight == "questioned":
        return
    if part < 1:
        yield replace(m, state=absent, end=items[last].end, item=first, plant=_ELSEWHERE)
    if part > 0:
        yield replace(m, state=own, end=items[last].end, item=first, plant=_ELSEWHERE - 1)


def not_so_many(items: list[Item], i: int) -> bool:
    """`leaf-spotted 5, not 2`, `spotted x4, not x3`: figures behind the state and its denial."""
    k = i + 1 + (i + 1 < len(items) and bool(items[i + 1].kinds & v.CROSS))
    counted = k < len(items) and items[k].value > 0 and ends(items, k + 1)
    if not counted or i < 2 or not items[i - 1].kinds & (v.LIMIT | v.AND):
        return False
    j = i - 2
    if items[j].value <= 0:
        return False
    j -= 1 + bool(items[j - 1].kinds & v.CROSS)
    return j >= 0 and bool(items[j].kinds & v.STATE)
