"""Of which plant a remark speaks: the plant recorded, or its neighbours."""

from __future__ import annotations

from crossproof.parse.remarks.plants.counted import is_twin
from crossproof.parse.remarks.plants.held import (
    at_its_foot,
    beside_ours,
    has_its,
    held_over,
    is_counted,
    is_object,
    not_ours,
)
from crossproof.parse.remarks.plants.led_away import Voice, at_contrast, at_name
from crossproof.parse.remarks.plants.named import (
    ANOTHER,
    both_ours,
    follows_organ,
    inherits_from,
    joined_with_ours,
    names_all_before,
    only_flowers_of,
    stands_by_ours,
)
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, all_kinds, past, phrase_before

LEADS_AWAY = ANOTHER | v.THAN | v.ELSEWHERE | v.COUNT | v.DISOWNS | v.AMONG


_OPENING = frozenset("([")
_BRACKETS = _OPENING | frozenset(")]")


def of_another(items: list[Item]) -> list[bool]:
    """For each item, whether it speaks of a plant that is not the record's."""
    marks = [False] * len(items)
    if not all_kinds(items) & LEADS_AWAY:
        return marks
    voice = Voice()
    for i, item in enumerate(items):
        if item.kinds & v.LIMIT:
            if voice.who == "own" or not _holds_on(items, i, voice):
                _at_break(voice, item, _opens_aside(items, i))
        elif _comes_back(items, i, voice):
            if voice.who == "own" or not _only_says_which(items, i, voice):
                voice.ours()
        elif item.kinds & v.DISOWNS:
            _disown(items, i, marks)
        elif _names_ours(items, i, voice):
            continue
        elif not at_contrast(items, i, voice, marks):
            if item.kinds & ANOTHER and not (item.kinds & v.STATE and follows_organ(items, i)):
                at_name(items, i, voice, marks)
            elif item.kinds & v.STATE:
                voice.said = True
        marks[i] = marks[i] or voice.who != "own"
    _mark_named_behind(items, marks)
    return marks


def _holds_on(items: list[Item], i: int, voice: Voice) -> bool:
    """Whether what stands behind the comma or bracket `i` is still said of the other plant."""
    k = _behind_bracket(items, i) if voice.compared != items[i].sentence else len(items)
    if k < len(items) and _goes_on(items, k, voice):
        return True
    if not items[i].kinds & v.COMMA:
        return False
    if i + 1 < len(items) and _goes_on(items, i + 1, voice):
        return True
    if is_counted(items, i - 1) or _of_them(items, i, voice) or _so_stemmed(items, i, voice):
        return True
    if _after_aside(items, i, voice):
        return True
    return held_over(items, i, unlike=voice.who == "region")


def _behind_bracket(items: list[Item], i: int) -> int:
    """Where the sentence goes on behind the bracket that closes at item `i`, or holds it."""
    first = next((k for k in range(i, len(items)) if items[k].entry.text in _BRACKETS), len(items))
    if first >= len(items) or items[first].entry.text in _OPENING:
        return len(items)
    inside = first == i or items[i].kinds & v.COMMA
    return past(items, first + 1, v.COMMA) if inside else len(items)


def _only_says_which(items: list[Item], i: int, voice: Voice) -> bool:
    """Whether ours, at item `i`, only says which other plant: `the fuchsii beside it was …`."""
    if beside_ours(items, i) or has_its(items, i) or at_its_foot(items, i):
        return True
    if i and not_ours(items, i - 1):
        return True
    if i and items[i - 1].kinds & ANOTHER and items[i - 1].entry.text.endswith("'s"):
        return True  # my neighbour's hybrid
    return voice.who == "subject" and not voice.said and is_object(items, i)


def _mark_named_behind(items: list[Item], marks: list[bool]) -> None:
    for i in range(1, len(items)):
        if names_all_before(items, i):
            for k in range(i):
                marks[k] = marks[k] or items[k].sentence == items[i].sentence


def _comes_back(items: list[Item], i: int, voice: Voice) -> bool:
    """`this one`, `but for its …`, `taken for a fuchsii until …`; not `in this flush`."""
    item = items[i]
    if item.entry.text == "this" and i + 1 < len(items) and items[i + 1].kinds == v.WORD:
        return False
    found = item.kinds & v.ACTUALLY and voice.who == "region"
    return bool(item.kinds & v.OWN or found or item.entry.text == "but for")


def _goes_on(items: list[Item], k: int, voice: Voice) -> bool:
    """`the fuchsii, whose leaves …`, `a companion, D. fuchsii, had …`: still that plant.

    So are `arum, the leaves of which …`, `fuchsii (six) had …`, `cf. that in the fen, where …`.
    """
    subject = voice.who == "subject" and (items[k].kinds & v.WITH or items[k].lead & v.BE)
    which = items[k : past(items, k, v.THE | v.COUNT | v.ORGAN | v.ON) + 1]
    told = any(m.lead & v.RELATIVE for m in which) or items[k].entry.text == "where"
    return bool(told or subject)


def _after_aside(items: list[Item], i: int, voice: Voice) -> bool:
    """`marsh orchids, as everyone knows, have …`: the second comma leads back to that plant."""
    phrase = items[i].phrase + 1
    behind = next((k for k in range(i + 1, len(items)) if items[k].phrase != phrase), len(items))
    if behind >= len(items) or not items[behind - 1].kinds & v.COMMA:
        return False
    told = v.STATE | v.ORGAN | v.OWN | v.COUNT | ANOTHER
    return _goes_on(items, behind, voice) and not any(m.kinds & told for m in items[i:behind])


def _of_them(items: list[Item], i: int, voice: Voice) -> bool:
    """`fuchsii near by, solid stems all of them`; `with fuchsii, stems of those solid`."""
    phrase = [m for m in items[i + 1 :] if m.phrase == items[i].phrase + 1]
    theirs = [m.kinds & v.THEY or m.entry.text == "those" for m in phrase]
    return any(them and phrase[k - 1].kinds & v.ON for k, them in enumerate(theirs) if k)


def _so_stemmed(items: list[Item], i: int, voice: Voice) -> bool:
    """`fuchsii 5 m off, solid, …`; `…, solid-stemmed; the hybrid …`: since ours comes later."""
    state, organ = (*(m.kinds for m in items[i + 1 : i + 3]), v.LIMIT, v.LIMIT)[:2]
    if voice.who != "subject" or not (state & v.STATE and organ & (v.ADJECTIVE | v.LIMIT)):
        return False
    later = any(m.kinds & v.OWN and m.sentence == items[i].sentence for m in items[i + 3 :])
    return later or bool(organ & v.LIMIT)


def _disown(items: list[Item], i: int, marks: list[bool]) -> None:
    """`the spotted leaves are not its own`: marks the stretch, unless it goes on to ours."""
    if any(item.kinds & v.OWN for item in items[i + 1 : i + 3]):
        return
    j = i - bool(i and items[i - 1].kinds & (v.BUT | v.COMMA))  # … but that's another plant
    phrase = items[j - 1].phrase if j else 0
    while j and items[j - 1].phrase == phrase:
        j -= 1
        marks[j] = True


def _opens_aside(items: list[Item], i: int) -> bool:
    """`20 fuchsii (leaves marked)`, `hemlock over it - hollow stems everywhere -`."""
    named = i > 0 and items[i - 1].kinds & (v.SPECIES | v.OTHER)
    return bool(named and items[i].entry.text in _OPENING) or stands_by_ours(items, i)


def _at_break(voice: Voice, item: Item, aside: bool) -> None:
    """A full stop brings us back to our plant; weaker breaks do where nothing holds us."""
    kinds = item.kinds
    if kinds & v.COMMA or (kinds & v.ASK and item.prefix):
        if voice.who == "region" or not voice.said:
            voice.who = "own"
        return
    if aside:
        voice.who = voice.who if voice.who == "own" else "subject"
        return
    holds = (kinds & v.COLON and voice.near) or (kinds & v.BUT and voice.said)
    if voice.who == "region" or not (item.entry.text in _OPENING or holds):
        voice.ours()


def _names_ours(items: list[Item], i: int, voice: Voice) -> bool:
    """A name that is no other plant's: `fuchsii-like`, `both this and the fuchsii`."""
    kinds = items[i].kinds
    if not kinds & ANOTHER:
        return False
    if kinds & v.SPECIES and i + 1 < len(items) and items[i + 1].kinds & v.LIKE:
        return True
    if voice.who == "own" and inherits_from(items, i):
        return True
    if only_flowers_of(items, i) or both_ours(items, i) or is_twin(items, i):
        return True
    if _is_counted_before(items, i) or _places_hybrid(items, i):
        return True
    return voice.who == "own" and joined_with_ours(items, i)


def _places_hybrid(items: list[Item], i: int) -> bool:
    """`the fuchsii had …; the hybrid next to it …`: says where ours stands."""
    placed = items[i].kinds & (v.SPECIES | v.OTHER) == v.OTHER and i > 0
    return placed and items[i - 1].entry.text.endswith("hybrid")


def _is_counted_before(items: list[Item], i: int) -> bool:
    """`one plain, the other six with spots on theirs`: of plants that were counted."""
    here = phrase_before(items, i)
    return items[i].entry.text == "theirs" and any(m.kinds & v.COUNT for m in here)
