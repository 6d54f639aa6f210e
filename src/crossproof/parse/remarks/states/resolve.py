"""From mentions to evidence: one state per plant and character."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise, takewhile

from crossproof.model import Evidence, Weight
from crossproof.parse.remarks.organ.attachment import is_sign
from crossproof.parse.remarks.organ.heights import at_two_heights
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.plants.counted import is_leaf_spotted
from crossproof.parse.remarks.plants.single import is_single
from crossproof.parse.remarks.states.unclear import is_unclear
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import (
    Item,
    all_kinds,
    is_organ,
    phrase_before,
    sentence_before,
)
from crossproof.parse.remarks.text.vocabulary import Scale

_SITES = frozenset(general_words()["sites"])
_LONG = 4  # letters of a label: `P1`, `Q12`
_SEEMED = v.SAYS | v.WRONG | v.RETRACTS | v.EXCEPT
_ON_STEM_OR_AT_END = frozenset(
    {
        "stem leaves",
        "stem lvs",
        "cauline leaves",
        "cauline lvs",
        "leaf tip",
        "leaf tips",
        "leaf base",
        "leaf bases",
    }
)
_FACES = ("side", "sides", "face", "faces", "surface", "surfaces", "back", "backs")
_REST = ("otherwise", "the rest", "rest", "remainder", "the remainder")
_FIRMEST: Mapping[Weight, int] = {"stated": 0, "hedged": 1, "faint": 2, "questioned": 3}


def evidence(
    text: str, items: list[Item], found: list[Mention], scales: Mapping[str, Scale]
) -> tuple[Evidence, ...]:
    """Return the evidence in the order of the text.

    Where the remark calls something that was said wrong, what was only said is left out.
    """
    refuted = bool(all_kinds(items) & v.WRONG)
    given: list[Evidence] = []
    for character in dict.fromkeys(m.character for m in found):
        mine = [m for m in found if m.character == character]
        firm = _without_hearsay([m for m in mine if m.weight != "questioned"], refuted)
        told = _per_plant(text, items, firm, scales[character])
        given.extend([] if is_unclear(items, told, firm, scales[character]) else told)
        if not firm:
            given.extend(_evidence(text, m.state, [m]) for m in mine if m.weight == "questioned")
    kept = [e for e in given if not _pointless(e, given, scales)]
    return tuple(sorted(kept, key=lambda e: (e.start, e.end)))


def _without_hearsay(firm: list[Mention], refuted: bool) -> list[Mention]:
    """What was only said gives way to what was seen, and to being called wrong."""
    seen = [m for m in firm if not m.said]
    if seen or refuted or len({m.state for m in firm}) > 1:
        return seen  # she said hollow, he said solid: neither is known
    for m in firm:
        if m.weight == "stated":
            m.weight = "hedged"
    return firm


def _per_plant(text: str, items: list[Item], firm: list[Mention], scale: Scale) -> list[Evidence]:
    by_plant: dict[int, list[Mention]] = {}
    for mention in firm:
        by_plant.setdefault(mention.plant, []).append(mention)
    given: dict[str, Evidence] = {}
    for group in by_plant.values():
        for state, words in _one_plant(items, group, scale):
            found = _evidence(text, state, words)
            if state not in given or _FIRMEST[found.weight] < _FIRMEST[given[state].weight]:
                given[state] = found
    return list(given.values())


def _one_plant(
    items: list[Item], group: list[Mention], scale: Scale
) -> list[tuple[str, list[Mention]]]:
    """The states of one plant, each with the mentions that it rests on.

    Opposite states of one organ lie between: `hollow below, solid above`. Behind a full stop, a
    colon or the like it is not known what the second one speaks of, nor which of them is true,
    unless both say at what height they were found.
    """
    if any(m.state == scale.absent for m in group):
        group = [m for m in group if not _denied_state(items[m.item])]
    states = {m.state for m in group}
    for parts, gives in scale.together:
        stated = [m for m in group if m.weight == "stated"]
        if stated and parts <= states and not parts <= {m.state for m in stated}:
            return _one_plant(items, stated, scale)  # "looks solid, is hollow"
        if parts <= states and gives not in states:
            opposite = [m for m in group if m.state in parts]
            places = [m.item for m in opposite]
            parted = any(items[i].kinds & v.HARD & ~v.BUT for i in range(min(places), max(places)))
            if parted and not at_two_heights(items, opposite[0], opposite[-1]):
                return []
            return [(gives, opposite)]
    parted = scale.absent in states and len(states) > 1 and _in_two_sentences(items, group)
    if parted and not (_of_counted_plants(items, group) or _headed(items, group)):
        return []
    if _of_several(items, group, scale):
        return [
            (state, [min((m for m in group if m.state == state), key=lambda m: _FIRMEST[m.weight])])
            for state in sorted(states)
        ]
    for state in scale.one_plant:
        if state in states:
            rest = [m for m in group if m.state == state]
            return [(state, [min(rest, key=lambda m: _FIRMEST[m.weight])])]
    return [
        (state, [min((m for m in group if m.state == state), key=lambda m: _FIRMEST[m.weight])])
        for state in sorted(states)
    ]


def _denied_state(item: Item) -> bool:
    """A phrase for a state that is itself a denial: `not ringed`."""
    return bool(item.kinds & v.STATE) and item.entry.text.startswith("not ")


def _of_several(items: list[Item], group: list[Mention], scale: Scale) -> bool:
    """`clumps in the ditch spotted, on the bank plain`: unless parts of one leaf are told apart."""
    having = [m for m in group if m.state != scale.absent]
    lacking = [m for m in group if m.state == scale.absent and _is_bare(items, m, having)]
    if not scale.absent or not lacking or not having or is_single(items):
        return False
    if any(m.weight not in ("stated", "faint") or m.said for m in (*lacking, *having)):
        return False
    first, last = min(m.item for m in group), max(m.item for m in group)
    here = [m for m in items if items[first].sentence <= m.sentence <= items[last].sentence]
    end = next((k for k in range(last, len(items)) if items[k].kinds & v.LIMIT), len(items))
    if any(m.kinds & (v.ACTUALLY | v.THEY) for m in items[first:end]) or _of_leaves(here):
        return False
    if any(_of_the_rest(items, m.item) for m in lacking) and not _names_plants(here):
        return False  # a ring here and there, otherwise green; the rest of it clean
    return not any(m.kinds & _SEEMED or _tells_parts_apart(here, k) for k, m in enumerate(here))


def _of_the_rest(items: list[Item], i: int) -> bool:
    """`otherwise green`, `the rest (of it) clean`."""
    here = (*phrase_before(items, i), items[i])
    return any(m.entry.text.startswith(_REST) for m in here)


def _names_plants(here: list[Item]) -> bool:
    """`plants`, `one in ten`, `the ones there`; not `one small spot`."""
    of_marks = v.DEGREE | v.STATE | v.ORGAN
    return any(
        m.kinds & (v.PLANTS | v.MANY)
        or (m.kinds & v.COUNT and not (m.entry.text.startswith(_REST) or behind.kinds & of_marks))
        for m, behind in pairwise(here)
    )


def _of_leaves(here: list[Item]) -> bool:
    """`young leaves plain, older ones blotched`: leaves are what the sentence began with."""
    subject = next((k for k, m in enumerate(here) if m.kinds & (v.ORGAN | v.STATE)), 0)
    if not is_organ(here[subject]):
        return False
    if any(m.kinds & (v.PLANTS | v.COUNT) for m in here[:subject]):
        return False
    told = [m for m in here[subject:] if m.kinds & (v.PLANTS | v.COUNT)]
    return bool(told) and all(m.entry.text in ("one", "ones") for m in told)


def _of_counted_plants(items: list[Item], group: list[Mention]) -> bool:
    """`South ditch: 12, leaves plain. North ditch: 3, leaves with spots.`"""
    return all(
        any(
            k.kinds & (v.COUNT | v.MANY) and k.sentence == items[m.item].sentence
            for k in items[: m.item]
        )
        for m in group
    )


def _headed(items: list[Item], group: list[Mention]) -> bool:
    """`Patch by the gate: leaves spotted. Patch by the weir: leaves plain.`; `P1 …. P2 ….`"""
    return all(_heading(items, m.item) for m in group)


def _heading(items: list[Item], i: int) -> bool:
    """Whether the sentence of item `i` begins with the name of some plants, or a short label."""
    here = sentence_before(items, i)
    heading = list(takewhile(lambda m: not m.kinds & (v.STATE | v.ORGAN | v.LIMIT), here))
    told = len(here) > len(heading) > 0
    if not told:
        return False
    behind, named = here[len(heading)], any(m.kinds & v.PLANTS for m in heading)
    place = heading[-1].entry.text in _SITES
    label = len(heading) == 1 and heading[0].end - heading[0].start < _LONG
    if behind.kinds & v.COLON or behind.entry.text in v.DASHES:
        return named or place or label
    return label and is_organ(behind) and heading[0].kinds == v.WORD


def _is_bare(items: list[Item], m: Mention, having: list[Mention]) -> bool:
    """Whether it was said that there are no marks: `plain`, `no marks`; not `clear rings`.

    Beside marks of another kind `no spots` only says of which kind they are not.
    """
    sense = items[m.item].entry.senses.get(m.character)
    if sense is None:
        return False
    if sense.state != m.state:
        return sense.state in ("marked", *(h.state for h in having))
    loose = items[m.item].kinds & v.LOOSE
    beside = items[max(m.item - 1, 0) : m.item + 2] if loose else []
    behind = list(takewhile(lambda b: b.kinds & v.STATE, items[m.item + 1 : m.item + 3]))
    return not any(is_sign(b, m.character) for b in (*beside, *behind))  # plain solid spots


def _tells_parts_apart(items: list[Item], k: int) -> bool:
    """`spotted above, plain below`, `one leaf spotted, the others plain`, `undersides plain`."""
    item = items[k]
    raised = item.lead & v.HEIGHTS and not item.kinds & v.PLANTS  # but not the upper plant
    if raised and item.kinds != v.WORD:  # but the top field is a place
        return not _opens_counting(items)
    if not is_organ(item):
        return False
    if item.entry.text.endswith(_FACES) or item.entry.text in _ON_STEM_OR_AT_END:
        return True
    of_it = k > 1 and items[k - 1].entry.text == "its" and items[k - 2].entry.text == "of"
    if item.entry.text == "leaf" and k > 1 and items[k - 2].entry.text == "of":
        of_it = of_it or not any(m.hyphened for m in items[k + 1 : k + 2])  # one side of the leaf
    return of_it or bool(k and items[k - 1].kinds & v.COUNT and not is_leaf_spotted(items, k))


def _opens_counting(here: list[Item]) -> bool:
    """`Two clumps: leaves ringed in the upper, plain in the lower.`"""
    counted, named, mark = (*(m.kinds for m in here[:3]), 0, 0, 0)[:3]
    return bool(counted & v.COUNT and named & (v.PLANTS | v.WORD) and mark & v.COLON)


def _in_two_sentences(items: list[Item], group: list[Mention]) -> bool:
    """`Leaves spotted. … Leaves plain.`: of what plant or leaf the second speaks is not known."""
    first, last = min(group, key=lambda m: m.item), max(group, key=lambda m: m.item)
    parted = any(items[i].kinds & v.STOP for i in range(first.item, last.item))
    return parted and not at_two_heights(items, first, last)


def _evidence(text: str, state: str, rests_on: list[Mention]) -> Evidence:
    start, end = min(m.start for m in rests_on), max(m.end for m in rests_on)
    weight = max((m.weight for m in rests_on), key=lambda w: _FIRMEST[w])
    return Evidence(rests_on[0].character, state, "remark", text[start:end], start, end, weight)


def _pointless(e: Evidence, given: list[Evidence], scales: Mapping[str, Scale]) -> bool:
    host, state = scales[e.character].unless
    return bool(host) and any(o.character == host and o.state == state for o in given)
