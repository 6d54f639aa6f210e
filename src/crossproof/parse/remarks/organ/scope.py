"""What was found around one state word, and how to see where a stretch or a list ends."""

from __future__ import annotations

from dataclasses import dataclass

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends

EVERY = frozenset({"all", "both", "each", "every"})
LACKS = frozenset({"lacks", "lacked", "lack"})
WITHOUT = frozenset({"without", "w/o", "w/out"})
_NOTHING = frozenset(
    {"nothing", "nowt", "none", "etc", "zilch", "whatever", "none at all", "nothing at all"}
)
HARDLY = frozenset({"hardly", "scarcely", "barely", "hardly any", "scarcely any"})


@dataclass(slots=True)
class Scope:
    """What was found around one state word."""

    denied: bool = False
    degree: int = 0  # kinds of the degree words
    first: int = 0  # item where the words begin
    last: int = 0  # item where they end


def one_letter(item: Item) -> bool:
    return len(item.entry.text) == 1


def unpunctuated(items: list[Item]) -> bool:
    """`SPOTS NO CAVITY YES`: labels and answers without a mark between them."""
    return any(
        items[k].entry.text == "yes" and items[k - 1].kinds & v.STATE for k in range(1, len(items))
    )


def in_list(items: list[Item], i: int) -> bool:
    """Whether item `i` stands in a list of states: `no A, B or C`, `no A, B, nothing`."""
    joined = False
    link = v.COMMA | v.OR | v.AND
    for step in (1, -1):
        j = i
        while (k := _linked(items, j, step, link)) >= 0:
            joined |= any(m.kinds & v.OR for m in items[min(j, k) : max(j, k)])
            j = k
        joined |= step > 0 and j > i - 1 and _ends_in_nothing(items, j + 1)
    return joined


def _ends_in_nothing(items: list[Item], k: int) -> bool:
    """`(no dots, rings), nothing`, `…, nowt on the leaves`, `(no dots, rings) on any leaf`."""
    if k + 1 >= len(items):
        return False
    word = items[k + 1].entry.text
    if items[k].kinds & v.COMMA:
        return word in _NOTHING and ends(items, k + 2, v.ON)
    return word == "any" and bool(items[k].kinds & v.ON)


def _linked(items: list[Item], j: int, step: int, link: int) -> int:
    """The state joined to that at item `j`: `a dot or (a) mark`; -1 where none is."""
    k = j + step
    crossed = 0
    while 0 <= k < len(items) and items[k].kinds & (link | v.THE) and abs(k - j) < 4:
        crossed |= items[k].kinds & link
        k += step
    found = crossed and 0 <= k < len(items) and items[k].kinds & v.STATE
    return k if found else -1
