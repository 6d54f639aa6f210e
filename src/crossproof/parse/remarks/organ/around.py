"""What stands around a state word and changes it: denial, degree, doubt, not having looked."""

from __future__ import annotations

from crossproof.parse.remarks.organ.answered import answered_behind, none_at_last
from crossproof.parse.remarks.organ.attachment import Attachment, is_sign
from crossproof.parse.remarks.organ.denial import deny_before
from crossproof.parse.remarks.organ.graded import degree_behind, is_throughout, not_at
from crossproof.parse.remarks.organ.scope import Scope
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item

_STRONGLY = ("heavily ", "densely ", "boldly ", "strongly ")


def around(items: list[Item], i: int, at: Attachment) -> Scope:
    """Read denial and degree before and after the state word `items[i]`."""
    # `pale pink` of petals and `faint` of a scent are states in their own right, not faint ones.
    own = at.sense.role in ("word", "whole")
    scope = Scope(degree=0 if own else items[i].kinds & v.FAINT, first=i, last=i)
    deny_before(items, i, at, scope)
    if 0 < i < len(items) - 1 and items[i - 1].kinds & v.ONLY and items[i + 1].kinds & v.ON:
        scope.degree |= v.AFTER  # only hollow at the base
    denied = answered_behind(items, i, at, scope)
    if denied is not None:
        scope.denied = denied
    if last := none_at_last(items, i):
        scope.denied, scope.last = True, last
    if last := degree_behind(items, i, at):  # hollow, but only just
        scope.denied, scope.last = False, last
        scope.degree |= items[last].kinds & v.DEGREE
    if not scope.denied and (last := not_at(items, i)):
        scope.degree, scope.last = scope.degree | v.AFTER, last
    if scope.denied and _says_how(items, i):
        scope.degree |= v.MUCH
    if scope.denied and not is_sign(items[i]) and is_throughout(items, i):
        scope.denied, scope.degree, scope.last = False, scope.degree | v.NEARLY, i + 1
    return scope


def _says_how(items: list[Item], i: int) -> bool:
    """`not heavily spotted`, `not spotted all over`, `not everywhere hollow`: it is, if less so."""
    words = items[i].entry.text
    everywhere = i > 0 and items[i - 1].entry.text == "everywhere"
    return everywhere or words.startswith(_STRONGLY) or words.endswith("ed all over")
