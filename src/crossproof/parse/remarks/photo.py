"""Whether a remark says that there is a photo of the plant, or that there is none."""

from __future__ import annotations

from crossproof.model import PhotoState
from crossproof.parse.remarks import vocabulary as v
from crossproof.parse.remarks.items import Item

_BEFORE = (
    v.ON
    | v.AMONG
    | v.TO
    | v.DEGREE
    | v.THE
    | v.WORD
    | v.COUNT
    | v.EXAMINE
    | v.OR
    | v.OWN
    | v.SEE
    | v.YES
    | v.HEDGE
    | v.FLOWER
)
_AFTER = (
    v.NAMED
    | v.WORD
    | v.ON
    | v.EXAMINE
    | v.THE
    | v.DEGREE
    | v.ORGAN
    | v.HEDGE
    | v.COUNT
    | v.OWN
    | v.AND
    | v.TO
)


def photo(text: str, items: list[Item]) -> tuple[PhotoState, str]:
    """Return the state and the words it was read from. A denial beats a mention."""
    stated = ""
    for i, item in enumerate(items):
        if item.kinds & v.NO_CAMERA:
            return "denied", text[item.start : item.end]
        if not item.kinds & v.PHOTO or (item.kinds & v.PHOTO_TRAP):
            continue
        if _is_stem_state(items, i):
            continue
        if words := _denied(items, i):
            return "denied", text[items[words[0]].start : items[words[1]].end]
        if not stated and not _open(items, i):
            stated = text[item.start : item.end]
    return ("stated", stated) if stated else ("not_recorded", "")


def _is_stem_state(items: list[Item], i: int) -> bool:
    """A word that is a photo and a state (`ph`) is a state right behind its organ."""
    return bool(items[i].kinds & v.STATE) and i > 0 and bool(items[i - 1].entry.organs)


def _denied(items: list[Item], i: int) -> tuple[int, int] | None:
    phrase = items[i].phrase
    words = 0
    for j in range(i - 1, -1, -1):
        kinds = items[j].kinds
        if kinds & v.NO_PHOTO_BEFORE and not (kinds & v.STATE):
            if j and items[j - 1].kinds & v.COLON:
                break
            return j, i
        words += bool(kinds & v.WORD)
        listed = (
            bool(kinds & (v.COMMA | v.OR | v.ORGAN | v.AND)) and items[j].clause == items[i].clause
        )
        if words > 3 or (not kinds & _BEFORE and not (listed and kinds & (v.OR | v.ORGAN))):
            break
    colon = False
    words = 0
    for j in range(i + 1, len(items)):
        kinds = items[j].kinds
        if kinds & (v.NO_PHOTO_AFTER | v.NONE) and not kinds & v.STATE:
            last = j + 1 >= len(items) or bool(items[j + 1].kinds & v.LIMIT)
            weak = (
                items[j].entry.text in ("no", "n", "0", "none", "nil")
                or not kinds & v.NO_PHOTO_AFTER
            )
            if not weak or last:
                return i, j
        if kinds & v.COLON or (kinds & v.BREAK and items[j].entry.text in ("-", "–", "—")):
            if colon:
                break
            colon = True
            continue
        words += bool(kinds & v.WORD)
        if items[j].phrase != phrase and not colon:
            break
        if words > 4 or not kinds & _AFTER:
            break
    return None


def _open(items: list[Item], i: int) -> bool:
    """A question, a wish or a blank: `photo?`, `photo: -`."""
    after = items[i + 1] if i + 1 < len(items) else None
    if after is not None and after.kinds & v.ASK and not after.prefix:
        follow = items[i + 2] if i + 2 < len(items) else None
        return follow is None or not follow.kinds & v.YES
    if after is not None and after.kinds & v.COLON:
        follow = items[i + 2] if i + 2 < len(items) else None
        return follow is None or bool(follow.kinds & (v.BREAK | v.STOP | v.UNSEEN | v.ASK))
    phrase = items[i].phrase
    return any(item.kinds & v.SUPPOSE and item.phrase == phrase for item in items)
