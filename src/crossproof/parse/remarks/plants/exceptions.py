"""Plants left out of what is said: `all spotted except one`, `bar the two by the stile`."""

from __future__ import annotations

from dataclasses import replace

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.organ.scope import EVERY
from crossproof.parse.remarks.plants.limited import number_of
from crossproof.parse.remarks.plants.opposite import opposite_of_last
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, ends, past, sentence_before
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_EXCEPTIONS = frozenset(general_words()["exceptions"])
_NONE = frozenset(
    {"none", "none of", "not one", "not one of", "no", "nobody", "neither", "not a single one"}
)
_EVERY = EVERY | {"every one", "everything"}
_EXCEPTED = -3  # plants that no count of ours numbers


def excepted(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`all spotted except one (plain one)`, `save those by the gate`, `with one exception …`."""
    before = [m for m in found if m.item < i]
    if items[i].entry.text in _EXCEPTIONS or (
        items[i].entry.text == "excepted" and i > 1 and items[i - 1].kinds & (v.PLANTS | v.COUNT)
    ):
        return _with_exceptions(items, i, found, vocabulary)
    on = i + 1 < len(items) and items[i + 1].entry.text in ("on", "in")  # save on one
    k = i + 1 + on
    if not before and (m := _excepted_first(items, i, found, vocabulary)):
        return m
    if not before or (k := _named_plants(items, i, k)) < 0:
        return None
    for m in found:
        if m.item > i and m.character == before[-1].character and m.role != "sign":
            m.plant = _EXCEPTED
    if not ends(items, k + 1):
        return None
    return opposite_of_last(items, i, found, vocabulary, k, _EXCEPTED)


def all_but_so_many(items: list[Item], i: int) -> bool:
    """`all the plants spotted-leaved but one.`: this `but` leaves one out."""
    if items[i].entry.text != "but" or i + 1 >= len(items) or number_of(items[i + 1]) < 1:
        return False
    if any(not m.kinds & (v.STOP | v.BREAK) for m in items[i + 2 : i + 3]):
        return False  # but one, which nobody tested
    opens = [m.entry.text.split(" ")[0] for m in sentence_before(items, i)[:1]]  # all plain
    return not (_EVERY | _NONE).isdisjoint(opens)


def excepts(items: list[Item], i: int) -> bool:
    """`none had spots bar the two by the stile`: no bar on a leaf."""
    if not items[i].kinds & v.EXCEPT:
        return False
    return items[i].entry.text == "barring" or _named_plants(items, i, i + 1) >= 0


def _named_plants(items: list[Item], i: int, k: int) -> int:
    """The last of the plants left out: `(except) a tiny one`, `those of the two on the bank`; -1.

    What has no count and no word for a plant is a plant's where all before was said of plants:
    `none had any but the runt by the gatepost`; else it may be a part of a leaf: `but the tip`.
    """
    first = k
    while (
        k < len(items)
        and items[k].kinds & (v.THE | v.SIZE | v.LARGE)
        and not (items[k].kinds & (v.COUNT | v.LIMIT))
    ):
        k += 1
    if k >= len(items) or items[k].lead & v.HEIGHTS or items[k].kinds & v.ORGAN:
        return -1
    named = bool(items[k].kinds & (v.COUNT | v.PLANTS)) or _said_of_plants(items, i, first)
    if not named or items[k].kinds & v.LIMIT:
        return -1
    k += k + 1 < len(items) and bool(items[k + 1].kinds & v.PLANTS)
    passed = v.WORD | v.THE | v.ON | v.AMONG | v.COUNT | v.PLANTS | v.OTHER
    while k + 1 < len(items) and items[k + 1].kinds & passed:
        if items[k + 1].kinds & (v.STATE | v.ORGAN | v.LIMIT):
            break
        k += 1  # … by the gate
    return k


def _said_of_plants(items: list[Item], i: int, k: int) -> bool:
    """`none had …`, `no plant …`, `all spotted`: plants are the subject, not leaves."""
    if k >= len(items) or not items[k].kinds & v.THE:
        return False
    here = sentence_before(items, i)
    opens = here[0] if here else items[i]
    subject = bool(opens.kinds & v.COUNT) or opens.entry.text in _NONE
    behind = here[1] if len(here) > 1 else items[i]
    return subject and bool(behind.kinds & (v.WITH | v.PLANTS | v.MANY) or behind.lead & v.BE)


def _with_exceptions(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`with a single exception the plants had no marks`, `leaves spotted, with two exceptions`."""
    here = [m for m in found if items[m.item].sentence == items[i].sentence]
    told = next((m for m in here if 0 < m.item - i < 3), None)
    if told is not None and items[i + 1].entry.text == "(":
        told.plant = _EXCEPTED  # with one exception (unspotted)
        return None
    before = [m for m in here if m.item < i]
    m = before[-1] if before else here[0] if here else None
    if m is None:
        return None
    if others := [o for o in here if o.character == m.character and o.state != m.state]:
        for o in others:
            o.plant = _EXCEPTED  # with one exception, a spotted one
        return None
    scale = vocabulary.scales[m.character]
    own = items[m.item].entry.senses[m.character].state
    other = own if own != m.state else scale.denied.get(m.state, "")
    other = scale.absent if m.state != scale.absent and scale.absent else other
    if not scale.absent or not other:
        return None
    start, end = min(m.start, items[i].start), max(m.end, items[i].end)
    return replace(m, state=other, start=start, end=end, plant=_EXCEPTED)


def _excepted_first(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`bar the two by the stile, no plant had a mark on its leaves`."""
    k = past(items, i + 1, v.THE, v.COUNT)
    counted = k < len(items) and items[k].kinds & (v.COUNT | v.PLANTS)
    whole = i > 1 and items[i - 1].kinds & v.COMMA and items[i - 2].entry.text in _EVERY
    if (i and not whole and not items[i - 1].kinds & v.STOP) or not counted:
        return None
    last = _tail(items, k)
    here = items[k : last + 1]
    behind = [m for m in found if m.item > last and items[m.item].sentence == items[i].sentence]
    if not behind or any(m.kinds & (v.STATE | v.ORGAN) and not m.kinds & v.PLANTS for m in here):
        return None
    m = behind[0]
    if items[m.item].phrase - items[last].phrase > 1:
        return None
    scale = vocabulary.scales[m.character]
    if not scale.absent:
        return None
    other = scale.absent
    if m.state == scale.absent:
        other = scale.denied.get(m.state, "")
    return replace(m, state=other, start=items[i].start, plant=_EXCEPTED) if other else None


def _tail(items: list[Item], k: int) -> int:
    """The last of the plants left out at item `k`, before the comma or the next subject."""
    while k + 1 < len(items) and not items[k + 1].kinds & v.LIMIT:
        if items[k + 1].kinds & (v.NOT | v.NONE | v.ORGAN) or items[k + 1].entry.text in _EVERY:
            break
        k += 1
    return k
