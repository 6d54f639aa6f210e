"""Which of several plants is the record's: `this record is for the first`, `B is recorded here`."""

from __future__ import annotations

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item

_ORDINALS = {
    name: n
    for n, names in enumerate(
        (("first", "1st"), ("second", "2nd"), ("third", "3rd"), ("fourth",), ("fifth",))
    )
    for name in (*names, *(f"the {x}" for x in names), *(f"the {x} one" for x in names))
}
_FEW = 100  # a plant has no greater number


def of_this_record(items: list[Item], found: list[Mention], numbers: list[int]) -> list[Mention]:
    """`plant 3 spotted, plant 4 (this record) plain`: only what is said of the plant so called.

    Where another sentence names it (`A is the plant recorded here`), it is the one of that letter,
    number or place in the order; of several plants none, if that can't be told.
    """
    named = [i for i, item in enumerate(items) if item.kinds & v.RECORD]
    ours = {numbers[i] for i in named}
    for i in named:
        here = [m for m in items if m.sentence == items[i].sentence]
        labels = [m for m in here if _label(m) is not None]
        if any(m.kinds & (v.STATE | v.ORGAN) for m in here) or len(labels) != 1:
            continue
        plants = list(dict.fromkeys(m.plant for m in found if m.plant))
        if len(plants) < 2:
            continue
        plant = _so_called(items, labels[0], found, plants)
        return [m for m in found if m.plant in (0, plant)] if plant else []
    sentences = {items[i].sentence for i in named}
    inside = {m.character for m in found if items[m.item].sentence in sentences}
    if inside and not any(numbers[i] for i in named) and not _of_all(items, named):
        # this record for the left-hand plant: …
        found = [
            m for m in found if items[m.item].sentence in sentences or m.character not in inside
        ]
    clauses = {items[i].clause for i in named}
    here_too = {m.character for m in found if items[m.item].clause in clauses}
    by_clause = not _of_all(items, named) and not any(numbers[m.item] for m in found)
    return [
        m
        for m in found
        if (not numbers[m.item] or numbers[m.item] in ours)
        and not (by_clause and m.character in here_too and items[m.item].clause not in clauses)
    ]


def _of_all(items: list[Item], named: list[int]) -> bool:
    """`both in this record`: of all the plants."""
    phrases = {items[i].phrase for i in named}
    return any(m.entry.text in ("both", "all", "each") and m.phrase in phrases for m in items)


def _label(item: Item) -> str | int | None:
    """The letter, number or ordinal that a plant may be called by."""
    if item.entry.text in _ORDINALS or (item.end - item.start == 1 and item.entry.text.isalpha()):
        return item.entry.text
    return item.value if 0 <= item.value < _FEW else None


def _so_called(items: list[Item], label: Item, found: list[Mention], plants: list[int]) -> int:
    """The number of the plant that is called by `label`; 0 where none is."""
    name = _label(label)
    if isinstance(name, str) and name in _ORDINALS:
        return plants[_ORDINALS[name]] if _ORDINALS[name] < len(plants) else 0
    told = [i for i, m in enumerate(items) if m.sentence != label.sentence and _label(m) == name]
    if not told:
        return 0
    return next((m.plant for m in found if m.item > told[0] and m.plant), 0)
