"""The other plants: `nil in three, present in 8`; and what is said of others but of no plant."""

from __future__ import annotations

from dataclasses import replace

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.plants.counted import counted_from, is_leaf_spotted
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, past, sentence_before
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_VARY = ("var", "differ", "from plant to", "according to", "depending")
OTHERS = -2  # plants that no count of ours numbers


def present_in(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`nil in three, present in 8`, `no spots on the first, twenty on the second`."""
    before = [m for m in found if m.item < i and items[m.item].sentence == items[i].sentence]
    k = counted_from(items, i + 1) if i + 1 < len(items) else 0
    if not k or not before or not items[i - 1].kinds & (v.LIMIT | v.AND):
        return None
    m, state = before[-1], items[before[-1].item].entry.senses[before[-1].character].state
    denied = m.role == "sign" and m.state == vocabulary.scales[m.character].absent != state
    if not denied or not ends(items, k + 1, v.PLANTS):
        return None
    return replace(m, state=state, end=items[k].end, item=i, plant=OTHERS)


def stand_there(items: list[Item], k: int) -> bool:
    """`none on those (by the road)`, `on two (of the plants)`; not `on the two at the top`."""
    if items[k].entry.text == "of":
        return ends(items, past(items, k + 1, v.THE | v.PLANTS | v.THEY | v.COUNT))
    if not items[k].kinds & (v.ON | v.AMONG):
        return False
    while k < len(items) and items[k].kinds & (v.ON | v.AMONG | v.THE | v.WORD):
        if items[k].kinds & (v.ORGAN | v.LIMIT) or items[k].lead & v.HEIGHTS:
            return False
        k += 1
    return ends(items, k)


def answers_here(items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary) -> bool:
    """`stem hollow nil in 6`: what is denied stands right before, and this is the denial of it."""
    m = next((m for m in found if m.item == i - 1), None)
    if m is None or items[i].kinds & v.NOT:
        return False
    k = counted_from(items, i + 1)  # absent from two of the plants
    if k and k + 1 < len(items) and items[k + 1].entry.text == "of":
        return False
    if m.end < items[i].end:
        m.state = vocabulary.scales[m.character].denied.get(m.state, m.state)
        m.end = items[i].end
    return True


def on_one_leaf(items: list[Item], i: int) -> bool:
    """`three spots on one leaf, none on the third`, `lowest leaf spotted, nothing on the rest`."""
    here = sentence_before(items, i)
    return any(
        m.lead & v.HEIGHTS or (k and here[k - 1].kinds & v.COUNT and not is_leaf_spotted(here, k))
        for k, m in enumerate(here)
        if m.entry.text == "leaf"
    )


def lists(varied: Item, first: Item) -> bool:
    """`vary from spotted or plain …`; over a comma only where it is plain: `plants vary, …`."""
    if not varied.kinds & v.VARIED or varied.phrase == first.phrase:
        return bool(varied.kinds & v.VARIED)
    over = varied.entry.text.startswith(_VARY) and varied.clause == first.clause
    return over and first.phrase - varied.phrase == 1
