"""What is planned, printed, ordered or listed: `aim: leaf spots`, `columns F to H: spots`."""

from __future__ import annotations

from crossproof.parse.remarks.certainty.nouns import OWN_WORDS, is_answered, last_of_list
from crossproof.parse.remarks.organ.attachment import is_sign
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, is_organ, sentence_before, stretch_start

_OPENS_AIM = (
    v.THE | v.WORD | v.OWN | v.COUNT | v.NUMBER | v.DEGREE | v.EXAMINE | v.PLANTS | v.ACTUALLY
    | v.ON
)  # fmt: skip
_FOUND = v.BUT | v.WITH | v.SEE | v.YES | v.NOT | v.NONE | v.ACTUALLY | v.PLANTS
_BINDS = v.ON | v.WITH | v.WORD | v.SEE
_COUNTS = ("score", "scor", "count", "tall", "index", "scale", "frequenc")
_DO_SO = frozenset({"use", "enter", "tick", "put", "write", "circle", "underline"})
_PLEASE = frozenset({"please", "pls", "kindly"})
_BLANK = frozenset({"blank", "empty"})


def is_aim(items: list[Item], first: int) -> bool:
    """`aim of the day: leaf spots`, `key features are leaf spots and …`: opening the sentence."""
    sentence = items[first].sentence
    for j in range(first - 1, -1, -1):
        item = items[j]
        if item.sentence != sentence or item.entry.text == ";" or item.kinds & _FOUND:
            return False
        if item.entry.topic & v.AIM:
            here = [m for m in items[:j] if m.sentence == sentence]
            others = ~(_OPENS_AIM | v.LIMIT | v.PLAIN)
            return not any(m.kinds & others and not m.entry.topic for m in here)
    return False


def is_printed(items: list[Item], first: int, i: int) -> bool:
    """`columns F to H are for spots`, `heading 'leaf spots'`: what a form or a page has on it."""
    j = first - 1
    bound = items[i].quoted or items[first].lead & v.BE
    while j >= 0 and items[j].sentence == items[first].sentence:
        kinds = items[j].kinds
        if items[j].entry.topic & v.PAGE:
            return bool(bound)
        if kinds & v.HARD or not kinds & (_BINDS | OWN_WORDS | v.OR | v.TO):
            return False
        bound = bound or kinds & _BINDS
        j -= 1
    return False


def is_listed(items: list[Item], i: int) -> bool:
    """`LEAF SPOTS / STEM / SPUR`, `leaf spots, stem, photo`: headings, one of them a bare organ."""
    first = stretch_start(items, i)
    numbered = v.NUMBER if items[first].kinds & v.NUMBER else 0
    parted = v.LIMIT | v.OR | numbered
    if not is_sign(items[i]) or i + 1 >= len(items):
        return False
    behind = [m for m in items[i + 1 :] if m.sentence == items[i].sentence]
    if len(behind) > 2 and all(is_organ(m) for m in behind[:3]):
        return True  # LEAF SPOTS STEM SPUR LIP
    if not items[i + 1].kinds & parted:
        return False
    if not all(m.kinds & (v.ORGAN | v.THE | numbered) or m.entry.topic for m in items[first:i]):
        return False
    for k in range(i + 2, len(items)):
        if items[k].sentence != items[i].sentence or items[k].kinds & (v.COLON | v.BUT):
            return False
        if (
            items[k - 1].kinds & parted
            and is_organ(items[k])
            and not items[k].lead & (v.SAID | v.BE)
        ):
            other = items[k].entry.organs.isdisjoint(items[i].entry.senses)
            between = items[k - 1].kinds & v.BREAK and items[k + 1 : k + 2]
            alone = between and between[0].entry.text == items[k - 1].entry.text
            if other and (alone or _is_heading(items, k + 1, parted)):
                return True  # leaf spots; stem; both …
    return False


def _is_heading(items: list[Item], k: int, parted: int) -> bool:
    """Whether behind an organ only a mark and other headings stand, from item `k` on."""
    if k >= len(items) or items[k].kinds & v.STOP:
        return True
    if not items[k].kinds & parted or items[k].kinds & (v.BUT | v.COLON):
        return False
    if k + 1 >= len(items):
        return True
    behind = items[k + 1]
    return bool(behind.kinds & (v.ORGAN | v.PHOTO | v.LIMIT | v.PLAN) or is_sign(behind))


def is_of_task(items: list[Item], i: int, last: int) -> bool:
    """`leaf-spot survey`, `hollow-stem test`, `the 'hollow or solid' box`; not `spot score: 0`."""
    k = last + 1
    if k >= len(items) or not items[k].entry.topic & v.TASK or items[k].lead:
        return False
    if any(m.kinds & v.COMMA for m in items[i:k]):
        return False
    if items[k].entry.text.startswith(_COUNTS):
        behind = (m for m in items[k + 1 :] if m.sentence == items[k].sentence)
        return not any(m.value >= 0 or m.kinds & v.NONE for m in behind)
    return not is_answered(items, k)


def is_left_blank(items: list[Item], i: int) -> bool:
    """`column headed 'leaf spots' blank throughout`, `stem: [blank]`, `leaf spots: blank`."""
    if items[i].entry.text not in _BLANK:
        return False
    if (
        i > 1
        and items[i - 1].kinds & (v.COLON | v.BREAK)
        and items[i - 2].kinds & (v.STATE | v.YES)
    ):
        return True
    if i > 1 and items[i - 1].entry.text in ("[", "(") and items[i - 2].kinds & v.COLON:
        return True
    here = (m for m in items[:i] if m.clause == items[i].clause)
    return any(m.entry.topic & (v.TASK | v.PAGE) for m in here)


def is_quoted_heading(items: list[Item], i: int) -> bool:
    """`column 'leaf spots' empty`; not `column 'leaf spots': yes`, `entry 'spotted'`."""
    if not items[i].quoted:
        return False
    first = i
    while first and items[first - 1].quoted:
        first -= 1
    last = i
    while last + 1 < len(items) and items[last + 1].quoted:
        last += 1
    if not first or not items[first - 1].entry.topic & (v.TASK | v.PAGE):
        return False
    behind = [m for m in items[last + 1 :] if m.sentence == items[i].sentence]
    if any(m.kinds & (v.YES | v.COLON) for m in behind):
        return False
    left = v.UNSEEN | v.UNFILLED | v.NOT
    return any(m.kinds & left or m.entry.topic & v.OPEN or m.entry.text in _BLANK for m in behind)


def is_under_notice(items: list[Item], i: int) -> bool:
    """`legend: open circle plain leaves, …`, `dispute: ring spots or solid`: no plant is meant."""
    here = sentence_before(items, i)
    heading = next((k for k, m in enumerate(here) if m.entry.topic & v.NOTICE), len(here))
    colon = next((k for k, m in enumerate(here) if m.kinds & v.COLON), -1)
    return heading < min(colon, 3) and not any(m.kinds & v.STATE for m in here[:colon])


def is_ordered(items: list[Item], i: int) -> bool:
    """`score stem as hollow, part hollow or solid`; `when leaves are spotted enter Y`."""
    last = last_of_list(items, i)
    if last + 1 < len(items) and items[last + 1].entry.text.split(" ", 1)[0] in _DO_SO:
        return True
    here = next(k for k, m in enumerate(items) if m.sentence == items[i].sentence)
    opens = items[here].entry.topic & v.ORDERS
    ends_it = v.BUT | v.SEE
    return bool(opens) and not any(
        m.entry.text == ";" or m.kinds & ends_it for m in items[here + 1 : i]
    )


def is_under_order(items: list[Item], i: int) -> bool:
    """`to be verified: rings on leaf`, `details wanted: …`, `please send: …`: nothing seen yet."""
    here = [m for m in items[: i + 1] if m.sentence == items[i].sentence]
    colon = next((k for k, m in enumerate(here) if m.kinds & v.COLON), 0)
    heading = here[:colon]
    if not heading or any(m.kinds & (v.STATE | v.ORGAN | v.COMMA) for m in heading):
        return False
    to_be = heading[0].entry.text == "to" and here[1].lead & v.BE
    return bool(to_be or heading[0].entry.text in _PLEASE or heading[-1].entry.topic & v.OPEN)
