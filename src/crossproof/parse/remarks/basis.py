"""Whether a remark says that the name rests on the flowers alone, and whether parents were near."""

from __future__ import annotations

from crossproof.parse.remarks import vocabulary as v
from crossproof.parse.remarks.items import Item

_TO_FROM = (
    v.WORD | v.OWN | v.THE | v.DEGREE | v.ONLY | v.HEDGE | v.NAMED | v.SPECIES | v.YES | v.COUNT
)
_TO_FLOWER = (
    v.WORD | v.THE | v.DEGREE | v.ONLY | v.EXAMINE | v.COUNT | v.HEDGE | v.FROM | v.ON | v.OWN
    | v.STATE | v.LIKE | v.PHOTO
)  # fmt: skip
_ENDS_ONLY = (
    v.TO | v.LIMIT | v.EXAMINE | v.SEE | v.PHOTO | v.NAMED | v.ONLY | v.AND | v.FROM | v.SPEAKS
)

_OUT_OF = frozenset({"e", "ex", "from", "by", "on"})
_Found = tuple[int, int]


def flower_only(text: str, items: list[Item]) -> tuple[bool, str]:
    """Return whether the name is said to rest on flowers alone, and the words that say it."""
    for i, item in enumerate(items):
        kinds = item.kinds
        found: _Found | None = None
        if kinds & v.BASIS:
            found = (i, i)
        elif kinds & v.NAMED:
            found = _named_from_flowers(items, i)
        elif kinds & v.FLOWER:
            found = _flowers_only(items, i) or _flowers_speak(items, i) or _so_named(items, i)
        if found and not _not_sole(items, i, found[1]):
            first, last = found
            return True, text[items[first].start : items[last].end]
    return False, ""


def _named_from_flowers(items: list[Item], i: int) -> _Found | None:
    """`named (it) on the (colour of the) flowers`; `recorded as the hybrid on that basis`."""
    j = i if items[i].kinds & v.FROM else i + 1
    while j < len(items) and j < i + 6 and not items[j].kinds & v.FROM:
        if not items[j].kinds & _TO_FROM or items[j].kinds & (v.LIMIT | v.ORGAN):
            return None
        j += 1
    if j >= len(items) or not items[j].kinds & v.FROM:
        return None
    words = 0
    for k in range(j + 1, min(j + 9, len(items))):
        kinds = items[k].kinds
        if kinds & v.ORGAN:
            if (
                not kinds & v.FLOWER
                or _others_too(items, k)
                or (items[i].entry.text == "hybrid" and words)
            ):
                return None
            return i, k
        if kinds & v.THAT and (k + 1 >= len(items) or items[k + 1].kinds & (v.LIMIT | v.ONLY)):
            return (i, k) if _last_organ_is_flower(items, i) else None
        words += bool(kinds & v.WORD)
        photo = any(m.kinds & v.PHOTO for m in items[j:k])
        if words > (4 if photo else 2) or not kinds & _TO_FLOWER or kinds & v.LIMIT:
            return None
    return None


def _others_too(items: list[Item], k: int) -> bool:
    """Whether another part is named with the flower: `on flowers and leaves`."""
    for m in range(k + 1, min(k + 5, len(items))):
        kinds = items[m].kinds
        if kinds & v.ORGAN and not kinds & v.FLOWER:
            link = items[m - 1]
            if link.kinds & v.NOT:
                return False
            if link.kinds & v.COMMA:
                return m + 1 >= len(items) or bool(items[m + 1].kinds & (v.LIMIT | v.AND))
            return True
        if kinds & v.HARD:
            return False
    return False


def _last_organ_is_flower(items: list[Item], i: int) -> bool:
    for j in range(i - 1, -1, -1):
        if items[j].kinds & v.ORGAN:
            return bool(items[j].kinds & v.FLOWER)
        if items[j].entry.senses:
            return False
    return False


def _flowers_only(items: list[Item], i: int) -> _Found | None:
    """`flowers only (seen)`, `only the flowers (examined)`; not `flowers only just open`."""
    after = items[i + 1] if i + 1 < len(items) else None
    behind = items[i + 2] if i + 2 < len(items) else None
    j = i - 1
    while (
        j >= 0
        and items[j].kinds & (v.THE | v.WORD | v.SEE)
        and j > i - 3
        and not items[j].kinds & v.ONLY
    ):
        j -= 1
    if (
        j > 0
        and items[j].kinds & v.ONLY
        and items[j].kinds & v.SLIGHT
        and items[j - 1].kinds & v.NOT
    ):
        return None
    if any(m.kinds & (v.PHOTO | v.STATE) and m.phrase == items[i].phrase for m in items[:i]):
        return None
    only_behind = after is not None and after.kinds & v.ONLY
    if only_behind and (behind is None or behind.kinds & _ENDS_ONLY):
        return i, i + 1
    if after is not None and behind is not None and after.kinds & (v.SEE | v.EXAMINE):
        last = items[i + 3] if i + 3 < len(items) else None
        if behind.kinds & v.COMMA and last is not None and last.kinds & v.ONLY:
            return i, i + 3
    ends = after is None or (bool(after.kinds & _ENDS_ONLY) and not _others_too(items, i))
    if j >= 0 and items[j].kinds & v.ONLY and ends and not items[i - 1].kinds & v.COUNT:
        return j, i
    return None


def _flowers_speak(items: list[Item], i: int) -> _Found | None:
    """`flower colour suggests hybrid`, where no leaf or stem is spoken of."""
    for j in range(i + 1, min(i + 4, len(items))):
        kinds = items[j].kinds
        if kinds & v.SPEAKS:
            others = (m for m in items if m.entry.organs and not m.kinds & v.FLOWER)
            return None if any(others) else (i, j)
        if (
            not kinds & (v.WORD | v.DEGREE | v.OWN | v.ON | v.THE | v.THAT | v.HEDGE)
            or kinds & v.LIMIT
        ):
            return None
    return None


def _so_named(items: list[Item], i: int) -> _Found | None:
    """`e floribus det.`; `lip index 1.3, so named`."""
    after = items[i + 1] if i + 1 < len(items) else None
    if i and after is not None and items[i - 1].entry.text in _OUT_OF and after.kinds & v.NAMED:
        return i - 1, i + 1
    for j in range(i + 1, len(items) - 1):
        if items[j].sentence != items[i].sentence or items[j].entry.organs:
            return None
        last = j + 2 >= len(items) or bool(items[j + 2].kinds & v.LIMIT)
        if items[j].entry.text in ("so", "hence") and items[j + 1].entry.text == "named" and last:
            return i, j + 1
    return None


def _not_sole(items: list[Item], i: int, last: int) -> bool:
    j = last
    while j >= 0 and items[j].clause == items[i].clause:
        if items[j].kinds & v.NOT_SOLE and not items[j].kinds & v.LIMIT:
            return items[j].phrase == items[i].phrase
        j -= 1
    return False


def parents(present: int) -> str:
    """`both`, `one`, `none`, or empty where the remark doesn't say.

    `present` is everything that the items of the remark may be.
    """
    if present & v.PARENTS_UNKNOWN:
        return ""
    if present & v.PARENTS_NONE:
        return "none"
    if present & v.PARENTS_ONE:
        return "one"
    return "both" if present & v.PARENTS_BOTH else ""
