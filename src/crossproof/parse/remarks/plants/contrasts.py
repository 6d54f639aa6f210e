"""States that a contrast gives: `5 spotted, 6 without`, `lip spotted, leaves not`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.organ.denial import outer_denial
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.organ.scope import EVERY, LACKS
from crossproof.parse.remarks.plants import others
from crossproof.parse.remarks.plants.counted import THE_OTHERS, counted_from, is_twin
from crossproof.parse.remarks.plants.exceptions import all_but_so_many, excepted
from crossproof.parse.remarks.plants.held import does_so
from crossproof.parse.remarks.plants.opposite import only_relates, opposite_of_last
from crossproof.parse.remarks.plants.organ_answers import denied_of_organ, has_them, set_apart
from crossproof.parse.remarks.plants.tallies import not_so_many
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, back, ends, past
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_EVERY = EVERY | {"any"}
_PLENTY = v.COUNT | v.YES  # `leaves with (plenty)`
_NIL = -1  # plants that no count of ours numbers


def with_and_without(items: list[Item], m: Mention, at: Attachment) -> Mention | None:
    """`plants with and without spots` are two kinds of plant."""
    j = back(items, m.item - 1, v.ORGAN | v.DEGREE, v.NOT, first=0)
    told = [bool(items[k].kinds & (v.WITH | v.NOT)) for k in (j, j - 2) if k >= 0]
    joined = j > 1 and items[j - 1].kinds & v.AND and told == [True, True]
    joined = joined and items[j - 1].start - items[j - 2].end == 1  # not: with purple and no …
    if not joined or m.state == at.sense.state:
        return None
    return replace(m, state=at.sense.state, plant=m.plant - 50)


def left_out(
    items: list[Item], found: list[Mention], numbers: list[int], vocabulary: Vocabulary
) -> list[Mention]:
    """States that only their denial stands for: `5 spotted, 6 without`, `from nil to rings`."""
    extra: list[Mention | None] = [
        excepted(items, i, found, vocabulary)
        for i, item in enumerate(items)
        if item.kinds & v.EXCEPT or all_but_so_many(items, i)
    ]
    for i, item in enumerate(items):
        denies = item.kinds & (v.NOT | v.NONE) and not item.kinds & v.STATE
        if denies and outer_denial(items, i) == i:  # not: no leaf without
            extra.append(
                _others_not(items, i, found, vocabulary)
                or _without(items, i, found, numbers, vocabulary)
                or _numbered(denied_of_organ(items, i, vocabulary), numbers[i])
                or _found_none(items, i, found, vocabulary)
                or _from_nil(items, i, found, vocabulary)
            )
        if item.kinds & v.WITH and ends(items, past(items, i + 1, _PLENTY, v.STATE | v.NONE)):
            extra.append(has_them(items, i) or _so_many_have(items, i, found))
        elif item.kinds & v.LIMIT and item.lead & v.BE:
            extra.append(has_them(items, i))
        if item.kinds & (v.BUT | v.COMMA | v.BREAK):
            extra.append(_some_elsewhere(items, i, found, vocabulary))
        if item.kinds & (v.YES | v.COUNT) and i > 1:
            extra.append(others.present_in(items, i, found, vocabulary))
        if item.entry.text in THE_OTHERS:
            extra.append(_others_have(items, i, found, vocabulary))
        if item.kinds & v.SET_APART:
            extra.append(set_apart(items, i, vocabulary))
    return [mention for mention in extra if mention is not None]


def _numbered(mention: Mention | None, plant: int) -> Mention | None:
    return None if mention is None else replace(mention, plant=plant)


def _others_not(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`spotted on some plants and not on others`, `… none on the leaves of the other`."""
    k = counted_from(items, i + 1) if i + 1 < len(items) else 0
    if not k or items[k].entry.text in _EVERY:
        return None
    if not ends(items, k + 1, v.PLANTS | v.COUNT) and not others.stand_there(items, k + 1):
        return None
    if k + 1 < len(items) and items[k + 1].lead & v.HEIGHTS:
        return None  # none on the two leaves below
    if others.answers_here(items, i, found, vocabulary) or others.on_one_leaf(items, i):
        return None
    return opposite_of_last(items, i, found, vocabulary, k, others.OTHERS)


def _some_elsewhere(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`no spots on the lower leaves but a few on the upper`: there are some."""
    before = [m for m in found if m.item < i and m.role == "sign"]
    if not before or i + 2 >= len(items) or not items[i + 1].kinds & v.COUNT:
        return None
    m, k = before[-1], i + 2
    if items[i + 1].kinds & (v.NONE | v.NOT) or items[k].kinds & v.LIMIT:
        return None
    raised = items[i + 1].lead | items[k].lead
    if not items[k].kinds & v.ON and not raised & v.HEIGHTS:
        return None
    k = past(items, k, v.ON | v.THE | v.ORGAN | v.WORD)
    if m.state != vocabulary.scales[m.character].absent or not ends(items, k):
        return None
    state = items[m.item].entry.senses[m.character].state
    return replace(m, state=state, end=items[k - 1].end, item=i + 1)


def _others_have(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`two had no spots, the rest did`, `…, the others had plenty`."""
    k = i + 1
    passed = v.PLANTS | v.WITH | v.THEY | v.COUNT | v.YES
    k = past(items, k, passed, v.STATE)
    before = [m for m in found if m.item < i and m.role == "sign"]
    first = i - bool(i and items[i - 1].entry.text == "the")
    opens = first > 0 and items[first - 1].kinds & (v.LIMIT | v.AND)
    if not before or not opens or not ends(items, k):
        return None
    m = before[-1]
    near = items[i].sentence - items[m.item].sentence < 2
    if not near or m.state != vocabulary.scales[m.character].absent:
        return None
    state = items[m.item].entry.senses[m.character].state
    return replace(m, state=state, end=items[k - 1].end, item=i, plant=others.OTHERS)


def _so_many_have(items: list[Item], i: int, found: list[Mention]) -> Mention | None:
    """`two without leaf spots, five with`."""
    before = [m for m in found if m.item < i and items[m.item].sentence == items[i].sentence]
    if not i or not items[i - 1].kinds & v.COUNT or not before or not ends(items, i + 1):
        return None
    sense = items[before[-1].item].entry.senses[before[-1].character]
    if sense.role != "sign" or sense.state == before[-1].state:
        return None
    return replace(before[-1], state=sense.state, end=items[i].end, item=i, plant=others.OTHERS)


def _without(
    items: list[Item],
    i: int,
    found: list[Mention],
    numbers: list[int],
    vocabulary: Vocabulary,
) -> Mention | None:
    """`5 spotted, 6 without`."""
    if not_so_many(items, i):
        return opposite_of_last(items, i, found, vocabulary, i, others.OTHERS)
    ended = i + 1 < len(items) and items[i + 1].entry.text in _EVERY  # some without all hollow
    if not i or not (ended or ends(items, i + 1 + _stands_for_them(items, i + 1))):
        return None
    if any(m.lead & v.HEIGHTS for m in items[i - 1 : i + 1]):
        return None  # lower leaves spotted, those above without
    lettered = i > 2 and items[i - 1].kinds & v.COMMA and items[i - 3].kinds & v.PLANTS
    counted = items[i - 1].kinds & (v.COUNT | v.PLANTS | v.OWN | v.WITH)
    if not lettered and not counted and not is_twin(items, i - 1):
        return None
    before = [m for m in found if m.item < i]
    if items[i].entry.text in LACKS and before and only_relates(items, before[-1].item, i):
        return None
    if not before or numbers[i] == numbers[before[-1].item] or before[-1].end >= items[i].end:
        return None
    return opposite_of_last(items, i, found, vocabulary, i - 1, numbers[i])


def _stands_for_them(items: list[Item], k: int) -> bool:
    """`6 lacked them`."""
    return k < len(items) and bool(items[k].kinds & v.THEY)


def _found_none(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`he swore the leaves were spotted, but I found none`, `… but there were none`."""
    if not items[i].kinds & v.NONE or not ends(items, i + 1) or i < 2:
        return None
    before = [m for m in found if m.item < i and items[m.item].sentence == items[i].sentence]
    seen = items[i - 1].kinds & v.SEE or items[i].entry.text.startswith("there ")
    if not seen or not before or not before[-1].said or before[-1].end >= items[i].end:
        return None
    return opposite_of_last(items, i, before, vocabulary, i - 1, before[-1].plant)


def _from_nil(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    """`marks range from nil through dots to rings`, `from a peppering to nothing whatever`."""
    if i > 1 and items[i - 1].kinds & v.TO and ends(items, i + 1) and not items[i].kinds & v.NOT:
        return _down_to_nil(items, i, found, vocabulary)
    if not i or not items[i - 1].kinds & v.VARIED or i + 1 >= len(items):
        return None
    later = [m for m in found if items[m.item].phrase == items[i].phrase]
    if not later or not items[i + 1].kinds & v.TO:
        return None
    character = later[0].character
    absent = vocabulary.scales[character].absent
    item = items[i]
    return Mention(character, absent, "stated", item.start, item.end, i, _NIL) if absent else None


def _down_to_nil(
    items: list[Item], i: int, found: list[Mention], vocabulary: Vocabulary
) -> Mention | None:
    before = [m for m in found if m.item < i and items[m.item].phrase == items[i].phrase]
    varied = any(m.kinds & v.VARIED and m.sentence == items[i].sentence for m in items[:i])
    absent = vocabulary.scales[before[-1].character].absent if before else ""
    if not absent or not varied or before[-1].state == absent:
        return None
    return replace(before[-1], state=absent, end=items[i].end, item=i, plant=_NIL)


def same_as_theirs(
    items: list[Item],
    attached: Mapping[int, Attachment | None],
    another: list[bool],
    vocabulary: Vocabulary,
) -> list[Mention]:
    """`both parents had hollow stems, and so had the hybrid`; `the parents spotted, ours not`."""
    given: list[Mention] = []
    for i, item in enumerate(items):
        if not item.kinds & v.OWN:
            continue
        before = i - 1 - bool(i > 1 and items[i - 1].kinds & v.THE)  # so was the hybrid's
        same = ends(items, i + 1) and i > 0 and items[before].kinds & v.AGAIN
        same = same or does_so(items, i)
        k = i + 1
        had = k + 1 < len(items) and items[k].kinds & v.WITH  # and the hybrid had too
        k += bool(had)
        same = same or (k < len(items) and items[k].kinds & v.AGAIN and ends(items, k + 1))
        some = past(items, k, _PLENTY, v.STATE | v.NONE)  # the hybrid has plenty
        same = same or (had and k < some and ends(items, some))
        # the hybrid has none; its own aren't; the orchid's stem wasn't
        k = past(items, i + 1, v.WITH | v.OWN | v.ORGAN)
        opens = i > 0 and items[i - 1].kinds & (v.ON | v.BREAK | v.BUT) and k < len(items)
        k += bool(opens and items[k].kinds & v.COMMA)  # on this one, none
        organs = frozenset[str]().union(*(m.entry.organs for m in items[i + 1 : k]))
        denied = k < len(items) and items[k].kinds & (v.NONE | v.NOT) and ends(items, k + 1)
        if not same and not denied:
            continue
        first = item.sentence - bool(i and items[i - 1].kinds & v.STOP)  # …. This has none.
        theirs = [k for k in attached if k < i and items[k].sentence >= first]
        at = attached[theirs[-1]] if theirs and another[theirs[-1]] else None
        if at is None or (organs and at.character not in organs):
            continue
        state = at.sense.state
        if denied:
            state = vocabulary.scales[at.character].denied.get(state, "")
        if state:
            start, end = items[theirs[-1]].start, items[k if denied else i].end
            given.append(Mention(at.character, state, "stated", start, end, i))
    return given
