"""States joined by `to`, `and`, `or`: of plants that differ, or a question which of them it is."""

from __future__ import annotations

from itertools import pairwise

from crossproof.parse.remarks.organ.denial import NOR
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.plants import others
from crossproof.parse.remarks.plants.counted import GENERALLY
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item
from crossproof.parse.remarks.text.vocabulary import Scale, Vocabulary

_MAY_JOIN = frozenset({"from", "both", "either"})  # … from the ditch, … both plants trampled
_MOSTLY = frozenset({"mostly", "mainly", "largely"}) | GENERALLY
_OF_PLANTS = ("plant", "spike", "individual", "alike", "one to ")  # from one to the next


def part(items: list[Item], found: list[Mention], vocabulary: Vocabulary) -> None:
    """Plants that one list tells apart: `plain to spotted`, `spotted and unspotted plants`."""
    many = any(item.kinds & v.MANY for item in items)
    varied = any(item.kinds & v.VARIED for item in items)
    for a, b in pairwise(sorted(found, key=lambda m: m.item)):
        link = _link(items, a, b, vocabulary)
        if not link or a.plant != b.plant:
            continue
        absent = vocabulary.scales[a.character].absent
        either = any(item.entry.text == "either" for item in items[: a.item])
        listed = any(others.lists(m, items[a.item]) for m in items[: a.item])
        apart = (
            link & v.TO
            or (link & v.OR and listed)
            or (link & v.AND and (many or varied))
            or (link & v.OR and many)
        )
        either = either or _of_all(items, a, b) or _is_latin(items, a, b)
        either = either or absent not in (a.state, b.state)
        if link & v.TO and items[a.item].quoted and items[b.item].quoted:
            a.said = True  # changed from 'ringed' to 'plain'
            continue
        if any(m.lead & v.HEIGHTS for m in items[max(a.item - 1, 0) : b.item + 1]):
            continue  # upper leaves plain and lower ones spotted, on all plants alike
        if absent and (apart or (link & v.OR and either)):
            b.plant = a.plant - 1 - len(found)
        elif link == v.OR and not _settled(items, a, b):
            a.weight = b.weight = "questioned"


def _is_latin(items: list[Item], a: Mention, b: Mention) -> bool:
    """`folia immaculata vel maculata`: a description, which asks nothing."""
    return any(m.entry.text in ("vel", "aut") for m in items[a.item : b.item])


def _of_all(items: list[Item], a: Mention, b: Mention) -> bool:
    """`leaves spotted or plain, stems all hollow`: of several plants, and no question."""
    here = [m for m in items if m.sentence == items[a.item].sentence]
    open_to_doubt = v.ASK | v.COLON | v.SUPPOSE | v.HEDGE | v.PLAN
    asked = any(m.kinds & open_to_doubt and m.entry.text not in GENERALLY for m in here)
    behind = items[b.item + 1 : b.item + 4]
    if _varied_behind(behind):
        return not asked
    told = len(behind) == 3 and behind[1].kinds & v.ORGAN and behind[2].entry.text == "all"
    plural = a.item > 0 and items[a.item - 1].entry.text.endswith("s")
    return not asked and plural and bool(told and behind[0].kinds & v.COMMA)


def _varied_behind(behind: list[Item]) -> bool:
    """`(leaves spotted or plain), take your pick`, `… depending on the plant`: they vary."""
    last = next((m for m in behind if not m.kinds & v.COMMA), None)
    if last is None or last.entry.text in _MAY_JOIN:
        return False
    return bool(last.kinds & v.VARIED) or last.entry.text in _MOSTLY


def _link(items: list[Item], a: Mention, b: Mention, vocabulary: Vocabulary) -> int:
    """`to`, `and` or `or` between two states of one character; 0 where none joins them."""
    between = items[a.item + 1 : b.item]
    scale = vocabulary.scales[a.character]
    if a.character != b.character or a.state == b.state:
        return 0
    if scale.absent and scale.absent not in (a.state, b.state):
        return v.OR if _of_two_sorts(items, a, b, scale) else 0
    listed = any(
        m.kinds & v.VARIED and m.sentence == items[a.item].sentence for m in items[: a.item]
    )
    crossed = v.HARD | (0 if listed else v.COMMA | v.ORGAN)
    if any(item.kinds & crossed and not item.kinds & v.ADJECTIVE for item in between):
        return 0
    kinds = 0
    for item in between:
        kinds |= item.kinds
    if kinds & v.OR and any(item.entry.text in NOR for item in between):
        return 0
    if listed and kinds & v.COMMA:
        return v.AND
    return next((link for link in (v.TO, v.AND, v.OR) if kinds & link), 0)


def _of_two_sorts(items: list[Item], a: Mention, b: Mention, scale: Scale) -> bool:
    """`spotted or ringed, differing from plant to plant`; not `spotted or ringed` on each."""
    here = [m for m in items if m.sentence == items[a.item].sentence == items[b.item].sentence]
    by_plant = any(m.kinds & v.VARIED and any(p in m.entry.text for p in _OF_PLANTS) for m in here)
    first_sort = sum(m.state in scale.one_plant[:1] for m in (a, b)) == 1
    either = any(m.kinds & v.OR for m in items[a.item : b.item])
    return by_plant and first_sort and either


def _settled(items: list[Item], a: Mention, b: Mention) -> bool:
    """Whether a denial or degree word makes sense of an `or`: `neither hollow or solid`."""
    phrase = items[a.item].phrase
    return items[b.item].phrase == phrase and any(
        item.kinds & (v.NOT | v.SLIGHT) and item.phrase == phrase and item.start <= b.end
        for item in items
    )
