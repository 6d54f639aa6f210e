"""Shares of the plants that words name without figures: `half of them`, `not all had`."""

from __future__ import annotations

from crossproof.parse.remarks.plants.counted import THE_OTHERS
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, ends

MINORITY = frozenset(general_words()["in_the_minority"])
_PART = frozenset(general_words()["part_of_them"])
_SOME = frozenset(
    {"some", "a few", "half", "several", "a third", "half of them", "only some", "only some of"}
)
_NOT_EVERY = frozenset({"not every", "not all", "not each", "not all of"})
_AS_SUBJECT = _NOT_EVERY | frozenset(general_words()["part_as_subject"])
_LACKS = v.NOT | v.NONE  # both at once: `most lacked any`
_HALF = 0.5  # some have it and some have not; how many does not matter


def named_share(items: list[Item], i: int) -> float:
    """The share of the plants that item `i` names: 0, or some; -1 where it names none."""
    text = items[i].entry.text
    if items[i].lead & v.HEIGHTS:
        return -1  # on the upper half
    if text in _PART or text in MINORITY or (text.endswith("%") and text != "100 %"):
        return _HALF
    if (text in _NOT_EVERY and _not_all_plants(items, i)) or _as_subject(items, i):
        return _HALF
    if not i or not items[i - 1].kinds & v.ON:
        return -1
    if text == "none":
        return 0  # spots on none of them
    them = i + 1 < len(items) and bool(items[i + 1].kinds & v.THEY)
    some = text in _SOME and ends(items, i + 1 + them) and not _others_differ(items, i)
    return _HALF if some else -1  # leaf spots on some


def _not_all_plants(items: list[Item], i: int) -> bool:
    """`not all of the plants`, `not every hybrid's`; not `not all leaves`."""
    k = i + 1
    while k < len(items) and items[k].kinds & v.THE and not items[k].kinds & v.OWN:
        k += 1
    named = items[k] if k < len(items) else items[i]
    return bool(named.kinds & v.PLANTS or (named.kinds & v.OWN and named.entry.text[-1] == "s"))


def _as_subject(items: list[Item], i: int) -> bool:
    """`few had`, `most lacked any`, `only two had`, `that one alone with`."""
    behind = items[i + 1].kinds if i + 1 < len(items) else 0
    if items[i].entry.text in _AS_SUBJECT:
        return bool(behind & v.WITH) or behind & _LACKS == _LACKS
    if not items[i].kinds & v.COUNT:
        return False
    if behind & v.ONLY:
        return i + 2 < len(items) and bool(items[i + 2].kinds & v.WITH)
    return bool(i and items[i - 1].kinds & v.ONLY and behind & v.WITH)


def _others_differ(items: list[Item], i: int) -> bool:
    """`heavily spotted in some, lightly in the rest`: all have them."""
    here = [m for m in items[i + 1 :] if m.sentence == items[i].sentence]
    others = any(m.entry.text in THE_OTHERS for m in here)
    return others and not any(m.kinds & (v.NOT | v.NONE | v.STATE) for m in here)
