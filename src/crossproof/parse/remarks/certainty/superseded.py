"""What was said before gives way to what was seen now, and a name to what bears it."""

from __future__ import annotations

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item

_FIRST_YEAR, _LAST_YEAR = 1850, 2050
_UNTIL = frozenset({"until", "till", "til"})
_NOW = frozenset({"now", "today", "this year", "this time", "this visit"})


def supersede(items: list[Item], found: list[Mention]) -> None:
    """`in 1987 spotted, this year plain`: what was seen now outweighs what was said before."""
    for m in found:
        now = _now(items, m.item)
        for earlier in found if now >= 0 else ():
            until = items[now].entry.text in _UNTIL
            higher = any(k.lead & v.HEIGHTS for k in items[now : m.item + 1])
            apart = until and earlier.weight == "hedged" and not higher  # thought … till I saw …
            apart = apart or items[earlier.item].phrase < items[m.item].phrase
            before = earlier.item < now and apart
            same = earlier.plant in (m.plant, 0) or until
            same = same or _year(items, earlier.item) > 0  # in 2014 plain, today spotted leaves
            if before and earlier.character == m.character and same:
                earlier.said = True


def by_years(items: list[Item], found: list[Mention]) -> None:
    """`1987: leaves spotted; 2011: none on the leaves`: what was seen in the last year holds."""
    for character in {m.character for m in found}:
        mine = [m for m in found if m.character == character and not m.said]
        years = [_year(items, m.item) for m in mine]
        if len({m.state for m in mine}) > 1 and all(years) and len(set(years)) > 1:
            for m, year in zip(mine, years, strict=True):
                m.said = year < max(years)


def _year(items: list[Item], i: int) -> int:
    """The year of what is said at item `i`: `in 2014 …`, `2014: …`, `… in 2014`; or 0."""
    sentence = [k for k in range(len(items)) if items[k].sentence == items[i].sentence]
    behind = [k for k in sentence if k > i and items[k].phrase == items[i].phrase]
    for k in (*reversed([k for k in sentence if k < i]), *behind):
        if _FIRST_YEAR <= items[k].value <= _LAST_YEAR:
            return items[k].value
    return 0


def _now(items: list[Item], i: int) -> int:
    """The item that says that item `i` was seen now; -1 where none does."""
    behind = items[i + 1 : i + 3]
    if behind and behind[0].entry.text in _NOW and all(m.kinds & v.LIMIT for m in behind[1:]):
        return i  # hollow when young, solid now
    for j in range(i - 1, -1, -1):
        here = items[j].phrase == items[i].phrase or _heads(items, j, i)
        here = here or (items[j].entry.text in _UNTIL and items[j].sentence == items[i].sentence)
        if items[j].kinds & v.ACTUALLY and here:
            return j
    return -1


def _heads(items: list[Item], j: int, i: int) -> bool:
    """`Rechecked 2012: hollow`: item `j` opens the sentence of item `i`."""
    first = j == 0 or bool(items[j - 1].kinds & v.STOP)
    return first and items[j].sentence == items[i].sentence


def names_what_is_said(items: list[Item], m: Mention, found: list[Mention]) -> bool:
    """`leaf marks recorded as rings`: the first word only says what was recorded."""
    return (
        not m.said
        and m.role == "sign"
        and any(
            other.said
            and other.character == m.character
            and other.item > m.item
            and items[other.item].phrase == items[m.item].phrase
            for other in found
        )
    )
