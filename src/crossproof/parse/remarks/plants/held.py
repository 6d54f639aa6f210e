"""What keeps a sentence at the other plant that it names, though ours or a comma stands behind."""

from __future__ import annotations

from itertools import pairwise

from crossproof.parse.remarks.plants.named import ANOTHER, stands_by_ours
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import (
    Item,
    back,
    ends,
    is_organ,
    past,
    phrase_before,
    sentence_before,
    stretch_start,
)

_BESIDE = frozenset({"about", "around", "round", "with", "by", "behind", "under", "over"})
_ITS = frozenset({"its", "their"})
_SELF = frozenset({"itself", "themselves"})
_TOLD = v.STATE | v.ORGAN | v.OWN | v.HARD
_HAS = frozenset({"had", "has", "have", "bore", "showed", "shows", "carried", "carries", "bears"})
_BY = v.ON | v.TO | v.AMONG | v.WITH | v.VERB
_PLACES = v.ON | v.TO | v.THE | v.WORD | v.AMONG | v.ELSEWHERE
_LETTER = v.WORD | v.THE | v.NUMBER
_OF_PART = v.STATE | v.ORGAN | v.DEGREE | v.NOT | v.LIMIT


def held_over(items: list[Item], i: int, *, unlike: bool) -> bool:
    """Whether what stands behind the comma `i` is still said of the other plant before it.

    `the parent, ten paces off, had …`; `hemlock, its stems hollow, …`; and where ours is named
    later in the sentence (`unlike`) also `unlike a fuchsii, with its solid stem, this …`.
    """
    k = i + 1
    if k + 1 >= len(items):
        return False
    if items[k].kinds & v.WITH and items[k + 1].entry.text == "its":
        return not unlike or _ours_later(items, k + 2)
    if unlike or not _named_right_before(items, i):
        return False
    if items[k].entry.text in _ITS:
        return bool(items[k + 1].kinds & (v.ORGAN | v.STATE | v.DEGREE))
    return items[k].entry.text in _SELF or _aside_before_verb(items, i) or stands_by_ours(items, i)


def _named_right_before(items: list[Item], i: int) -> bool:
    """`hemlock, …`, `the hemlock here, …`, `fuchsii next to it, …`: no state stands between."""
    k = i - 1
    while k >= 0 and items[k].phrase == items[i].phrase:
        if items[k].kinds & ANOTHER:
            return True
        if items[k].kinds & (v.STATE | v.ORGAN):
            return False
        k -= 1
    return False


def _ours_later(items: list[Item], i: int) -> bool:
    here = [m for m in items[i:] if m.sentence == items[i].sentence]
    return any(m.kinds & v.OWN and m.entry.text not in _ITS for m in here)


def _aside_before_verb(items: list[Item], i: int) -> bool:
    """`the frog orchid, two inches away, had …`: nothing of a plant is told in between."""
    k = i + 1
    opens = all(m.kinds & v.THE or m.kinds == v.WORD for m in sentence_before(items, i - 1))
    told = v.OWN | v.HARD if opens else _TOLD  # incarnata, stems hollow, had gone over
    while k < len(items) and not items[k].kinds & (told | v.COMMA | v.ASK):
        k += 1
    if k + 1 >= len(items) or not items[k].kinds & v.COMMA:
        return False
    return bool(items[k + 1].kinds & v.WITH or items[k + 1].lead & v.BE)


def is_object(items: list[Item], i: int) -> bool:
    """`the fuchsii it grew with had …`, `the one to its left was …`: ours only says which.

    Item `i` stands behind the name of another plant, whose state comes later.
    """
    behind = items[i + 1].kinds if i + 1 < len(items) else v.LIMIT
    if items[i].entry.text in _SELF and items[i - 1].kinds & v.COMMA:
        return True
    if items[i].entry.text == "its" and behind & _OF_PART:
        return bool(items[i - 1].kinds & v.COMMA) or _of_the_one_named(items, i)
    here = [m for m in items[: i + 1] if m.phrase == items[i].phrase]
    if any(m.lead & v.RELATIVE for m in here):
        return _says_later(items, i)  # a fuchsii whose roots it shared
    reached = items[i - 1].kinds & _BY and not items[i - 1].kinds & v.LIMIT
    grew = behind & (v.WORD | v.AMONG | v.ON) and not behind & v.THEY
    if not (reached or grew):
        return False
    return _says_later(items, i + bool(grew))


def _says_later(items: list[Item], i: int) -> bool:
    """Whether a verb that may be the other plant's stands behind item `i` of its stretch."""
    for m in items[i + 1 :]:
        if m.kinds & v.COMMA and _closes_relative(items, i):
            continue
        if m.clause != items[i].clause or m.kinds & v.LIMIT:
            return False
        if m.lead & v.BE or (m.kinds & v.WITH and m.entry.text in _HAS):
            return True
    return False


def _closes_relative(items: list[Item], i: int) -> bool:
    """`the fuchsii, which overhangs it, has …`."""
    here = [m for m in items[: i + 1] if m.phrase == items[i].phrase]
    return bool(here[0].lead & v.RELATIVE)


def _of_the_one_named(items: list[Item], i: int) -> bool:
    """`snapped a horsetail to show its hollow stem`: nothing of ours was named before."""
    here = phrase_before(items, i)
    plain = v.WORD | v.THE | v.TO | v.OTHER | v.SPECIES | v.SEE | v.EXAMINE
    return (
        bool(here)
        and any(m.kinds & v.OTHER and not m.kinds & v.THE for m in here)
        and not any(m.kinds & (v.LIMIT | v.OWN | v.LIKE) or not m.kinds & plain for m in here)
    )


def at_its_foot(items: list[Item], i: int) -> bool:
    """`unlike the fuchsii at its foot, …`, `dock round it, …`: where the other plant stood."""
    if items[i].entry.text not in ("its", "it") or not items[i - 1].kinds & (v.ON | v.TO | v.VERB):
        return False
    behind = items[i + 1 : i + 3]
    if behind and behind[0].kinds == v.WORD:
        behind = behind[1:]
    return not behind or bool(behind[0].kinds & v.LIMIT)


def is_lettered_name(items: list[Item], i: int) -> bool:
    """`(a) hybrid, leaves …; (b) fuchsii, leaves …`: what stands behind the name is its own."""
    if not _heads_entry(items, i):
        return False
    return any(m.kinds & v.OWN and _heads_entry(items, k) for k, m in enumerate(items))


def _heads_entry(items: list[Item], k: int) -> bool:
    """Whether a list goes on with what is named at item `k`: `A hybrid, …; B fuchsii: …`."""
    behind = past(items, k + 1, _PLACES)  # hybrid on the left, …
    if behind >= len(items) or not items[behind].kinds & (v.COMMA | v.COLON):
        return False
    j = k - 1
    while j >= 0 and k - j < 3 and items[j].end - items[j].start == 1 and items[j].kinds & _LETTER:
        j -= 1
    return j < 0 or bool(items[j].kinds & (v.STOP | v.BREAK | v.COLON))


def is_counted_heading(items: list[Item], i: int) -> bool:
    """`fuchsii x 40 alongside, …`, `50 fuchsii, …`: a list of what else grew there.

    Not where ours comes later in the same clause.
    """
    first = i
    while first and items[first - 1].kinds & (v.NUMBER | v.COUNT | v.OR | v.AND):
        first -= 1  # 50+ fuchsii
    if first and not items[first - 1].kinds & (v.STOP | v.BREAK):
        return False
    k = past(items, i + 1, v.NUMBER | v.CROSS)
    if not any(m.kinds & v.NUMBER for m in items[first:k]):
        return False
    here = [m for m in items[k - 1 :] if m.clause == items[i].clause]
    return not any(
        b.kinds & (v.OWN | v.CROSS) and not (b.entry.text == "it" and a.kinds & (v.ON | v.AMONG))
        for a, b in pairwise(here)
    )


def neighbour_with(items: list[Item], i: int) -> bool:
    """`grew by a plant with …`, `grew with a pale form whose …`: item `i` is no plant of ours."""
    if i + 1 >= len(items) or items[i + 1].kinds & v.STATE:
        return False
    whose = items[i + 1].lead & v.RELATIVE and items[i + 1].kinds & v.ORGAN
    if not whose and not (items[i + 1].kinds & v.WITH and items[i].kinds & (v.PLANTS | v.COUNT)):
        return False
    k = back(items, i - 1, v.THE | v.COUNT | (v.WORD if whose else 0), v.LIMIT)
    if k < 0:
        return False
    if items[k].kinds & v.AMONG and items[k].entry.text != "from":
        return True
    here = [m for m in items[: k + 1] if m.sentence == items[i].sentence]
    if len(here) < 2:
        return items[k].entry.text == "by" and items[k].sentence == items[i].sentence
    inverted = here[0].kinds & v.AMONG and here[1].kinds & v.OWN
    return bool(inverted or items[k].entry.text == "by")


def does_so(items: list[Item], i: int) -> bool:
    """`the fuchsii had no leaf spots but this one has`, `…, this does`: what they lacked."""
    if i < 2 or not items[i - 1].kinds & (v.BUT | v.COMMA | v.BREAK):
        return False
    k = _aside_closed(items, i)
    if k < len(items) and items[k].kinds & v.WITH:
        k += 1
    elif k < len(items) and items[k].start - items[k - 1].end < len(" is"):
        return False  # `does` itself is no item
    here = sentence_before(items, i)
    return ends(items, k) and any(m.kinds & (v.NOT | v.NONE) for m in here)


def _aside_closed(items: list[Item], i: int) -> int:
    """Where `this, the wild one, …` goes on: behind the second comma, where there are two."""
    if i + 1 < len(items) and items[i + 1].kinds & v.COMMA:
        for k in range(i + 2, min(i + 7, len(items))):
            if items[k].kinds & (v.COMMA | v.STATE | v.HARD):
                return k + 1 if items[k].kinds & v.COMMA and not items[k].kinds & v.STATE else i + 1
    return i + 1


def names_ground(items: list[Item], i: int) -> bool:
    """`differs from the fuchsii beside it in lacking spots`: `in` says what they differ by."""
    begins = v.STATE | v.ORGAN | v.NOT | v.WITH | v.DEGREE
    k = i + 1 + bool(items[i + 1].kinds & v.THE or items[i + 1].lead & v.BE)
    begin = any(m.kinds & begins for m in items[i + 1 : k + 2] if m.phrase == items[i].phrase)
    k = back(items, i - 1, _PLACES | v.OWN | v.NUMBER, v.LIMIT | ANOTHER, first=0)
    return begin and bool(items[k].kinds & ANOTHER)


def is_counted(items: list[Item], i: int) -> bool:
    """`fuchsii x 3, spotted leaves; …`."""
    if i < 2 or not items[i].kinds & v.NUMBER or not items[i - 1].kinds & v.CROSS:
        return False
    return bool(items[i - 2].kinds & v.SPECIES)


def crowd(items: list[Item], i: int, marks: list[bool]) -> bool:
    """`among the plain-leaved throng`, `not the dotty-leaved dwarf`: marks how they are leaved."""
    the, state, organ = (*(m.kinds for m in items[i + 1 : i + 4]), 0, 0, 0)[:3]
    if not (the & v.THE and state & v.STATE and organ & v.ADJECTIVE):
        return False
    marks[i + 2] = marks[i + 3] = True
    return True


def counts_on(items: list[Item], i: int) -> bool:
    """`fewer than 1 in 20`, `longer than the ovary`: no comparison with other plants."""
    behind = items[i + 1 : i + 7]
    counted = behind and behind[0].kinds & (v.COUNT | v.NUMBER)
    parts = past(items, i + 1, v.THE)
    counted = counted or (parts < len(items) and is_organ(items[parts]))
    with_spots = len(behind) > 1 and behind[0].kinds & v.WITH and behind[1].kinds & v.STATE
    counted = counted or with_spots  # more with plain leaves than with spotted
    return bool(counted) and not any(m.kinds & ANOTHER for m in behind)


def opens_elsewhere(items: list[Item], i: int) -> bool:
    """`on the next verge every plant is …`: a sentence of that place, until a comma."""
    opens = not i or bool(items[i - 1].kinds & v.STOP)
    if not opens or not items[i].entry.text.startswith(("in the ", "on the ")):
        return False
    here = [m for m in items[i:] if m.sentence == items[i].sentence]
    return not any(m.kinds & v.OWN for m in here)


def not_ours(items: list[Item], i: int) -> bool:
    """`the one by the gate, not this, had …`: item `i` is that `not`."""
    if items[i].entry.text != "not" or not i or not items[i - 1].kinds & v.COMMA:
        return False
    ours = i + 1 < len(items) and items[i + 1].kinds & v.OWN and ends(items, i + 2)
    here = sentence_before(items, i)
    return bool(ours) and not any(m.kinds & v.OWN for m in here)


def plants_elsewhere(items: list[Item], i: int, marks: list[bool]) -> bool:
    """`ring-spotted plants nearby`: marks the stretch, where it is about plants."""
    first = stretch_start(items, i)
    while first and items[first - 1].clause == items[i].clause and items[first - 1].kinds & v.BREAK:
        first -= 1
    stretch = items[first:i]
    the_one = len(stretch) == 2 and stretch[0].kinds & v.THE and stretch[1].entry.text == "one"
    if not (the_one or any(m.kinds & v.MANY for m in stretch)):
        return False
    if any(m.kinds & v.OWN for m in stretch):
        return False
    marks[first:i] = [True] * (i - first)
    return True


def beside_ours(items: list[Item], i: int) -> bool:
    """`the fuchsii beside it were …`, `… above it …`: ours only says where they stood."""
    if items[i].entry.text == "it" and items[i].lead & v.HEIGHTS:
        return True
    return i > 0 and (bool(items[i - 1].kinds & v.AMONG) or items[i - 1].entry.text in _BESIDE)


def has_its(items: list[Item], i: int) -> bool:
    """`only the maculata had its stem tested`: the stem is that plant's."""
    return items[i].entry.text == "its" and i > 0 and bool(items[i - 1].kinds & v.WITH)
