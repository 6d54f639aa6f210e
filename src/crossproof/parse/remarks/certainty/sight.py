"""What nobody looked at: leaves not seen, a stem not squeezed."""

from __future__ import annotations

from collections.abc import Callable
from itertools import takewhile

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, past

_TURNS_AWAY = v.NOT | v.NONE | v.ORGAN | v.STATE | v.UNSURE | v.HEDGE | v.UNSEEN | v.STOP
_ACTIVE = ("did not", "didn't", "didnt", "do not", "don't", "dont", "never", "could not", "couldn")


def unseen(
    items: list[Item], organ_of: Callable[[int], int | None]
) -> tuple[set[int], dict[str, int]]:
    """The state words that nobody checked; the characters not examined, and where it says so.

    `organ_of(i)` gives the item of the organ that state word `i` is attached to (-1: none).
    """
    killed: set[int] = set()
    characters: dict[str, int] = {}
    for i, item in enumerate(items):
        if not item.kinds & (v.UNSEEN | v.NOT) or (end := _not_looked(items, i)) is None:
            continue
        if item.kinds & v.STATE and _is_said_again(items, i):
            continue
        targets = _targets(items, i, end)
        if items[end].kinds & v.UNSEEN and _was_there(items, end):
            continue
        for t in targets:
            for name in _characters(items[t]):
                characters.setdefault(name, i)
        for k in _reach(items, i, end):
            if items[k].kinds & v.STATE:
                organ = organ_of(k)
                if organ is None or organ == -1 or organ in targets or k in targets:
                    killed.add(k)
                elif not targets and organ < i and items[organ].phrase != items[k].phrase:
                    killed.add(k)  # leaves spotted - hollow or solid not checked
    return killed, characters


def _was_there(items: list[Item], end: int) -> bool:
    """`spots no longer visible, but bold when gathered`: seen while they could be."""
    turn = next((k for k in range(end, len(items)) if items[k].kinds & v.LIMIT), len(items))
    for k in range(turn + 1, min(turn + 5, len(items))):
        if items[k].kinds & _TURNS_AWAY:
            return False
        if items[k].kinds & v.LARGE:
            return bool(items[k].lead & v.BE) or ends(items, k + 1, v.ON)
    return False


def _is_said_again(items: list[Item], i: int) -> bool:
    """`leaf blank, no spots`: what else may tell of an empty box is a state here."""
    behind = [item for item in items[i + 1 : i + 4] if not item.kinds & v.COMMA][:2]
    if len(behind) < 2 or not behind[0].kinds & (v.NOT | v.NONE):
        return False
    senses = behind[1].entry.senses
    return any(senses[c].role == "sign" for c in items[i].entry.senses if c in senses)


def _not_looked(items: list[Item], i: int) -> int | None:
    """The last item of words for not having looked that start at item `i`, if they do."""
    kinds = items[i].kinds
    if kinds & v.UNSEEN and not kinds & v.LIMIT:
        return i
    if not kinds & v.NOT:
        return None
    passed_organ = False
    passed = v.STATE if items[i].entry.text == "neither" else 0
    for j in range(i + 1, min(i + 6, len(items))):
        other = items[j].kinds
        if other & v.EXAMINE or (other & v.LOOKED and j == i + 1):  # not checked for spots
            return j
        if other & v.FORM and (passed_organ or _organ_is_nearest(items, i, j)):
            return j
        if other & v.ORGAN:
            passed_organ = True
        elif other & passed:
            continue
        elif other & (v.LIMIT | v.STATE | v.PHOTO) or not other & (
            v.DEGREE | v.THE | v.WORD | v.SEE | v.OWN | v.NOT | v.ON | v.OR | v.COUNT
        ):
            return None
    return None


def _organ_is_nearest(items: list[Item], i: int, j: int) -> bool:
    """`leaves not seen`, `could not see leaves`; not `spots not seen`, `couldn't see any spots`."""
    for k in range(j + 1, len(items)):
        if items[k].kinds & v.STATE:
            return False
        if items[k].kinds & v.ORGAN:
            return True
        if items[k].kinds & v.LIMIT or items[k].entry.text == "on":
            break  # leaf spots: not seen on any leaf
    for k in range(i - 1, -1, -1):
        if items[k].kinds & v.ORGAN:
            return True
        if items[k].kinds & (v.STATE | v.HARD):
            return False
    return False


def _characters(item: Item) -> tuple[str, ...]:
    signs = (name for name, sense in item.entry.senses.items() if sense.role == "sign")
    return tuple(sorted({*item.entry.organs, *signs}))


def _is_target(item: Item) -> bool:
    return bool(item.kinds & v.ORGAN) or bool(_characters(item))


def _targets(items: list[Item], i: int, end: int) -> set[int]:
    """The organs (or signs) that words for not having looked, items i to end, are about."""
    for k in range(i, end + 1):
        if _is_target(items[k]):
            return {k}
    if (k := _object(items, i, end)) >= 0:
        return _joined(items, k)
    j = i - 1 - _answers(items, i, end)
    while j >= 0 and not items[j].kinds & v.LIMIT:
        if _is_target(items[j]):
            group = {j}
            while (
                j >= 2
                and items[j - 1].kinds & (v.AND | v.OR | v.COMMA)
                and _is_target(items[j - 2])
            ):
                j -= 2
                group.add(j)
            return group
        j -= 1
    k = end + 1
    while k < len(items) and not items[k].kinds & (v.LIMIT | v.AND):  # wet and grazed and stem …
        if _is_target(items[k]):
            return _joined(items, k)
        k += 1
    return set()


def _joined(items: list[Item], k: int) -> set[int]:
    """Target `k` and those joined to it behind: `the leaves or the stem`."""
    group = {k}
    while k + 2 < len(items) and items[k + 1].kinds & (v.AND | v.OR):
        k += 2
        k += bool(items[k].kinds & v.THE) and k + 1 < len(items)
        if not _is_target(items[k]):
            break
        group.add(k)
    return group


def _object(items: list[Item], i: int, end: int) -> int:
    """The organ behind a verb that has one: `no spots on leaves didnt touch stem`; or -1."""
    k = past(items, end + 1, v.THE)
    active = items[i].entry.text.startswith(_ACTIVE)
    return k if active and k < len(items) and items[k].kinds & v.ORGAN else -1


def _answers(items: list[Item], i: int, end: int) -> bool:
    """`leaves: not seen`, `leaves - not seen`; not `leaves plain; didn't touch the stem`."""
    if not i or not items[i - 1].kinds & (v.COLON | v.BREAK):
        return False
    if items[i - 1].kinds & v.COLON:
        return True
    behind = takewhile(lambda item: not item.kinds & v.LIMIT, items[end + 1 :])
    return items[i - 1].entry.text != ";" and not any(map(_is_target, behind))


def _reach(items: list[Item], i: int, end: int) -> range:
    """The stretch that not having looked covers: back to the last break, on to the next."""
    first = i - _answers(items, i, end)
    governs = _object(items, i, end) >= 0
    while not governs and first > 0 and not items[first - 1].kinds & v.LIMIT:
        first -= 1
    last = end
    while last + 1 < len(items) and not items[last + 1].kinds & v.LIMIT:
        last += 1
    return range(first, last + 1)
