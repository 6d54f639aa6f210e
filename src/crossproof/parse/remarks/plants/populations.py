"""Several plants in one remark: counted off, told apart, read by each other's characters."""

from __future__ import annotations

from crossproof.parse.remarks.organ.alone import only_states
from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.items import Item
from crossproof.parse.remarks.text.vocabulary import general_words

_BETWEEN_COUNT_AND_STATE = (
    v.PLANTS | v.DEGREE | v.THE | v.OWN | v.ON | v.COUNT | v.EXAMINE | v.HEDGE | v.THEY | v.CROSS
)  # fmt: skip
_ANOTHER_ONE = ("the other ", "that one", "the next one", "as many ")
_ORDINALS = frozenset({"first", "second", "third", "fourth", "fifth", "1st", "2nd", "3rd"})
THE_OTHERS = frozenset(general_words()["the_others"])


def groups(items: list[Item]) -> list[int]:
    """Number the plants: words that count them off (`some`, `others`, `5 with`) start a new one."""
    numbers = [0] * len(items)
    cues = [
        i
        for i in range(len(items))
        if (items[i].kinds & v.COUNT and _counts_plants(items, i))
        or (items[i].kinds & v.STATE and _counted_behind(items, i))
        or is_numbered(items, i)
        or items[i].counted
        or (items[i].kinds & v.STATE and items[i].kinds & v.COUNT)
    ]
    told_apart = [i for i in range(len(items) - 1) if _contrasted(items, i) or _sized(items, i)]
    if len(told_apart) > 1:
        cues.extend(told_apart)
    lettered = [i for i in range(len(items)) if _lettered(items, i, bool(cues))]
    if len(lettered) > 1 or cues:
        cues.extend(lettered)
    cues.extend(_in_letters(items))
    cues.extend(_in_order(items))
    if not cues:
        return numbers
    told = {item.sentence for item in items if item.kinds & v.STATE}
    plural = any(_other_plants_have(items, i) for i in cues) or any(
        item.kinds & v.MANY
        or (item.kinds & v.VARIED and item.sentence in told)
        or item.entry.text.startswith(_ANOTHER_ONE)
        for item in items
    )
    if len(cues) < 2 and not plural:
        return numbers
    number, cue = 0, set(cues)
    for i in range(len(items)):
        if i in cue:
            number += 1
        numbers[i] = number
    return numbers


def _other_plants_have(items: list[Item], i: int) -> bool:
    """`some of the fourteen showed bars, the rest had none`: leaves don't have leaves."""
    if items[i].entry.text not in THE_OTHERS or i + 1 >= len(items):
        return False
    here = [m for m in items[:i] if m.sentence == items[i].sentence and m.phrase < items[i].phrase]
    counted = any(m.kinds & v.COUNT for m in here[:2])
    return counted and bool(items[i + 1].kinds & v.WITH)


def _contrasted(items: list[Item], i: int) -> bool:
    """`the tall plants had …, the short ones had none`."""
    told = v.WITH | v.NOT | v.NONE | v.STATE
    return bool(items[i].kinds & v.MANY and items[i + 1].kinds & told)


def _sized(items: list[Item], i: int) -> bool:
    """`leaves of the big plant ringed, of the small plant plain`."""
    sized = items[i].kinds & (v.SIZE | v.LARGE) and items[i + 1].kinds & v.PLANTS
    return bool(sized and i + 2 < len(items) and items[i + 2].kinds & v.STATE)


def is_numbered(items: list[Item], i: int) -> bool:
    """`plant 1: …`, `plant B …`, `(1) spotted leaves`."""
    item = items[i]
    after = items[i + 1] if i + 1 < len(items) else None
    if item.kinds & v.PLANTS and after is not None:
        return after.end - after.start == 1 and not after.kinds & v.LIMIT
    bracketed = item.kinds & v.NUMBER and i and items[i - 1].entry.text == "("
    closed = after is not None and after.entry.text == ")"
    return bool(bracketed and closed and i + 2 < len(items) and items[i + 2].kinds & v.STATE)


def _lettered(items: list[Item], i: int, numbered: bool) -> bool:
    """`A: …, B: …`, `(a) …, (b) …`, and where plants were numbered before also `B leaves …`."""
    item = items[i]
    if item.end - item.start > 3 or i + 1 >= len(items) or item.kinds & (v.LIMIT | v.STATE):
        return False
    before, after = items[i - 1] if i else None, items[i + 1]
    if before is not None and before.entry.text == "(" and after.entry.text == ")":
        return i + 2 < len(items) and not items[i + 2].kinds & v.LIMIT
    if item.end - item.start > 1 or item.kinds & (v.ORGAN | v.PHOTO | v.LABEL):
        return False
    starts = before is None or bool(before.kinds & (v.LIMIT | v.AND))
    numbered = numbered and not item.kinds & v.THE
    follows = v.COLON | v.COMMA | ((v.ORGAN | v.STATE | v.DEGREE) if numbered else 0)
    return starts and bool(after.kinds & follows)


def _in_letters(items: list[Item]) -> list[int]:
    """`leaves: A ringed, B plain, C spotted`; `plants A-D spotted, E-G plain`."""
    told = v.STATE | v.DEGREE | v.ORGAN | v.WITH
    found = []
    for i in range(len(items) - 1):
        behind = items[i + 1 + _is_letter(items[i + 1]) :]
        opens = not i or items[i - 1].kinds & (v.LIMIT | v.PLANTS)
        if opens and _is_letter(items[i]) and behind and behind[0].kinds & told:
            found.append(i)
    if len(found) < 2:
        return []
    first = found[0]
    lettered = items[first].entry.text == "a" or (first and items[first - 1].kinds & v.PLANTS)
    return found if lettered else []


def _in_order(items: list[Item]) -> list[int]:
    """`first plant leaves plain, second leaves spotted`."""
    found = []
    for i, item in enumerate(items[:-1]):
        if item.entry.text in _ORDINALS and (not i or items[i - 1].kinds & (v.LIMIT | v.THE)):
            k = i + 1 + bool(items[i + 1].kinds & v.PLANTS)
            if k < len(items) and items[k].kinds & (v.ORGAN | v.WITH | v.COLON):
                found.append(i)
    return found if len(found) > 1 else []


def _is_letter(item: Item) -> bool:
    return item.end - item.start == 1 and not item.kinds & (v.LIMIT | v.NUMBER | v.LABEL)


def _counted_behind(items: list[Item], i: int) -> bool:
    """`spotted in most plants, plain in others`."""
    if i + 1 < len(items) and items[i + 1].entry.text.endswith("%"):
        return i + 2 >= len(items) or bool(items[i + 2].kinds & v.LIMIT)
    if _counted_by_label(items, i):
        return True
    if i + 2 >= len(items) or not items[i + 1].kinds & v.ON:
        return False
    if items[i + 2].entry.text == "its" and i + 3 < len(items):
        return bool(items[i + 3].kinds & v.OTHER)  # on its neighbour
    k = counted_from(items, i + 1)
    if not k:
        return False
    while k + 1 < len(items) and items[k + 1].kinds & (v.NUMBER | v.COUNT):
        k += 1  # in the other 4
    behind = items[k + 1].kinds if k + 1 < len(items) else v.LIMIT
    of_them = items[k + 1 : k + 2] and items[k + 1].entry.text == "of"
    return bool(behind & (v.PLANTS | v.LIMIT | v.AND) or of_them)


def _counted_by_label(items: list[Item], i: int) -> bool:
    """`Spotted leaves: 3 plants. Plain leaves: 4.`"""
    k = i + 1
    while k < len(items) and items[k].kinds & v.ORGAN:
        k += 1
    if k + 1 >= len(items) or not items[k].kinds & v.COLON or not items[k + 1].value > 0:
        return False
    return k + 2 >= len(items) or bool(items[k + 2].kinds & (v.PLANTS | v.LIMIT))


def counted_from(items: list[Item], k: int) -> int:
    """The count behind the preposition `k`: `in the others`, `on the leaves of the other`; or 0."""
    while k + 1 < len(items) and items[k].kinds & v.ON:
        if items[k + 1].kinds & v.COUNT:
            return k + 1
        k += 1
        while (
            k < len(items)
            and items[k].kinds & (v.THE | v.ORGAN)
            and not (items[k].kinds & (v.ON | v.COUNT))
        ):
            k += 1
        if k < len(items) and items[k].kinds & v.COUNT:
            return k
    return 0


def _counts_plants(items: list[Item], i: int) -> bool:
    """`5 with spotted leaves`, `others plain`; not `a few spots`, `some leaves spotted`."""
    j = i + 1
    passed = _BETWEEN_COUNT_AND_STATE | (v.WORD if items[i].entry.text in THE_OTHERS else 0)
    while (
        j < len(items)
        and items[j].kinds & passed
        and not items[j].kinds & (v.STATE | v.LIMIT | v.WITH)
    ):
        j += 1
    if j >= len(items):
        return False
    kinds = items[j].kinds
    if kinds & (v.WITH | v.NOT | v.ADJECTIVE):
        return True
    if kinds & v.NONE and (j + 1 >= len(items) or items[j + 1].kinds & v.LIMIT):
        return True  # the rest none
    if not kinds & v.STATE or kinds & v.LIMIT:
        return False
    roles = {sense.role for sense in items[j].entry.senses.values()}
    if roles <= {"sign", "beside"}:
        ends = j + 1 >= len(items) or items[j + 1].kinds & v.LIMIT
        return bool(ends) and items[i].entry.text in THE_OTHERS
    k = j + 1
    if k < len(items) and items[k].kinds & v.ORGAN and not items[k].kinds & v.ADJECTIVE:
        return j > i + 1 and any(m.kinds & v.PLANTS for m in items[i:j])
    return True


def read_plants(items: list[Item], attached: dict[int, Attachment | None]) -> set[int]:
    """Where some plants' state is plain to read, read the other plants' by the same character.

    Returns the state words that are read of other plants than the rest.
    """
    apart: set[int] = set()
    loose = {
        i: found
        for i, at in attached.items()
        if at is None
        and not items[i].soft
        and (found := _without_organ(items, i))
        and not _of_another_part(items, i, found.character)
    }
    for i, at in loose.items():
        rivals = (
            k
            for k, other in loose.items()
            if other.character == at.character and other.sense.state != at.sense.state
        )
        compared = i + 1 < len(items) and items[i + 1].kinds & v.THAN
        told_apart = any(
            (_counted(items, k) and _counted(items, i)) or _paired(items, i, k) for k in rivals
        )
        if compared or told_apart or _others_lack_it(items, i):
            attached[i] = at
            apart |= {i} if told_apart else set()
    for i, found in loose.items():
        alike = [
            a
            for k, a in attached.items()
            if a is not None
            and items[k].sentence == items[i].sentence
            and (
                items[k].clause == items[i].clause
                or _counted(items, i)
                or _counted_behind_brackets(items, i)
                or any(_seen_now(items, j) for j in range(i) if items[j].clause == items[i].clause)
            )
        ]
        if any(
            a.sense.state != found.sense.state
            and (a.character == found.character or only_states(items, i))
            for a in alike
        ):
            attached[i] = found
            apart |= {i} if any(a.character == found.character for a in alike) else set()
    return apart


def _of_another_part(items: list[Item], i: int, character: str) -> bool:
    """`bracts long and spotted, leaves plain`: the spots are the organ's that begins the phrase."""
    organs = [
        m.entry.organs
        for m in items[:i]
        if m.phrase == items[i].phrase and m.kinds & v.ORGAN and not m.kinds & v.ADJECTIVE
    ]
    return bool(organs) and not any(character in named for named in organs)


def _others_lack_it(items: list[Item], i: int) -> bool:
    """`a third are spotted, the others not`."""
    return _counted(items, i) and any(
        items[j].kinds & v.COUNT
        and items[j + 1].kinds & (v.NOT | v.NONE)
        and (j + 2 >= len(items) or items[j + 2].kinds & v.LIMIT)
        and items[j].sentence == items[i].sentence
        for j in range(i + 1, len(items) - 1)
    )


def _seen_now(items: list[Item], j: int) -> bool:
    """`listed as plain-leaved; this year's plant spotted`."""
    return j >= 0 and bool(items[j].kinds & v.ACTUALLY and items[j + 1].kinds & v.PLANTS)


def _counted_behind_brackets(items: list[Item], i: int) -> bool:
    """`spotted (9)`."""
    return (
        i + 2 < len(items)
        and items[i + 1].entry.text == "("
        and bool(items[i + 2].kinds & v.NUMBER)
    )


def _paired(items: list[Item], i: int, k: int) -> bool:
    """`spotted and plain forms`."""
    first, last = min(i, k), max(i, k)
    joined = last - first == 2 and items[first + 1].kinds & v.AND
    return bool(joined) and last + 1 < len(items) and bool(items[last + 1].kinds & v.MANY)


def _counted(items: list[Item], i: int) -> bool:
    """`3 spotted`, `spotted on 3`."""
    j = i - 1
    if j > 0 and items[j].kinds & v.CROSS:
        j -= 1  # 3 x spotted
    if j > 0 and items[j].kinds & v.PLANTS:
        j -= 1
        while j > 0 and items[j].kinds & (v.THE | v.ON) and not items[j].kinds & v.COUNT:
            j -= 1  # a few of the plants spotted
    return (j >= 0 and bool(items[j].kinds & v.COUNT)) or _counted_behind(items, i)


def _without_organ(items: list[Item], i: int) -> Attachment | None:
    """Read the adjective `items[i]` of whole plants: `3 spotted, 2 unspotted`, `spotted plants`."""
    item = items[i]
    before = items[i - 1].kinds if i else v.LIMIT
    after = items[i + 1].kinds if i + 1 < len(items) else v.LIMIT
    j = i - 1
    while (
        j >= 0
        and items[j].kinds & (v.DEGREE | v.PLANTS | v.THE | v.ON | v.CROSS)
        and not items[j].kinds & (v.COUNT | v.LIMIT)
    ):
        j -= 1
    counted = j >= 0 and bool(items[j].kinds & (v.COUNT | v.PLANTS | v.VARIED))
    compared = bool(after & v.THAN) and not any(
        m.kinds & v.ORGAN and m.sentence == item.sentence for m in items[:i]
    )
    linked = (
        compared
        or _seen_now(items, j)
        or only_states(items, i)
        or bool((before | after) & (v.AND | v.OR | v.TO))
        or counted
        or _counted_behind(items, i)
        or bool(after & v.PLANTS)
    )
    if not linked or item.soft:
        return None
    for character, sense in item.entry.senses.items():
        if sense.role == "word":
            return Attachment(character, sense, -1)
    return None
