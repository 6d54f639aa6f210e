"""Whether a remark says that there was nothing to take a photo with."""

from __future__ import annotations

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word, ends_at

_SKIPPED = x.LIGHT | x.THE | x.COUNT | x.PRONOUN | x.PREPOSITION | x.OF | x.GET | x.OR | x.AND
_MOST_UNKNOWN = 2
_NO_ONE = frozenset({"nobody", "no one", "noone", "none of us"})
_TIMES = frozenset({"before", "until", "then"})
_GENERAL = frozenset({"phone", "phones", "card", "cards", "film", "charge", "device", "mobile"})


def faults(words: list[Word]) -> list[tuple[int, int]]:
    """The first and last words of each saying that no camera was at hand or none that worked."""
    found = []
    for i, word in enumerate(words):
        if word.kinds & x.DENIAL:
            found.append((i, i))
        elif word.kinds & x.CAMERA and not word.kinds & x.TRAP:
            if (j := _lacked(words, i)) is not None:
                found.append((j, i))
            elif (k := _failed(words, i)) is not None and not _later(words, i):
                found.append((i, k))
    return found


def _lacked(words: list[Word], i: int) -> int | None:
    """`no camera`, `forgot my phone`, `never had a camera with me`, `flat battery`."""
    unknown = 0
    for j in range(i - 1, max(i - 9, -1), -1):
        kinds = words[j].kinds
        if kinds & (x.FORGOT | x.NOT) and not kinds & x.LIMIT:
            return j if not unknown or words[j].text in _NO_ONE else None
        if kinds & x.HARD & ~x.BREAK:
            return None
        if not kinds & (_SKIPPED | x.CAMERA):
            unknown += 1
            if unknown > _MOST_UNKNOWN:
                return None
    return None


def _failed(words: list[Word], i: int) -> int | None:
    """`camera flat`, `phone was dead`, `the camera was left in the tent`, `camera: no`."""
    unknown = 0
    for k in range(i + 1, min(i + 7, len(words))):
        kinds = words[k].kinds
        if kinds & x.FAULT:
            one = words[k].text in ("no", "n", "none", "nil", "off", "out", "low", "away", "full")
            ends = ends_at(words, k + 1)
            return None if one and not ends else k
        if kinds & (x.COLON | x.BREAK) and k == i + 1:
            continue
        if kinds & (x.NOT | x.SPOILT):
            following = words[k + 1].kinds if k + 1 < len(words) else x.STOP
            general = words[i].text in _GENERAL
            return k if kinds & x.SPOILT or (following & x.GET and not general) else None
        if kinds & (x.LIMIT | x.PHOTO | x.PART | x.FLOWER) and not kinds & x.GET:
            return None
        if not kinds & (_SKIPPED | x.CAMERA):
            unknown += 1
            if unknown > _MOST_UNKNOWN:
                return None
    return None


def _later(words: list[Word], i: int) -> bool:
    """`a few snaps before the battery died`."""
    return any(words[j].text in _TIMES for j in range(max(i - 3, 0), i))
