"""Words that were struck out, taken back or put right: none of what they said stands."""

from __future__ import annotations

from itertools import takewhile

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, ends, past, sets_apart

_PASSED_OVER = frozenset(general_words()["passed_over"])


def struck(items: list[Item]) -> set[int]:
    """The state words struck out: `hollow [crossed out]`, `for 'spotted' read 'plain'`."""
    gone: set[int] = set()
    for i, item in enumerate(items):
        if item.kinds & v.STRUCK:
            bids = item.entry.text in _PASSED_OVER
            j = i - 1
            while j >= 0 and items[j].kinds & (v.BREAK | (v.COMMA | v.STOP if bids else 0)):
                j -= 1
            k = past(items, i + 1, v.THE | v.ORGAN | v.COLON) if bids else i + 1
            told = k < len(items) and (not bids or items[k].quoted or items[k - 1].kinds & v.COLON)
            back = j >= 0 and items[j].kinds & (v.STATE | v.ORGAN)
            if back and (not bids or ends(items, i + 1)):  # not: ignore that photo
                gone |= {k for k in (j, j - 1) if items[k].kinds & v.STATE}
            elif told and items[k].kinds & v.STATE:
                gone.add(k)  # crossed out 'solid', wrote 'hollow'; ignore the leaf: spotted
        elif item.kinds & v.READ and _reads_between(items, i):
            gone |= {k for k in range(i) if items[k].sentence == item.sentence}
    return gone


def _reads_between(items: list[Item], i: int) -> bool:
    before = i > 0 and items[i - 1].kinds & (v.STATE | v.ORGAN)
    quoted = any(
        items[k].entry.text == "for"
        and items[k].sentence == items[i].sentence
        and any(m.kinds & v.STATE for m in items[k + 1 : k + 4])
        for k in range(i)
    )  # for 'solid' in my note read 'hollow'
    return bool(before or quoted) and any(m.kinds & v.STATE for m in items[i + 1 : i + 4])


def retracting(items: list[Item]) -> int:
    """Mark a `no` that takes back what was said: `spotted - no, plain`; returns what it may be."""
    for k in range(1, len(items) - 2):
        if items[k].entry.text != "no" or not items[k + 1].kinds & v.COMMA:
            continue
        if not items[k - 1].kinds & (v.COMMA | v.BREAK):
            continue
        here = [m for m in items if m.sentence == items[k].sentence and m.kinds & v.STATE]
        before = {c for m in here if m.start < items[k].start for c in _said_of(m)}
        behind = takewhile(lambda m: not sets_apart(m), items[k + 2 :])  # not: no, lip - spotted
        if any(m in here and before & _said_of(m) for m in behind):
            items[k].kinds = v.RETRACTS
            return v.RETRACTS
    return 0


def _said_of(item: Item) -> set[str]:
    """The characters that a state word speaks of without a sign beside it."""
    return {c for c, sense in item.entry.senses.items() if sense.role not in ("beside", "short")}


def take_back(items: list[Item], found: list[Mention]) -> None:
    """`solid - sorry, I mean hollow`: the later word holds."""
    for i, item in enumerate(items):
        if not item.kinds & v.RETRACTS:
            continue
        later = {m.character for m in found if m.item > i and _together(items, m, i)}
        for m in found:
            if m.item < i and m.character in later and _together(items, m, i):
                m.said = True


def _together(items: list[Item], m: Mention, i: int) -> bool:
    return items[m.item].sentence == items[i].sentence
