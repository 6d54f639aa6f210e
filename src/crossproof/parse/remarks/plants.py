"""Whose words: the plant recorded or its neighbours, one plant or several, seen or only said."""

from __future__ import annotations

from collections.abc import Callable

from crossproof.parse.remarks import vocabulary as v
from crossproof.parse.remarks.items import Item

_ANOTHER = v.SPECIES | v.OTHER | v.PARENTS_BOTH | v.PARENTS_ONE | v.PARENTS_NONE
_AROUND_NAME = v.THE | v.COUNT | v.NUMBER | v.DEGREE | v.NOT | v.HEDGE
_LEADS_BACK = frozenset(
    {"than", "differing from", "different from", "differs from", "distinct from"}
)
_THE_OTHERS = frozenset({"others", "other plants", "the other plants"})
_DESCRIBES = v.STATE | v.DEGREE | v.AND | v.OR


def of_another(items: list[Item]) -> list[bool]:
    """For each item, whether it speaks of a plant that is not the record's."""
    marks = [False] * len(items)
    if not any(item.kinds & (_ANOTHER | v.THAN | v.ELSEWHERE | v.COUNT) for item in items):
        return marks
    who = "own"
    said = near = False
    leads_back: int | bool = 0
    for i, item in enumerate(items):
        kinds = item.kinds
        if kinds & (v.STOP | v.ASK) and not item.prefix:
            who, said = "own", False
        elif kinds & v.COMMA:
            if who == "region" or not said:
                who = "own"
        elif kinds & (v.BREAK | v.COLON | v.BUT):
            keep = item.entry.text == "(" or (kinds & v.COLON and near) or (kinds & v.BUT and said)
            if who == "region" or not keep:
                who, said = "own", False
        elif kinds & v.OWN:
            who, said = "own", False
        elif kinds & v.ELSEWHERE and _plants_elsewhere(items, i, marks):
            who, said = "subject", True
        elif item.entry.text in _THE_OTHERS and not _told_apart(items, i):
            who, said = "subject", False
        elif kinds & v.THAN or (kinds & (v.LIKE | v.AMONG) and _names_another(items, i)):
            who, leads_back = "region", kinds & v.LIKE or item.entry.text in _LEADS_BACK
        elif who == "region" and leads_back and _turns_back(items, i):
            who, leads_back = "own", 0
        elif kinds & v.STATE and kinds & _ANOTHER and _follows_organ(items, i):
            said = True  # `folia maculata`: here the word is no plant's name
        elif (
            kinds & _ANOTHER
            and i > 1
            and items[i - 1].kinds & (v.AND | v.THE)
            and who == "own"
            and _with_own(items, i)
        ):
            continue  # both this and the fuchsii
        elif kinds & v.SPECIES and i + 1 < len(items) and items[i + 1].kinds & v.LIKE:
            continue  # fuchsii-like leaves are the plant's own
        elif kinds & _ANOTHER and not _is_formula(items, i):
            if kinds & v.OTHER and i + 1 < len(items) and items[i + 1].kinds & v.OWN:
                continue
            if who == "own":
                who = _shift(items, i, marks)
                said, near = False, bool(kinds & v.OTHER)
        elif kinds & v.STATE:
            said = True
        marks[i] = marks[i] or who != "own"
    return marks


def _plants_elsewhere(items: list[Item], i: int, marks: list[bool]) -> bool:
    """`ring-spotted plants nearby`: marks the stretch, where it is about plants."""
    first = i
    while (
        first
        and items[first - 1].phrase == items[i].phrase
        and not items[first - 1].kinds & v.LIMIT
    ):
        first -= 1
    while first and items[first - 1].clause == items[i].clause and items[first - 1].kinds & v.BREAK:
        first -= 1
    stretch = items[first:i]
    if not any(m.kinds & v.MANY for m in stretch) or any(m.kinds & v.OWN for m in stretch):
        return False
    marks[first:i] = [True] * (i - first)
    return True


def _told_apart(items: list[Item], i: int) -> bool:
    """Whether other recorded plants were spoken of before: `some plain, others spotted`."""
    return any(
        m.kinds & (v.COUNT | v.STATE | v.VARIED) and m.sentence == items[i].sentence
        for m in items[:i]
    )


def _with_own(items: list[Item], i: int) -> bool:
    j = i - 1
    while j > 0 and items[j].kinds & v.THE and not items[j].kinds & v.AND:
        j -= 1
    return j > 0 and bool(items[j].kinds & v.AND) and bool(items[j - 1].kinds & v.OWN)


def _turns_back(items: list[Item], i: int) -> bool:
    """`like a big fuchsii with a hollow stem`, `taller than fuchsii and ringed`: ours again."""
    after_name = bool(items[i - 1].kinds & _ANOTHER)
    turns = items[i].kinds & (v.WITH | v.AND) or items[i].entry.text == "in"
    return after_name and bool(turns)


def _follows_organ(items: list[Item], i: int) -> bool:
    j = i - 1
    while j >= 0 and items[j].kinds & (v.NOT | v.DEGREE | v.WORD) and not items[j].kinds & v.LIMIT:
        j -= 1
    return j >= 0 and bool(items[j].kinds & v.ORGAN)


def _names_another(items: list[Item], i: int) -> bool:
    if i and items[i - 1].kinds & v.SPECIES and items[i].kinds & v.LIKE:
        return False  # fuchsii-like
    reach = 1 if items[i].entry.text == "as" else 5
    for item in items[i + 1 : i + 1 + reach]:
        if item.kinds & _ANOTHER:
            return True
        if item.kinds & v.LIMIT:
            return False
    return False


def _is_formula(items: list[Item], i: int) -> bool:
    """A cross of two names is this plant: `fuchsii x praetermissa`."""
    return any(
        items[k].kinds & v.CROSS
        for k in (i - 1, i + 1, i - 2)
        if 0 <= k < len(items) and not any(m.kinds & v.LIMIT for m in items[min(k, i) : max(k, i)])
    )


def _shift(items: list[Item], i: int, marks: list[bool]) -> str:
    """What naming another plant at item `i` does; marks what it takes with it backwards."""
    j = i - 1
    while j >= 0 and items[j].kinds & _AROUND_NAME and not items[j].kinds & (v.STATE | v.LIMIT):
        j -= 1
    if j < 0 or items[j].kinds & (v.LIMIT | v.AND | v.TRAP):
        return "subject"
    before = items[j]
    if before.kinds & v.ON and before.entry.text in ("of", "on", "in"):
        k = j
        while k >= 0 and items[k].phrase == items[i].phrase and not items[k].kinds & v.HARD:
            marks[k] = True
            k -= 1
        return "region"
    k = i - 1
    while k >= 0 and items[k].kinds & (_DESCRIBES | v.ADJECTIVE) and not items[k].kinds & v.LIMIT:
        if items[k].kinds & v.ORGAN and not items[k].kinds & v.ADJECTIVE:
            break
        k -= 1
    if k < 0 or not items[k].kinds & v.ORGAN:
        for m in range(k + 1, i):
            marks[m] = True
        if k < 0 or items[k].kinds & v.LIMIT:
            return "subject"
    return "region"


def unseen(
    items: list[Item], organ_of: Callable[[int], int | None]
) -> tuple[set[int], dict[str, int]]:
    """The state words that nobody checked; the characters not examined, and where it says so.

    `organ_of(i)` gives the item of the organ that state word `i` is attached to (-1: none).
    """
    killed: set[int] = set()
    characters: dict[str, int] = {}
    for i in range(len(items)):
        end = _not_looked(items, i)
        if end is None:
            continue
        targets = _targets(items, i, end)
        for t in targets:
            for name in _characters(items[t]):
                characters.setdefault(name, i)
        for k in _reach(items, i, end):
            if items[k].kinds & v.STATE:
                organ = organ_of(k)
                if organ is None or organ == -1 or organ in targets or k in targets:
                    killed.add(k)
    return killed, characters


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
        if other & v.EXAMINE:
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
        if items[k].kinds & v.LIMIT:
            break
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
    j = i - 1
    if j >= 0 and items[j].kinds & (v.COLON | v.BREAK):
        j -= 1
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
    while k < len(items) and not items[k].kinds & v.LIMIT:
        if _is_target(items[k]):
            group = {k}
            while (
                k + 2 < len(items)
                and items[k + 1].kinds & (v.AND | v.OR)
                and _is_target(items[k + 2])
            ):
                k += 2
                group.add(k)
            return group
        k += 1
    return set()


def _reach(items: list[Item], i: int, end: int) -> range:
    """The stretch that not having looked covers: back to the last break, on to the next."""
    first = i
    if first and items[first - 1].kinds & (v.COLON | v.BREAK):
        first -= 1
    while first > 0 and not items[first - 1].kinds & v.LIMIT:
        first -= 1
    last = end
    while last + 1 < len(items) and not items[last + 1].kinds & v.LIMIT:
        last += 1
    return range(first, last + 1)


def hearsay(items: list[Item]) -> list[bool]:
    """For each item, whether it is somebody's word, or a first impression, not the recorder's."""
    marks = [False] * len(items)
    if not any(item.kinds & v.SAYS for item in items):
        return marks
    said = False
    for i, item in enumerate(items):
        if item.kinds & v.SAYS:
            said = True
        elif item.kinds & (v.LIMIT | v.ACTUALLY) and not item.kinds & v.COLON:
            said = False
        marks[i] = said
    return marks


def groups(items: list[Item]) -> list[int]:
    """Number the plants: words that count off plants (`some`, `others`, `5 with`) start a new one."""
    numbers = [0] * len(items)
    cues = [
        i
        for i in range(len(items))
        if (items[i].kinds & v.COUNT and _counts_plants(items, i))
        or (items[i].kinds & v.STATE and _counted_behind(items, i))
    ]
    if not cues:
        return numbers
    plural = any(item.kinds & (v.MANY | v.VARIED) for item in items)
    if len(cues) < 2 and not plural:
        return numbers
    number, cue = 0, set(cues)
    for i in range(len(items)):
        if i in cue:
            number += 1
        numbers[i] = number
    return numbers


def _counted_behind(items: list[Item], i: int) -> bool:
    """`spotted in most plants, plain in others`."""
    if i + 1 < len(items) and items[i + 1].entry.text.endswith("%"):
        return i + 2 >= len(items) or bool(items[i + 2].kinds & v.LIMIT)
    if i + 2 >= len(items) or not items[i + 1].kinds & v.ON or not items[i + 2].kinds & v.COUNT:
        return False
    behind = items[i + 3].kinds if i + 3 < len(items) else v.LIMIT
    return bool(behind & (v.PLANTS | v.LIMIT | v.AND))


def _counts_plants(items: list[Item], i: int) -> bool:
    """`5 with spotted leaves`, `others plain`; not `a few spots`, `some leaves spotted`."""
    j = i + 1
    while (
        j < len(items)
        and items[j].kinds
        & (v.PLANTS | v.DEGREE | v.THE | v.OWN | v.ON | v.COUNT | v.EXAMINE | v.HEDGE)
        and not items[j].kinds & (v.STATE | v.LIMIT | v.WITH)
    ):
        j += 1
    if j >= len(items):
        return False
    kinds = items[j].kinds
    if kinds & (v.WITH | v.NOT | v.ADJECTIVE):
        return True
    if not kinds & v.STATE or kinds & v.LIMIT:
        return False
    roles = {sense.role for sense in items[j].entry.senses.values()}
    if roles <= {"sign", "beside"}:
        return False
    k = j + 1
    if k < len(items) and items[k].kinds & v.ORGAN and not items[k].kinds & v.ADJECTIVE:
        return j > i + 1 and any(m.kinds & v.PLANTS for m in items[i:j])
    return True
