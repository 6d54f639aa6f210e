"""One plant and no more: what differs then are its leaves. `Lone plant; 5 leaves, 3 with spots`."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import is_sign
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.organ.scope import EVERY
from crossproof.parse.remarks.plants.counted import THE_OTHERS
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, ends, is_organ, sentence_before

_LONE = frozenset(general_words()["lone_plant"])
_ONE = frozenset({"plant", "spike", "individual"})
_ON_ONE_PLANT = frozenset(general_words()["several_on_a_plant"])
_EVERY = EVERY | {"no", "any", "none"}


def as_one(items: list[Item], found: list[Mention], present: int) -> None:
    """Of a plant that stands alone all is said, of whatever leaf."""
    if len(found) > 1 and present & (v.PLANTS | v.EXCEPT | v.BUT) and is_single(items):
        for m in found:
            m.plant = 0


def is_single(items: list[Item]) -> bool:
    """`One plant. Leaves …`, `lone spike by the gate, …`: no other plant is spoken of."""
    if any(m.kinds & v.MANY or m.kinds & v.SPECIES for m in items):
        return False
    if _numbers_leaves(items) or _leaves_one_out(items):
        return True
    return any(m.kinds & v.PLANTS and _stands_alone(items, i) for i, m in enumerate(items))


def _stands_alone(items: list[Item], i: int) -> bool:
    """`One plant only.`, `solitary plant by the gate:`, `the only plant had …`."""
    k = i + 1 + (i + 1 < len(items) and bool(items[i + 1].kinds & v.ONLY))
    told_apart = any(m.kinds & v.COUNT and m.entry.text in THE_OTHERS for m in items)
    if items[i].entry.text in _LONE:
        behind = items[k].entry.text if k < len(items) else ""
        some = told_apart or items[i].entry.text.startswith("the ")
        return not (some and behind in ("with", "without"))
    if items[i].entry.text not in _ONE or not ends(items, k):
        return False
    others = any(m.kinds & v.COUNT and m.entry.text != "one" for m in items[k:])
    if k < len(items) and not items[k].kinds & v.HARD and k == i + 1 and others:
        return False  # one plant, …; two, …
    one = i > 0 and (items[i - 1].entry.text == "one" or items[i - 1].value == 1)
    return one and (i == 1 or bool(items[i - 2].kinds & v.LIMIT))


def _leaves_one_out(items: list[Item]) -> bool:
    """`all the leaves plain but one (with three dots)`; not `all the leaves … but one plant`."""
    for i in range(len(items) - 1):
        if items[i].kinds & (v.EXCEPT | v.BUT) and items[i + 1].entry.text == "one":
            here = [m.entry.text for m in sentence_before(items, i) if not m.kinds & (v.THE | v.ON)]
            whole = EVERY & {*here[:1]} and _ON_ONE_PLANT & {*here[1:3]}
            if (whole or "leaf" in here[:1]) and ends(items, i + 2, v.AND | v.WITH):
                return True
    return False


def _numbers_leaves(items: list[Item]) -> bool:
    """`leaf 3 spotted, 5 plain`, `leaves 1-4 spotted`; not `leaf 1 spot`, `leaves 7`."""
    return any(
        (a.entry.text == "leaf" or (is_organ(a) and b.value == 1))
        and b.kinds & v.NUMBER
        and b.value > 0
        and not is_sign(c)
        for a, b, c in zip(items, items[1:], items[2:], strict=False)
    )


def of_counted_leaves(items: list[Item], i: int) -> bool:
    """`5 leaves, 3 with spots`, `four spotted leaves and two plain`: those of one plant."""
    sentence = items[i].sentence
    if _numbers_leaves(items):
        return True
    if any(m.kinds & (v.PLANTS | v.MANY) and m.sentence == sentence for m in items):
        return False
    for k in range(1, i):
        if items[k].sentence != sentence or items[k].entry.text not in _ON_ONE_PLANT:
            continue
        n = k - 1 - (k > 1 and bool(items[k - 1].kinds & v.STATE))
        if items[n].kinds & v.COUNT and items[n].entry.text not in _EVERY:
            return True
    return False
