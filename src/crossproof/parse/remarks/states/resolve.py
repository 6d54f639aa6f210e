"""From mentions to evidence: one state per plant and character."""

from __future__ import annotations

from collections.abc import Mapping

from crossproof.model import Evidence, Weight
from crossproof.parse.remarks.organ.heights import at_two_heights
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, all_kinds
from crossproof.parse.remarks.text.vocabulary import Scale

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
        given.extend(_per_plant(text, items, firm, scales[character]))
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
        group = [m for m in group if not items[m.item].entry.text.startswith("not ")]
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
    if scale.absent in states and len(states) > 1 and _in_two_sentences(items, group):
        return []
    for state in scale.one_plant:
        if state in states:
            rest = [m for m in group if m.state == state]
            return [(state, [min(rest, key=lambda m: _FIRMEST[m.weight])])]
    return [
        (state, [min((m for m in group if m.state == state), key=lambda m: _FIRMEST[m.weight])])
        for state in sorted(states)
    ]


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
