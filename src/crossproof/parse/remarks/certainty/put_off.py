"""Marks that are put off, looked for, asked about or left open: `leaf spots can wait`."""

from __future__ import annotations

from itertools import pairwise

from crossproof.parse.remarks.certainty.nouns import FILLS, finds, is_dash
from crossproof.parse.remarks.organ.attachment import is_sign
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import (
    Item,
    back,
    ends,
    is_organ,
    past,
    sets_apart,
    stretch_start,
)

_GAINS = frozenset({"get", "develop", "form", "grow", "bear", "sport", "lose", "have", "show"})
_CAN = frozenset({"can", "may", "might"})
_MODALS = _CAN | {"must", "should", "shall", "will", "would", "would be", "would have", "cannot"}
_DONT = ("did", "do", "don't", "dont", "was not d", "never", "won't")
_UNDER = frozenset({"under", "against"})
_BESIDE = frozenset({"under", "beneath", "against", "beside", "in", "at", "opposite", "by"})
_SHRUGS = (
    "who can", "god ", "goodness ", "heaven ", "lord ", "search me", "beats me", "your guess",
    "anybody", "anyone", "that old", "the usual", "the eternal",
)  # fmt: skip
_URGES = frozenset({"to", "please", "must", "should"})
_ABLE = frozenset({"to", "can", "could"})
_REPORTS = frozenset({"report", "record", "confirm", "note", "say", "announce", "state"})
_SIGHTS = frozenset({"see", "seen", "saw", "look", "looked"})


def is_left_open(items: list[Item], i: int, last: int) -> bool:
    """`leaf spots left for another day`, `leaf spots: still outstanding`, `… to be scored`."""
    j = last + 1
    parted = j < len(items) and (items[j].kinds & v.COLON or is_dash(items, j))
    shrugs = j + 1 < len(items) and items[j + 1].entry.text.startswith(_SHRUGS)
    parted = parted or (shrugs and items[j].kinds & v.COMMA)  # spots, rings, who can say
    j += bool(parted)
    j += j < len(items) and items[j].entry.text == ")"  # Q5 (leaf spots) unanswered
    if j < len(items) and items[j].entry.text == "(":  # spots (if present) to be counted
        j = next((k + 1 for k in range(j, len(items)) if items[k].entry.text == ")"), j)
    while (
        j < len(items)
        and _fills(items[j])
        and not (items[j].entry.topic & v.OPEN or items[j].kinds & v.STATE)
    ):
        j += 1
    if j >= len(items):
        return False
    if items[j].entry.topic & v.OPEN:
        if items[j].entry.text not in _MODALS:
            return True
        can_be = items[j].entry.text in _CAN and j + 1 < len(items) and items[j + 1].lead & v.BE
        listed = any(m.kinds & v.COMMA for m in items[i:last])
        return not parted and not listed and not can_be  # can be seen
    if items[j - 1].kinds & v.NOT and items[j - 1].entry.text.startswith(_DONT):
        return items[j].kinds == v.WORD  # didn't come into it
    to_be = items[j].entry.text == "to" and j + 1 < len(items) and items[j + 1].lead & v.BE
    return bool(to_be and not items[j + 1].kinds & v.SEE)


def _fills(item: Item) -> bool:
    """`(leaf spots) both (deferred)`, `not yet (dealt with)`, `are Tom's (department)`."""
    whose = item.lead & v.BE and item.kinds & v.WORD
    return bool(item.kinds & FILLS or item.entry.text == "yet" or whose)


def stands_with_bare_organ(items: list[Item], i: int, last: int) -> bool:
    """`leaf spots and stem left for another day`: of an organ alone nothing is said."""
    if not is_sign(items[i]):
        return False
    listed = items[i + 1 : last]
    before = items[last - 1]  # not `and a tall stem`
    joined = listed and (before.kinds & (v.AND | v.OR) or before.entry.text == "the")
    placed = any(m.kinds & v.ON for m in listed)  # spots on lip and leaves
    if joined and not placed and _is_bare(items, last) and not _is_told(items, last):
        return not _is_borne(items, i)
    k = stretch_start(items, i)
    while k < i and items[k].kinds & v.THE:
        k += 1
    leads = k + 1 < i and items[k + 1].kinds & (v.AND | v.OR) and not items[k + 1].kinds & v.COMMA
    return bool(leads and _is_bare(items, k) and not _shares(items, k, i))


def _is_borne(items: list[Item], i: int) -> bool:
    """`leaves with a few spots (and stem tall)`, `leaves without spots`: said of the organ."""
    j = back(items, i - 1, v.THE | v.DEGREE | v.COUNT, v.NOT, first=0)
    return j > 0 and bool(items[j].kinds & (v.WITH | v.NOT)) and is_organ(items[j - 1])


def _is_told(items: list[Item], k: int) -> bool:
    """`leaf spots and stem hollow`: whether a state of the organ `k` stands behind it."""
    for item in items[k + 1 :]:
        if item.kinds & v.LIMIT:
            labels = sets_apart(item) and not item.kinds & v.ASK
            return labels and items[k - 1].entry.text == "/"
        if item.kinds & (v.STATE | v.DEGREE | v.NONE | v.YES | v.WITH):
            return True
    return False


def _shares(items: list[Item], k: int, i: int) -> bool:
    """`leaf and bract spots`: both are the places of the spots."""
    return not items[k].entry.organs.isdisjoint(items[i].entry.senses)


def _is_bare(items: list[Item], k: int) -> bool:
    """An organ that has states of its own, and none of the flower's."""
    item = items[k]
    told = item.kinds & v.FLOWER or item.lead & v.SAID
    return is_organ(item) and bool(item.entry.organs) and not told


def is_object(items: list[Item], first: int) -> bool:
    """`mind the leaf spots`, `to score leaf spots`, `why solid stems …`, `any spots it had …`."""
    if first < len(items) and items[first].entry.text == "any" and not _looked(items, first):
        return True
    if not first or _stands_under(items, first):
        return bool(first)
    left, start = items[first - 1], stretch_start(items, first)
    if left.entry.topic & v.ABOUT and not items[first].lead & v.BE:
        return not items[first].kinds & (v.COUNT | v.NUMBER)
    if left.entry.text == "for" and _is_for(items, start, first - 1):
        return True
    return is_to_see(items, first) or _is_bidden(items, start, first) or _is_to_do(items, first)


def _stands_under(items: list[Item], first: int) -> bool:
    """`nothing on the card under leaf spots`, `under 'leaf spots' he wrote …`: a heading."""
    left = items[first - 1]
    if left.entry.text in _UNDER and first > 1 and is_sign(items[first + is_organ(items[first])]):
        return True
    return items[first].quoted and not left.quoted and left.entry.text in _BESIDE


def _is_bidden(items: list[Item], start: int, first: int) -> bool:
    """`volunteers score leaf spots`, `look at leaf spots`; not `look at those leaf spots!`."""
    left = items[first - 1]
    able = first < 2 or items[first - 2].entry.text in _ABLE
    if left.entry.topic & v.BIDS and left.kinds & v.WORD and not able:
        return True
    pointed = items[first].entry.text in ("those", "these")
    found = any(finds(m) for m in items[start + 1 : first + 1])
    return bool(items[start].entry.topic & v.BIDS) and not pointed and not found


def _is_to_do(items: list[Item], first: int) -> bool:
    """`to score leaf spots`, `please check stems hollow`; not `pleased to report leaf spots`."""
    left = items[first - 1]
    if first < 2 or items[first - 2].entry.text not in _URGES or left.entry.text in _GAINS:
        return False
    if left.entry.text in _REPORTS and first > 2 and items[first - 3].entry.topic & v.DESCRIBES:
        return False
    return bool(left.kinds & (v.WORD | v.EXAMINE) and not left.kinds & (v.SEE | v.ON))


def is_to_see(items: list[Item], first: int) -> bool:
    """`asked to find ringed leaves`; not `came to see leaf spots and saw them`."""
    if first < 3 or not items[first - 1].kinds & v.SEE or items[first - 2].entry.text != "to":
        return False
    return bool(items[first - 3].entry.topic & v.SENT) and not _seen(items, first)


def _is_for(items: list[Item], start: int, j: int) -> bool:
    """`for leaf spots see sheet 2`, `leaves too chewed for spots`: `for` is item `j`."""
    opens = j == start and (not j or items[j - 1].kinds & v.STOP)
    return bool(opens) or any(m.entry.text == "too" for m in items[start:j])


def _seen(items: list[Item], first: int) -> bool:
    return any(m.kinds & v.SEE and m.sentence == items[first].sentence for m in items[first:])


def _looked(items: list[Item], first: int) -> bool:
    """`didn't see any spots`, `without any`: said, or denied, of this plant."""
    told = v.NOT | v.NONE | v.LOOKED | v.SEE | v.EXAMINE | v.WITH | v.OR  # nor were there any
    here = [m for m in items if m.phrase == items[first].phrase]
    asked = next((m for m in items[first:] if m.kinds & v.HARD), None)
    answered = asked is not None and asked.kinds & (v.ASK | v.COLON)
    return bool(answered) or any(m.kinds & told for m in here if m.start < items[first].start)


def is_either_way(items: list[Item], i: int) -> bool:
    """`spots or no spots`, `hollow, I ask myself, or solid?`: nobody says which."""
    senses = items[i].entry.senses.keys()
    if i + 3 <= len(items) - 1 and items[i + 1].kinds & v.OR and items[i + 2].kinds & v.NOT:
        return items[i].entry is items[i + 3].entry
    if i > 2 and items[i - 1].kinds & v.NOT and items[i - 2].kinds & v.OR:
        k = i - 3 - bool(is_organ(items[i - 3]))
        return k >= 0 and items[k].entry is items[i].entry
    joined = False
    for before, item in pairwise(items[i:]):
        if item.sentence != items[i].sentence:
            break
        if item.kinds & v.ASK:
            return joined and not item.prefix
        alternative = item.kinds & v.STATE and not senses.isdisjoint(item.entry.senses)
        joined = joined or bool(alternative and before.kinds & v.OR)
    return False


def is_choice(items: list[Item], i: int) -> bool:
    """`rings or spots, I'll look again`: a choice, and nothing said of it there."""
    first = i - 2 if i > 1 and items[i - 1].kinds & v.OR else i
    a, either, b, mark = (*items[first : first + 4], *[items[i]] * 4)[:4]
    if (first and not items[first - 1].kinds & v.STOP) or not mark.kinds & v.COMMA:
        return False
    return is_sign(a) and bool(either.kinds & v.OR) and is_sign(b) and a.entry is not b.entry


def is_looked_through(items: list[Item], i: int) -> bool:
    """`seen through a fence`, `looked through binoculars`: no stem that one sees through."""
    if items[i].entry.text.split(" ", 1)[0] not in _SIGHTS:
        return False
    j = past(items, i + 1, v.THE)
    return not ends(items, j) and items[j].kinds == v.WORD and not items[j].lead
