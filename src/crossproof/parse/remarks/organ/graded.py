"""How far a state goes, said behind it and apart from it."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, ends, past

_LEADS_TO_DEGREE = v.COMMA | v.BUT | v.YES | v.ONLY | v.SUPPOSE | v.BREAK
_GRADES = v.SLIGHT | v.NEARLY | v.AFTER
_THROUGHOUT = frozenset(general_words()["throughout"])


def degree_behind(items: list[Item], i: int, at: Attachment) -> int:
    """The degree word behind item `i`, or 0: `hollow, yes, but only just`; `a hole, a tiny one`."""
    near = at.organ > i and items[at.organ].phrase == items[i].phrase
    first = (at.organ if near else i) + 1
    passed, grades = _LEADS_TO_DEGREE, _GRADES
    if at.sense.role == "sign" or (i and items[i - 1].entry.text == "a"):  # has a hollow
        passed, grades = passed | v.THE | v.MUCH, grades | v.SIZE
    j = past(items, first, passed, grades)
    if j < len(items) and items[j].entry.text == "just" and not ends(items, j + 1):
        j = past(items, j + 1, v.THE | v.MUCH, grades)  # just a narrow one
    if j == first or j >= len(items) or not items[j].kinds & grades:
        return 0
    k = j + 1 + (j + 1 < len(items) and items[j + 1].entry.text in ("so", "one"))
    if k < len(items) and items[k].kinds & v.TO:
        k = past(items, k + 1, v.THE)  # yields a little to the thumb
    other = items[j].kinds & v.NOT or at.character in items[j].entry.senses
    return j if ends(items, k) and not other else 0


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
