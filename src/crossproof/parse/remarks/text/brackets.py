"""Brackets that only say which organ, or how many: `spotted (the leaves)`, `plain (5 plants)`."""

from __future__ import annotations

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, is_organ

_MOST = 6  # items in a bracket that only adds a word
_MERELY_COUNTS = v.COUNT | v.PLANTS | v.THE | v.ON | v.OWN | v.DEGREE
_MERELY_POINTS = v.ORGAN | v.THE | v.COUNT | v.RETRACTS | v.ON | v.WORD | v.OWN | v.ADJECTIVE
_MERELY_SAYS_WHICH = v.THE | v.WORD | v.COMMA | v.NOT  # redshank (the weed, not the bird) round it
_OPENS_ASIDE = v.COMMA | v.CROSS
_OPENS = _OPENS_ASIDE | v.BREAK


def opened(items: list[Item]) -> list[Item]:
    """Return the items without such brackets, numbered anew where any were opened.

    A state that a bracket counts is marked as `counted`.
    """
    kept: list[Item] = []
    changed = False
    i, size = 0, len(items)
    while i < size:
        last = _taken(items, i, kept) if items[i].kinds & _OPENS else 0
        if last:
            changed = True
        else:
            kept.append(items[i])
        i = (last or i) + 1
    if changed:
        _number(kept)
    return kept


def _taken(items: list[Item], i: int, kept: list[Item]) -> int:
    """The last item of a bracket or an aside that begins at item `i`, after taking it; else 0."""
    if items[i].kinds & _OPENS_ASIDE:
        return _aside(items, i, kept)
    if not kept or not items[i].kinds & v.BREAK or items[i].entry.text != "(":
        return 0
    close = _close(items, i)
    return close if close and _opened(items, i, close, kept) else 0


def _opened(items: list[Item], i: int, close: int, kept: list[Item]) -> bool:
    """Take what the bracket from item `i` to item `close` adds; False where it says more."""
    inside, before = items[i + 1 : close], kept[-1]
    if not inside:
        return False
    of_state = before.kinds & v.STATE
    if of_state and _counts(inside) and not _listing(kept):
        before.counted = True
    elif of_state and _points(inside) and not _of_another(kept, inside):
        kept.extend(item for item in inside if not item.kinds & v.RETRACTS)
        if close + 1 < len(items) and not items[close + 1].kinds & v.LIMIT:
            items[close].kinds = v.COMMA
            kept.append(items[close])
    elif _adds(before, inside):
        kept.extend(inside)
    elif before.kinds & v.ORGAN and _is_label(inside, items[close + 1 : close + 2]):
        if len(inside) > 1 and any(m.kinds & v.STATE for m in items[close + 2 : close + 3]):
            return True  # leaves (rings, spots): spots
        for item in inside:
            item.kinds = v.OR if item.kinds & v.COMMA else item.kinds
        kept.extend(inside)  # leaves (spots): no; leaves (rings, spots): none
    elif before.kinds & v.NONE and len(inside) == 1 and inside[0].kinds & v.STATE:
        return len(kept) > 1 and bool(kept[-2].kinds & v.COLON)  # leaf marks: none (rings)
    elif before.kinds & v.OTHER and all(m.kinds & _MERELY_SAYS_WHICH for m in inside):
        return close + 1 < len(items) and not items[close + 1].kinds & v.LIMIT
    else:  # leaf spots (from fuchsii) absent; spots per leaf (6 leaves): …
        named = inside[0].entry.text == "from" and _only_names(inside[1:])
        return named or _counts_organs(before, inside, items[close + 1 : close + 2])
    return True


def _adds(before: Item, inside: list[Item]) -> bool:
    """`hollow (just)`; `with fuchsii (20), stems of those …`; `spots on leaves (rust)`."""
    if any(m.kinds & v.BLEMISH for m in inside):
        return _names(inside)
    added = (v.DEGREE if before.kinds & v.STATE else 0) | (
        v.NUMBER if before.kinds & v.SPECIES else 0
    )
    return all(m.kinds & added for m in inside)


def _aside(items: list[Item], i: int, kept: list[Item]) -> int:
    """The last item of an aside that begins at item `i`, after taking what it tells; else 0.

    `spotted leaves x 3`; `is not, as stated in the list, hollow`; `gives, only just, when …`.
    """
    behind = items[i + 1 : i + 3]
    if not kept or len(behind) < 1:
        return 0
    state = next((m for m in kept[:-3:-1] if not m.kinds & v.ORGAN), None)
    if items[i].kinds & v.CROSS and behind[0].kinds & v.NUMBER and state is not None:
        if not state.kinds & v.STATE or not all(m.kinds & v.LIMIT for m in behind[1:]):
            return 0
        state.counted = True
        return i + 1
    if items[i].kinds & v.COMMA and kept[-1].entry.text == behind[0].entry.text == "0":
        return _last_nil(items, i)
    if not items[i].kinds & v.COMMA or len(behind) < 2:
        return 0
    if kept[-1].kinds & v.STATE and behind[0].kinds & v.AFTER and behind[1].kinds & v.COMMA:
        kept.append(behind[0])
        return i + 2
    if not kept[-1].kinds & v.NOT or behind[0].entry.text != "as":
        return 0
    for j in range(i + 2, min(i + 3 + _MOST, len(items) - 1)):
        if items[j].kinds & v.COMMA:
            return j if items[j + 1].kinds & v.STATE else 0
        if items[j].kinds & (v.LIMIT | v.STATE | v.ORGAN):
            return 0
    return 0


def _last_nil(items: list[Item], i: int) -> int:
    """The last of `0, 0, 0`, where no other count follows; else 0."""
    j = i + 1
    while j + 2 < len(items) and items[j + 1].kinds & v.COMMA and items[j + 2].entry.text == "0":
        j += 2
    more = j + 2 < len(items) and items[j + 1].kinds & v.COMMA and items[j + 2].kinds & v.NUMBER
    return 0 if more else j


def _close(items: list[Item], i: int) -> int:
    """The bracket that closes the one at item `i`, where it is near; else 0."""
    for j in range(i + 1, min(i + 2 + _MOST, len(items))):
        if items[j].entry.text == ")":
            return j
        if items[j].kinds & (v.LIMIT & ~v.COMMA):
            return 0
    return 0


def _counts(inside: list[Item]) -> bool:
    return bool(inside[0].kinds & v.COUNT) and all(
        item.kinds & _MERELY_COUNTS and not item.kinds & (v.STATE | v.ORGAN | v.NOT | v.LIMIT)
        for item in inside
    )


def _counts_organs(before: Item, inside: list[Item], behind: list[Item]) -> bool:
    counted = len(inside) == 2 and inside[0].kinds & v.NUMBER
    labels = behind and behind[0].kinds & v.COLON
    return bool(counted and labels and before.kinds & v.ORGAN and inside[1].kinds & v.ORGAN)


def _is_label(inside: list[Item], behind: list[Item]) -> bool:
    labels = behind and (behind[0].kinds & (v.COLON | v.ASK) or behind[0].entry.text in v.DASHES)
    listed = v.STATE | v.COMMA | v.OR | v.AND
    return bool(labels and inside[0].kinds & v.STATE) and all(m.kinds & listed for m in inside)


def _only_names(inside: list[Item]) -> bool:
    return bool(inside) and all(m.kinds & (v.SPECIES | v.OTHER | v.THE) for m in inside)


def _names(inside: list[Item]) -> bool:
    return not any(item.kinds & (v.STATE | v.ORGAN | v.LIMIT) for item in inside)


def _listing(kept: list[Item]) -> bool:
    """`(1) spotted (2) plain`: brackets that number what follows."""
    return any(item.entry.text == ")" and kept[k - 1].value >= 0 for k, item in enumerate(kept))


def _points(inside: list[Item]) -> bool:
    organs = [item for item in inside if item.kinds & v.ORGAN]
    return len(organs) == 1 and all(
        item.kinds & _MERELY_POINTS and not item.kinds & (v.STATE | v.LIMIT | v.NOT)
        for item in inside
    )


def _of_another(kept: list[Item], inside: list[Item]) -> bool:
    """`lip spotted (leaves keeled)`: the state is of the organ before it."""
    organs = {c for item in inside for c in item.entry.organs}
    before = next((m for m in kept[::-1] if is_organ(m)), None)
    if before is None or before.clause != kept[-1].clause:
        return False
    near = all(m.kinds & (v.DEGREE | v.NOT) for m in kept[kept.index(before) + 1 : -1])
    told = near or not before.entry.organs.isdisjoint(kept[-1].entry.senses)
    return told and organs.isdisjoint(before.entry.organs)


def _number(items: list[Item]) -> None:
    """Number the stretches of each sentence anew."""
    phrase = clause = 0
    for item in items:
        if item.kinds & v.BUT:
            phrase += 1
            clause += 1
        item.phrase, item.clause = phrase, clause
        if item.kinds & (v.LIMIT & ~v.BUT):
            phrase += 1
            clause += bool(item.kinds & v.HARD) and not item.prefix
