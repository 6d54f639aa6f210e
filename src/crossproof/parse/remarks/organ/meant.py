"""The state that a word means, after the denial and the degree that stand around it."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.organ.scope import Scope
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, back
from crossproof.parse.remarks.text.vocabulary import Scale

_TELLS_WHICH = v.THE | v.COUNT | v.SIZE | v.LARGE | v.WORD
_LACKS = v.WITH | v.NOT | v.NONE | v.DEGREE | v.THE


def state_of(items: list[Item], i: int, at: Attachment, scope: Scope, scale: Scale) -> str:
    """The state meant by item `i`, after all around it; empty where the words don't say one."""
    state = _graded(at, scope, scale)
    if state and state == scale.absent and _only_of_a_part(items, i, at.organ):
        return at.sense.state if at.sense.state != state else scale.denied.get(state, "")
    return state


def _only_of_a_part(items: list[Item], i: int, organ: int) -> bool:
    """`only the topmost leaf lacks spots`; not `only the leaves are plain`, `only two leaves …`."""
    if not 0 < organ < i or items[organ + 1].entry.text == "no":
        return False
    k = back(items, organ - 1, _TELLS_WHICH, v.ONLY | v.LIMIT, first=0)
    which = any(m.kinds & v.COUNT or not m.kinds & v.THE for m in items[k + 1 : organ])
    opens = items[k].kinds & v.ONLY and (not k or items[k - 1].kinds & v.LIMIT)
    part = opens and (which or items[organ].lead & v.HEIGHTS)
    return bool(part) and all(m.kinds & _LACKS for m in items[organ + 1 : i])


def _graded(at: Attachment, scope: Scope, scale: Scale) -> str:
    """The state that a denial and a degree leave."""
    state, degree = at.sense.state, scope.degree
    if at.attributive and degree & v.SIZE and not degree & (v.SLIGHT | v.AFTER):
        degree &= ~v.SIZE
    graded = scale.slightly.get(state, "")
    if scope.denied:
        if at.sense.role == "beside" or (degree & v.LARGE and at.sense.role == "sign"):
            return ""
        if degree & v.MUCH:
            return scale.nearly.get(state, "") if graded else state
        if degree & v.TRULY and graded:
            return scale.nearly.get(state, "")
        return scale.denied.get(state, "") or _without_any(at, scale)
    if degree & v.NEARLY:
        return scale.nearly.get(state, state)
    if degree & (v.SLIGHT | v.AFTER | v.SIZE) and graded:
        return graded
    return state


def _without_any(at: Attachment, scale: Scale) -> str:
    """`never found so much as a pinhole`: not even a little of it, so none."""
    if at.sense.role != "sign":
        return ""
    whole = (s for s, little in scale.slightly.items() if little == at.sense.state)
    return next((scale.denied[s] for s in whole if s in scale.denied), "")
