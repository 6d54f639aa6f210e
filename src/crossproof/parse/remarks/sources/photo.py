"""Whether a remark says that there is a photo of the plant, or that there is none."""

from __future__ import annotations

import re
from typing import NamedTuple

from crossproof.model import PhotoState
from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.camera import faults
from crossproof.parse.remarks.sources.lexicon import Word
from crossproof.parse.remarks.sources.photo_denial import (
    Reading,
    denied_after,
    denied_before,
    ends_at,
    tried_in_vain,
)
from crossproof.parse.remarks.sources.photo_open import left_open
from crossproof.parse.remarks.sources.photo_subject import Subject, subject

# `pH 6.9`, `ph = 5,5`: acidity has a decimal, and its own way of being written.
_ACIDITY = re.compile(r"\W{0,3}(?:c\.? ?|of |about )?\d[.,]\d")


# How cameras and scanners name their files (common practice, no published source).
_PREFIXES = ("DSC", "dsc", "SCAN", "scan", "PICT", "pict", "P1", "PXL", "DJI", "GOPR", "MVI")
_FILE = re.compile(r"(?:dsc[fn]?|scan|pict|p1|pxl|dji|gopr|mvi)\d{4}")


def may_name_file(text: str) -> bool:
    """Whether a file's name may stand in a text: a cheap look beforehand."""
    return any(prefix in text for prefix in _PREFIXES)


def names_file(word: str) -> bool:
    """Whether a word in small letters is a file's name as cameras make them: `dscn0098`."""
    return _FILE.match(word) is not None


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
    none = _none_taken(words, said)
    if none and (not stated or words[none[1]].kinds & x.KEPT):
        return "denied", text[words[none[0]].start : words[none[1]].end]
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
        reading = denied_before(words, i) or denied_after(words, i) or tried_in_vain(words, i)
    elif reading.polarity == "open":
        reading = denied_before(words, i) or tried_in_vain(words, i) or reading
    return _Said(reading or Reading("stated", i, i), subject(words, i), i)


def _speaks_of_photo(text: str, words: list[Word], i: int) -> bool:
    kinds, word = words[i].kinds, words[i]
    if kinds & x.TRAP:
        return False
    if kinds & x.UNKNOWN and names_file(word.text):
        return True
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
    after = words[i + 1].kinds if i + 1 < len(words) else 0
    telling = x.WEAK_BEFORE | x.NUMBER | x.GET | x.PLACE
    return bool(after & (x.WEAK_AFTER | x.NUMBER)) or any(
        w.kinds & telling and w.phrase == word.phrase for w in words[max(i - 3, 0) : i]
    )


def _all_but_this(words: list[Word], said: list[_Said]) -> tuple[int, int] | None:
    """`photographed the view but not the plant`, `fuchsii photographed, the hybrid not`."""
    for s in said:
        if s.reading.polarity != "stated":
            continue
        for n in range(s.at + 1, len(words)):
            if words[n].sentence > words[s.at].sentence + 1:
                break
            if words[n].kinds & (x.NOT | x.NONE | x.EXCEPT):
                last = _this_behind(words, n)
                if last is None and words[n].kinds & x.NOT and _this_before(words, n, s.at):
                    last = n
                if last is not None:
                    return s.at, last
    return None


def _none_taken(words: list[Word], said: list[_Said]) -> tuple[int, int] | None:
    """`referee asked for a photo but I hadn't taken one`, `Photo? didn't get one`."""
    for s in said:
        for n in range(s.at + 1, len(words)):
            if words[n].sentence > words[s.at].sentence + 1:
                break
            if (k := _denied_of_it(words, n)) and ends_at(words, k + 1):
                return s.at, k
    return None


def _denied_of_it(words: list[Word], n: int) -> int:
    """The last word of `didn't take one`, `none were taken` from word `n` on; or 0."""
    k = n + 1
    if words[n].text == "none":
        while k < len(words) and words[k].kinds & x.LIGHT:
            k += 1
        return k if k < len(words) and words[k].text in ("taken", "made", "kept") else 0
    if not words[n].kinds & x.NOT:
        return 0
    while k < len(words) and words[k].kinds & x.GET and words[k].text not in ("one", "any"):
        k += 1
    one = n + 1 < k < len(words) and words[k].text in ("one", "any", "it", "them")
    return k if one else 0


def _is_this(word: Word) -> bool:
    specimen = word.text.startswith("specimen")  # no specimen is no voucher
    return bool(word.kinds & x.OWN) and not word.kinds & x.FLOWER and not specimen


def _this_behind(words: list[Word], n: int) -> int | None:
    """`not the plant`, `none of the hybrid`, `except this one`; not `is not of our plant`."""
    k = n + 1
    while k < len(words) and words[k].kinds & (x.THE | x.OF) and not words[k].kinds & x.OWN:
        k += 1
    if k >= len(words) or not _is_this(words[k]):
        return None
    if words[n - 1].text in ("is", "are") and words[n + 1].text == "of":
        return None
    while k + 1 < len(words) and words[k + 1].text in ("itself", "themselves"):
        k += 1
    after = words[k + 1].kinds if k + 1 < len(words) else x.STOP
    goes_on = words[k].kinds & x.PRONOUN or words[n].kinds & x.EXCEPT & ~x.NOT
    return k if after & (x.LIMIT if goes_on else x.LIMIT | x.LIGHT | x.AND) else None


def _this_before(words: list[Word], n: int, photo_at: int) -> bool:
    """`the hybrid (was) not`."""
    b = n - 1
    while words[b].kinds & x.LIGHT and not words[b].kinds & x.OWN:
        b -= 1
    ends = n + 1 >= len(words) or bool(words[n + 1].kinds & x.LIMIT)
    return b > photo_at and _is_this(words[b]) and ends


def _made_good(words: list[Word], denied: list[_Said], stated: list[_Said]) -> bool:
    """Whether a photo that is denied is of a part only, and another is there."""
    last = denied[-1].at
    if all(s.subject == "part" for s in denied):
        if stated:
            return True
    elif any(s.at > last and _but_between(words, last, s.at) for s in stated):
        return True
    if _taken_since(words, last):
        return True
    for k in range(last + 1, len(words)):
        if words[k].sentence != words[last].sentence:
            return False
        if words[k].kinds & x.EXCEPT and _one_is_there(words, k + 1):
            return True
        if words[k].kinds & (x.BUT | x.COMMA | x.BREAK) or words[k].text == "except":
            return _another(words, k)
    return False


def _taken_since(words: list[Word], last: int) -> bool:
    """`too dark for photos; went back and took six`, `no photos. Found two on the old phone.`"""
    for k in range(last + 1, len(words) - 1):
        if words[k].sentence > words[last].sentence + 1:
            return False
        counted = words[k + 1].kinds & (x.COUNT | x.NUMBER) or words[k + 1].text in ("some", "them")
        if words[k].kinds & x.SINCE and counted:
            denied = any(w.kinds & x.NOT for w in words[max(k - 3, last + 1) : k])
            behind = words[k + 2].kinds if k + 2 < len(words) else x.STOP
            return not denied and bool(behind & (x.LIMIT | x.PREPOSITION | x.AND | x.LIGHT))
    return False


def _one_is_there(words: list[Word], k: int) -> bool:
    """`no photo except the one attached`, `bar one of the lip`."""
    while k < len(words) and words[k].kinds & x.THE and not words[k].kinds & x.COUNT:
        k += 1
    if k + 1 >= len(words) or words[k].text not in ("one", "ones", "two", "three"):
        return False
    return bool(words[k + 1].kinds & (x.PREPOSITION | x.KEPT | x.OF | x.PRONOUN))


def _but_between(words: list[Word], first: int, last: int) -> bool:
    return any(w.kinds & x.BUT for w in words[first:last])


def _another(words: list[Word], k: int) -> bool:
    """`but four of the leaves`, `but leaf and spike ones attached`, `only of the flower`."""
    part = of = False
    if k + 1 < len(words) and words[k + 1].kinds & x.BUT:
        k += 1
    for m in range(k + 1, min(k + 9, len(words))):
        kinds = words[m].kinds
        if kinds & (x.NOT | x.NONE | x.STATE | x.HARD):
            break
        if kinds & (x.PART | x.FLOWER | x.OTHER):
            part = True
            if of:
                return True
        elif part and kinds & x.LIGHT:
            others = words[m - 1].kinds & x.OTHER and words[m + 1 : m + 2]
            kept = others and words[m + 1].kinds & x.PREPOSITION
            if kept or ends_at(words, m + 1):
                return True
        if kinds & x.OF:
            of = True
        elif kinds & x.KEPT and part:
            return True
        elif not kinds & (x.THE | x.AND | x.PART | x.FLOWER):
            of = False
    return False


def _by_somebody(words: list[Word], i: int) -> bool:
    """`photographed by J. T. (my camera was flat)`."""
    return i + 1 < len(words) and words[i + 1].text == "by"
