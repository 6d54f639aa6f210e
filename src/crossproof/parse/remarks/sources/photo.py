"""Whether a remark says that there is a photo of the plant, or that there is none."""

from __future__ import annotations

from crossproof.model import PhotoState
from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.camera import faults
from crossproof.parse.remarks.sources.lexicon import Word, ends_at
from crossproof.parse.remarks.sources.photo_afar import denied_afar
from crossproof.parse.remarks.sources.photo_denial import (
    Reading,
    denied_after,
    denied_before,
    tried_in_vain,
)
from crossproof.parse.remarks.sources.photo_none import Said, all_but_this, none_taken, refuted
from crossproof.parse.remarks.sources.photo_open import left_open
from crossproof.parse.remarks.sources.photo_subject import subject
from crossproof.parse.remarks.sources.photo_word import may_name_file, speaks_of_photo

__all__ = ["may_name_file", "photo"]


def photo(text: str, words: list[Word]) -> tuple[PhotoState, str]:
    """Return the state and the words it was read from.

    A denial beats a mention, unless the mention is of another photo: `no photo of the stem, but
    the leaf ones are attached`, `camera flat, but JT photographed it`.
    """
    said = [_said(words, i) for i in range(len(words)) if speaks_of_photo(text, words, i)]
    broken = faults(words)
    stated = [s for s in said if s.reading.polarity == "stated" and s.subject != "else"]
    denied = [s for s in said if s.reading.polarity == "denied" and s.subject != "else"]
    if untrue := refuted(words, said):
        return "denied", text[words[untrue[0]].start : words[untrue[1]].end]
    none = none_taken(words, said)
    if none and (not stated or words[none[1]].kinds & x.KEPT):
        return "denied", text[words[none[0]].start : words[none[1]].end]
    if (twin := all_but_this(words, said)) and not any(s.at > twin[1] for s in stated):
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


def _said(words: list[Word], i: int) -> Said:
    reading = left_open(words, i)
    if reading is None:
        reading = _denied_earlier(words, i) or denied_after(words, i) or tried_in_vain(words, i)
    elif reading.polarity == "open":
        reading = _denied_earlier(words, i) or tried_in_vain(words, i) or reading
    return Said(reading or Reading("stated", i, i), subject(words, i), i)


def _denied_earlier(words: list[Word], i: int) -> Reading | None:
    return denied_before(words, i) or denied_afar(words, i)


def _made_good(words: list[Word], denied: list[Said], stated: list[Said]) -> bool:
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
