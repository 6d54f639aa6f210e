"""What is said of a whole kind, or by a book: `hollow stems are common in marsh-orchids`."""

from __future__ import annotations

from crossproof.parse.remarks.certainty.nouns import FILLS
from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, stretch_start

_POINTERS = frozenset({"the", "its", "their", "this", "these", "his", "her", "my", "our"})
_IS_NOT = ("is not", "isn", "does not", "doesn")
_SOURCES = frozenset({"according to", "in", "from", "per"})
_BEFORE_VERB = FILLS | v.HEDGE | v.WORD | v.ON | v.SPECIES | v.PLANTS | v.SUPPOSE


def is_held_in_general(items: list[Item], first: int, i: int, at: Attachment) -> bool:
    """`hollow stems are common in marsh-orchids`, `leaf spots prove nothing`; not `its spots …`."""
    last = max(i, at.organ)
    if any(m.entry.text in _POINTERS or m.kinds & v.OWN for m in items[first : i + 1]):
        return False
    if items[last].sentence != items[i].sentence:
        return False  # three blotched. Leaves no help
    is_so = passed = 0
    for item in items[last + 1 : last + 7]:
        if item.lead & v.RELATIVE:
            return False  # …, which suggests the hybrid
        is_so |= item.lead & v.BE or item.kinds & v.NOT  # aren't
        is_so |= item.entry.text.startswith("no ")  # leaf spots no guide
        if item.entry.topic & (v.DOES | (v.GENERAL if is_so else 0)):
            return True
        if item.kinds & v.COMMA:
            passed |= v.PLANTS | v.OWN  # leaf spots, in my experience, are overrated
        elif not item.kinds & _BEFORE_VERB & ~passed or item.kinds & v.HARD:
            return False
    return False


def is_said_of_all(items: list[Item], first: int, at: Attachment) -> bool:
    """`solid stems in hybrids are commoner …`: many of them, and not those seen."""
    named = items[first : at.organ + 1]
    if named[0].entry.text in ("a", "an") and first == stretch_start(items, first):
        return _is_not(items, at.organ + 1)
    if not named[-1].entry.text.endswith("s") or first != stretch_start(items, first):
        return False
    if any(m.kinds & v.AND or m.entry.text in _POINTERS for m in named):
        return False
    for item in items[at.organ + 1 : at.organ + 5]:
        if item.lead & v.NOW or (item.kinds & v.NOT and item.entry.text.startswith(("are", "do"))):
            return not item.kinds & (v.SEE | v.YES | v.EXAMINE | v.STATE | v.NONE | v.LIMIT)
        if not item.kinds & (v.ON | v.THE | v.WORD | v.OWN | v.SPECIES) or item.kinds & v.LIMIT:
            return False
    return False


def _is_not(items: list[Item], k: int) -> bool:
    """`a spotted leaf is not a spotted orchid`, `a hollow stem does not make …`."""
    denied = k < len(items) and items[k].kinds & v.NOT
    return bool(denied) and items[k].entry.text.startswith(_IS_NOT)


def is_said_of_no_plant(items: list[Item], first: int) -> bool:
    """`my guess is a hollow stem`, `what I came for was rings`: of no plant, by its subject."""
    if not items[first].lead & v.BE or items[first].entry.text in _POINTERS:
        return False
    subject = items[stretch_start(items, first) : first]
    if not any(m.kinds & (v.THE | v.ON) for m in subject) or subject[-1].kinds & v.VERB:
        return False  # she reckons there were spots; when I went there were spots
    return all(
        m.kinds & (v.WORD | v.ON | v.NAMED | v.THE) and not m.kinds & v.THEY for m in subject
    )


def is_from_book(items: list[Item], i: int) -> bool:
    """`according to his handbook the hybrids have …`, `In Penrose's monograph …`, `Key: …`."""
    here = [k for k, m in enumerate(items) if m.sentence == items[i].sentence]
    if any(items[k].kinds & (v.FULFILLED | (v.BUT if k < i else 0)) for k in here):
        return False
    if items[i].quoted:
        return True
    for j in range(i - 1, -1, -1):
        if items[j].sentence != items[i].sentence:
            return False
        if not items[j].entry.topic & v.BOOK:
            continue
        if items[j].entry.text.startswith(("couplet", "accord", "key :")):
            return True
        if _opens(items, j) and (
            items[j + 1].kinds & v.COLON
            or not any(_looks(m) for m in items[_behind_it(items, j + 1) : i])
        ):
            return True
    return False


def _opens(items: list[Item], j: int) -> bool:
    """`Penrose's monograph`, `in the key`: the sentence begins with the book at item `j`."""
    k = j
    while k and items[k - 1].kinds == v.WORD and not items[k - 1].entry.topic:
        k -= 1
    k -= k > 0 and bool(items[k - 1].kinds & v.THE)
    k -= k > 0 and items[k - 1].entry.text in _SOURCES
    return k == 0 or bool(items[k - 1].kinds & (v.STOP | v.ASK))


def _behind_it(items: list[Item], k: int) -> int:
    """`the guide shows it with spotted leaves`: that `it` is no plant seen."""
    it = min(k + bool(items[k].kinds & v.WITH), len(items) - 1)
    return it + 1 if items[it].entry.text == "it" and not items[it].lead else k


def _looks(item: Item) -> bool:
    """`key in hand, I found it hollow`: what stands behind is the recorder's own."""
    return bool(item.kinds & (v.ACTUALLY | v.OWN | v.COMMA)) or item.entry.text in ("found", "saw")


def is_read_there(items: list[Item], last: int) -> bool:
    """`got as far as the hollow stem in the key`."""
    j = last + 1
    while j < len(items) and items[j].kinds & (v.ON | v.THE) and not items[j].entry.topic:
        j += 1
    in_it = j > last + 1 or (j < len(items) and items[j].entry.text.startswith("in "))
    return in_it and j < len(items) and bool(items[j].entry.topic & v.BOOK)
