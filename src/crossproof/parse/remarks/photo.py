"""Whether a remark says that there is a photo of the plant, or that there is none."""

from __future__ import annotations

import re
from typing import NamedTuple

from crossproof.model import PhotoState
from crossproof.parse.remarks import lexicon as x
from crossproof.parse.remarks.camera import faults
from crossproof.parse.remarks.lexicon import Word
from crossproof.parse.remarks.photo_denial import (
    Reading,
    denied_after,
    denied_before,
    left_open,
)
from crossproof.parse.remarks.photo_subject import Subject, subject

# `pH 6.9`, `ph = 5,5`: acidity has a decimal, and its own way of being written.
_ACIDITY = re.compile(r"\W{0,3}(?:c\.? ?|of |about )?\d[.,]\d")


class _Said(NamedTuple):
    reading: Reading
    subject: Subject
    at: int


def photo(text: str, words: list[Word]) -> tuple[PhotoState, str]:
    """Return the state and the words it was read from.

    A denial beats a mention, unless the mention is of another photo: `no photo of the stem, but
    the leaf ones are attached`, `camera flat, but JT photographed it`.
    """
    said = [_said(words, i) for i in range(len(words)) if _speaks_of_photo(text, words, i)]
    broken = faults(words)
    stated = [s for s in said if s.reading.polarity == "stated" and s.subject != "else"]
    denied = [s for s in said if s.reading.polarity == "denied" and s.subject != "else"]
    if (twin := _all_but_this(words, said)) and not any(s.at > twin[1] for s in stated):
        return "denied", text[words[twin[0]].start : words[twin[1]].end]
    if denied and not _made_good(words, denied, stated):
        first = next((s for s in denied if s.subject == "plant"), denied[0]).reading
        return "denied", text[words[first.first].start : words[first.last].end]
    if broken and not any(s.at > broken[0][0] or _by_somebody(words, s.at) for s in stated):
        first_word, last_word = broken[0]
        return "denied", text[words[first_word].start : words[last_word].end]
    if denied and not stated:  # made good without the word itself: `but four of the leaves`
        return "stated", text[words[denied[0].at].start : words[denied[0].at].end]
    if stated:
        return "stated", text[words[stated[0].at].start : words[stated[0].at].end]
    return "not_recorded", ""


def _said(words: list[Word], i: int) -> _Said:
    reading = left_open(words, i)
    if reading is None:
        reading = denied_before(words, i) or denied_after(words, i)
    elif reading.polarity == "open" and (before := denied_before(words, i)):
        reading = before
    return _Said(reading or Reading("stated", i, i), subject(words, i), i)


def _speaks_of_photo(text: str, words: list[Word], i: int) -> bool:
    kinds, word = words[i].kinds, words[i]
    if kinds & x.TRAP:
        return False
    if word.text == "ph":
        before = words[i - 1] if i else None
        of_part = before is not None and before.kinds & (x.PART | x.FLOWER)
        acid = text[word.start : word.end] == "pH" or _ACIDITY.match(text, word.end)
        return not of_part and not acid
    if kinds & x.LABEL:
        return i + 1 < len(words) and bool(words[i + 1].kinds & x.COLON)
    if kinds & x.PHOTO:
        return True
    if not kinds & x.WEAK:
        return False
    before = words[i - 1] if i and words[i - 1].phrase == word.phrase else None
    after = words[i + 1] if i + 1 < len(words) else None
    return bool(
        (before is not None and before.kinds & (x.WEAK_BEFORE | x.NUMBER | x.GET))
        or (after is not None and after.kinds & (x.WEAK_AFTER | x.NUMBER))
    )


def _all_but_this(words: list[Word], said: list[_Said]) -> tuple[int, int] | None:
    """`photographed the view but not the plant`, `fuchsii photographed, the hybrid not`."""
    for s in said:
        if s.reading.polarity != "stated":
            continue
        for n in range(s.at + 1, len(words)):
            if words[n].sentence > words[s.at].sentence + 1:
                break
            if not words[n].kinds & (x.NOT | x.NONE):
                continue
            k = n + 1
            while k < len(words) and words[k].kinds & (x.THE | x.OF) and not words[k].kinds & x.OWN:
                k += 1
            of_own = k < len(words) and words[k].kinds & x.OWN and not words[k].kinds & x.FLOWER
            if of_own and not words[k].text.startswith("specimen") and _ends(words, k + 1):
                return s.at, k
            own_before = words[n - 1].kinds & x.OWN and not words[n - 1].kinds & x.FLOWER
            if own_before and _ends(words, n + 1):
                return s.at, n
    return None


def _ends(words: list[Word], k: int) -> bool:
    return k >= len(words) or bool(words[k].kinds & (x.LIMIT | x.LIGHT | x.AND))


def _made_good(words: list[Word], denied: list[_Said], stated: list[_Said]) -> bool:
    """Whether a photo that is denied is of a part only, and another is there."""
    last = denied[-1].at
    if all(s.subject == "part" for s in denied):
        if stated:
            return True
    elif any(s.at > last and _but_between(words, last, s.at) for s in stated):
        return True
    for k in range(last + 1, len(words)):
        if words[k].sentence != words[last].sentence:
            return False
        if words[k].kinds & (x.BUT | x.COMMA | x.BREAK) or words[k].text == "except":
            return _another(words, k)
    return False


def _but_between(words: list[Word], first: int, last: int) -> bool:
    return any(w.kinds & x.BUT for w in words[first:last])


def _another(words: list[Word], k: int) -> bool:
    """`but four of the leaves`, `but leaf and spike ones attached`, `only of the flower`."""
    part = of = False
    for m in range(k + 1, min(k + 9, len(words))):
        kinds = words[m].kinds
        if kinds & (x.NOT | x.NONE | x.STATE | x.HARD):
            break
        if kinds & (x.PART | x.FLOWER):
            part = True
            if of:
                return True
        if kinds & x.OF:
            of = True
        elif kinds & x.KEPT and part:
            return True
        elif not kinds & (x.THE | x.AND | x.OF | x.PART | x.FLOWER):
            of = False
    return False


def _by_somebody(words: list[Word], i: int) -> bool:
    """`photographed by J. T. (my camera was flat)`."""
    return i + 1 < len(words) and words[i + 1].text == "by"
