"""The state that a word means, after the denial and the degree that stand around it."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.organ.scope import Scope
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.vocabulary import Scale


def state_of(at: Attachment, scope: Scope, scale: Scale) -> str:
    """The state meant, after denial and degree; empty where the words don't say one."""
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
