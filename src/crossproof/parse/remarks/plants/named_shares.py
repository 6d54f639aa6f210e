"""Shares of the plants that words name without figures: `half of them`, `not all had`."""

from __future__ import annotations

from crossproof.parse.remarks.organ.scope import WITHOUT
from crossproof.parse.remarks.plants.counted import THE_OTHERS, is_leaf_spotted
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, ends, past

MINORITY = frozenset(general_words()["in_the_minority"])
_PART = frozenset(general_words()["part_of_them"])
_SOME = frozenset(
    {"some", "a few", "half", "several", "a third", "half of them", "only some", "only some of"}
)
_ON_SOME = (
    _SOME
    | {"one third", "two thirds", "a quarter", "about half", "nearly half", "a minority"}
    | {"a handful", "not many", "very few", "few", "a couple", "over half"}
)
NOT_EVERY = frozenset(general_words()["not_every"])
_AS_SUBJECT = NOT_EVERY | frozenset(general_words()["part_as_subject"])
_ALL = frozenset(
    {"all", "all of", "each", "each of", "every plant", "every one", "both", "all plants"}
)
LACKING = v.NOT | v.NONE  # both at once: `most lacked any`
_HAD = (v.WITH, LACKING)
_HALF = 0.5  # some have it and some have not; how many does not matter


def named_share(items: list[Item], i: int) -> float:
    """The share of the plants that item `i` names: 0, or some; -1 where it names none."""
    text = items[i].entry.text
    if items[i].lead & v.HEIGHTS:
        return -1  # on the upper half
    if text in NOT_EVERY and i and items[i - 1].kinds & (v.BUT | v.COMMA) and ends(items, i + 1):
        return _HALF  # many had, but by no means all
    if text in _PART or text in MINORITY or (text.endswith("%") and text != "100 %"):
        return _HALF
    if (text in NOT_EVERY and _not_all_plants(items, i)) or _as_subject(items, i):
        return _HALF
    if i and items[i - 1].kinds & v.COLON and text == "some":
        return _HALF if ends(items, i + 1, v.MANY) else -1  # leaves spotted: some
    if not i or not items[i - 1].kinds & v.ON:
        return -1
    if text in _ALL and i > 1 and items[i - 2].entry.text in ("not", "by no means"):
        return _HALF  # spots not on all of them
    if text.removesuffix(" of") in _SOME and _opens_with(items, i):
        return _HALF
    relative = items[i].lead & v.RELATIVE and items[i].kinds & v.COUNT
    if relative and i + 1 < len(items) and items[i + 1].kinds & v.WITH and text not in _ALL:
        return _HALF  # twelve plants, of which five have
    if text == "none":
        return 0  # spots on none of them
    them = i + 1 < len(items) and bool(items[i + 1].kinds & (v.THEY | v.MANY))
    some = text in _ON_SOME and ends(items, i + 1 + them) and not _others_differ(items, i)
    return _HALF if some else -1  # leaf spots on some


def _opens_with(items: list[Item], i: int) -> bool:
    """`In some plants the leaves are spotted`: and not in the others, where no more is said."""
    opens = i == 1 or bool(items[i - 2].kinds & v.HARD)
    here = [m for m in items[i:] if m.phrase == items[i].phrase]
    plants = len(here) > 2 and bool((here[1].kinds | here[2].kinds) & (v.MANY | v.THEY))
    return opens and plants and sum(bool(m.kinds & v.STATE) for m in here) == 1


def _not_all_plants(items: list[Item], i: int) -> bool:
    """`not all of the plants`, `not every hybrid's`; not `not all leaves`."""
    k = past(items, i + 1, v.THE, v.OWN)
    named = items[k] if k < len(items) else items[i]
    return bool(named.kinds & v.PLANTS or (named.kinds & v.OWN and named.entry.text[-1] == "s"))


def _as_subject(items: list[Item], i: int) -> bool:
    """`few had`, `most lacked any`, `a third without`, `only two had`, `that one alone with`."""
    behind = items[i + 1].kinds if i + 1 < len(items) else 0
    if items[i].entry.text in NOT_EVERY and items[i + 1 : i + 2] and items[i + 1].lead & v.BE:
        return True  # not all are leaf-spotted
    if items[i].entry.text in _AS_SUBJECT:
        k = i + 1 + bool(behind & v.PLANTS)
        had = k < len(items) and has_or_lacks(items[k])
        return had or (items[i].entry.text not in _SOME and _are_leaved(items, k))
    if not items[i].kinds & v.COUNT:
        return False
    if behind & v.PLANTS and i + 3 < len(items) and items[i + 2].kinds & v.ONLY:
        return bool(items[i + 3].kinds & v.WITH)  # one plant only had
    if behind & v.ONLY:
        return i + 2 < len(items) and bool(items[i + 2].kinds & v.WITH)
    return bool(i and items[i - 1].kinds & v.ONLY and behind & v.WITH)


def has_or_lacks(item: Item) -> bool:
    """`(some of them) had`, `lacked`, `without`."""
    return item.kinds & (v.WITH | LACKING) in _HAD or item.entry.text in WITHOUT


def _are_leaved(items: list[Item], k: int) -> bool:
    """`the majority leaf-spotted`, `almost all spot-leaved`."""
    if k + 1 >= len(items):
        return False
    adjective = items[k].kinds & v.STATE and items[k + 1].kinds & v.ADJECTIVE
    return bool(adjective or (items[k].kinds & v.ORGAN and is_leaf_spotted(items, k)))


def _others_differ(items: list[Item], i: int) -> bool:
    """`heavily spotted in some, lightly in the rest`: all have them."""
    here = [m for m in items[i + 1 :] if m.sentence == items[i].sentence]
    others = any(m.entry.text in THE_OTHERS for m in here)
    return others and not any(m.kinds & (v.NOT | v.NONE | v.STATE) for m in here)
