"""How far a state goes, said behind it and apart from it."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, ends

_LEADS_TO_DEGREE = v.COMMA | v.BUT | v.YES | v.ONLY
_CONCEDES = v.DASHES | {"if", "if only", "("}
_GRADES = v.SLIGHT | v.NEARLY | v.AFTER
_THROUGHOUT = frozenset(general_words()["throughout"])


def degree_behind(items: list[Item], i: int, at: Attachment) -> int:
    """The degree word behind item `i`, or 0: `hollow, yes, but only just`, `…, but partly so`.

    It may stand behind the organ, and grade a cavity by its size: `a hole in the stem, a tiny one`.
    """
    sign = at.sense.role == "sign" or (i > 0 and items[i - 1].entry.text == "a")  # has a hollow
    last = (
        at.organ if at.organ > i and not any(m.kinds & v.LIMIT for m in items[i : at.organ]) else i
    )
    grades = _GRADES | v.SIZE if sign else _GRADES
    j = last + 1
    while (
        j < len(items)
        and (_just(items, j) or not items[j].kinds & grades)
        and _leads(items[j], sign)
    ):
        j += 1
    if j == last + 1 or j >= len(items) or not items[j].kinds & grades:
        return 0
    k = j + 1
    if k < len(items) and items[k].entry.text in ("so", "one"):
        k += 1
    other = items[j].kinds & v.NOT or (items[j].kinds & v.STATE and not _grades_only(items[j], at))
    return j if ends(items, k) and not other else 0


def _leads(item: Item, sign: bool) -> bool:
    """What may stand between a state and its degree: `, if only …`, ` - a very …`, ` (just a …`."""
    if item.kinds & _LEADS_TO_DEGREE or item.entry.text in _CONCEDES:
        return True
    return sign and bool(item.kinds & (v.THE | v.MUCH) or item.entry.text == "just")


def _just(items: list[Item], j: int) -> bool:
    """`just a narrow one`: the size is still to come."""
    behind = items[j + 1].kinds if j + 1 < len(items) else 0
    return items[j].entry.text == "just" and bool(behind & (v.THE | v.AFTER))


def _grades_only(item: Item, at: Attachment) -> bool:
    """`tiny` is a word of spots, and but the size of a cavity."""
    return bool(item.kinds & v.SIZE) and at.character not in item.entry.senses


def graded_answer(items: list[Item], j: int) -> int:
    """`hollow? Yes, partly`: what grades the answer, or item `j` itself."""
    yes, mark, graded = (*(m.kinds for m in items[j : j + 3]), 0, 0, 0)[:3]
    grades = graded & v.SLIGHT and not graded & v.STATE and ends(items, j + 3)
    return j + 2 if yes & v.YES and mark & (v.COMMA | v.BREAK) and grades else j


def not_at(items: list[Item], i: int) -> int:
    """The last item of `(hollow at the bottom,) not at the top`, or 0."""
    if i + 1 >= len(items) or not any(m.lead & v.HEIGHTS for m in items[i + 1 : i + 4]):
        return 0
    j = i + 1
    while j < len(items) and not items[j].kinds & v.LIMIT:
        j += 1
    behind = items[j + 1 : j + 5]
    if not behind or not items[j].kinds & (v.COMMA | v.BUT) or not behind[0].kinds & v.NOT:
        return 0
    for k, m in enumerate(behind[1:], j + 2):
        if m.lead & v.HEIGHTS:
            return k if ends(items, k) else k - 1 if ends(items, k + 1) else 0
    return 0


def is_throughout(items: list[Item], i: int) -> bool:
    """`not hollow all the way up`: it is, in part."""
    return i + 1 < len(items) and items[i + 1].entry.text in _THROUGHOUT
