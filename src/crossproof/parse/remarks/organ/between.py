"""States that lie between two others: `between a tube and a rod`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item
from crossproof.parse.remarks.text.vocabulary import Scale

_ANOTHER = v.SPECIES | v.OTHER


def between_two(items: list[Item], i: int) -> bool:
    """`more hollow than in fuchsii but less than in praetermissa`: between the two."""
    if not 0 < i < len(items) - 1 or not items[i + 1].kinds & v.THAN:
        return False
    if items[i - 1].entry.text not in ("more", "less"):
        return False
    behind = [m for m in items[i + 2 :] if m.sentence == items[i].sentence]
    turn = next((k for k, m in enumerate(behind) if m.kinds & v.BUT), len(behind))
    return all(any(m.kinds & _ANOTHER for m in half) for half in (behind[:turn], behind[turn:]))


def between_poles(items: list[Item], scales: Mapping[str, Scale]) -> Iterator[Mention]:
    """`stem between the firm fuchsii and the squashy praetermissa`, whosever the two are."""
    for i, item in enumerate(items):
        if not item.kinds & v.AMONG or item.entry.text.split()[-1:] != ["between"]:
            continue
        organ = next((k for k in range(i - 1, -1, -1) if items[k].kinds & v.ORGAN), -1)
        if organ < 0 or items[organ].sentence != item.sentence:
            continue
        here = [m for m in items[i + 1 :] if m.phrase == item.phrase and not m.kinds & v.LIMIT]
        if not any(m.kinds & v.AND for m in here):
            continue
        for character in items[organ].entry.organs & scales.keys():
            senses = [m.entry.senses[character] for m in here if character in m.entry.senses]
            for poles, gives in scales[character].together:
                if {sense.state for sense in senses} == poles:
                    start, end = items[organ].start, here[-1].end
                    yield Mention(character, gives, "stated", start, end, i)
