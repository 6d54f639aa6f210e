"""What stands behind a photo and takes it back: none was taken, or one of something else only."""

from __future__ import annotations

from typing import Final, NamedTuple

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word, ends_at
from crossproof.parse.remarks.sources.photo_denial import Reading
from crossproof.parse.remarks.sources.photo_subject import Subject

_TAKEN: Final = frozenset({"taken", "made", "kept", "done", "got"})
_EXISTS: Final = frozenset({"exist", "exists", "existed", "survives", "survive"})


class Said(NamedTuple):
    """What is said of one photo, what it is of, and its place among the words."""

    reading: Reading
    subject: Subject
    at: int


def all_but_this(words: list[Word], said: list[Said]) -> tuple[int, int] | None:
    """`photographed the view but not the plant`, `fuchsii photographed, the hybrid not`."""
    for s in said:
        if s.reading.polarity != "stated" and s.subject != "else":
            continue
        for n in range(s.at + 1, len(words)):
            if words[n].sentence > words[s.at].sentence + 1:
                break
            if words[n].kinds & (x.NOT | x.NONE | x.EXCEPT):
                last = _this_behind(words, n)
                if last is None and words[n].kinds & x.NOT and _this_before(words, n, s):
                    last = n
                if last is not None:
                    return s.at, last
    return None


def none_taken(words: list[Word], said: list[Said]) -> tuple[int, int] | None:
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
        return k if k < len(words) and words[k].text in _TAKEN | _EXISTS else 0
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


def _this_before(words: list[Word], n: int, photo: Said) -> bool:
    """`the hybrid (was) not`; where the photo is of something else, `this one was not taken`."""
    b = n - 1
    while words[b].kinds & x.LIGHT and not words[b].kinds & x.OWN:
        b -= 1
    other = photo.subject == "else" and n + 1 < len(words) and words[n + 1].text in _TAKEN
    return b > photo.at and _is_this(words[b]) and ends_at(words, n + 2 if other else n + 1)


def refuted(words: list[Word], said: list[Said]) -> tuple[int, int] | None:
    """`the label claims a photo, but there never was one`, `form says photo: I never took one`."""
    for s in said:
        near = words[max(s.at - 5, 0) : s.at + 6]
        if not any(w.kinds & x.CLAIM and w.sentence == words[s.at].sentence for w in near):
            continue
        for n in range(s.at + 1, len(words)):
            if words[n].sentence > words[s.at].sentence + 1:
                break
            k = _denied_of_it(words, n) or _there_is_none(words, n)
            if k and ends_at(words, k + 1):
                return s.at, k
    return None


def _there_is_none(words: list[Word], n: int) -> int:
    """The last word of `there is none`, `there never was one`, `no such thing exists`; or 0."""
    k = n + 1
    if words[n].text.startswith("there"):
        while k < len(words) and words[k].kinds & (x.LIGHT | x.NOT) and words[k].text != "none":
            k += 1
        one = k > n + 1 and any(w.kinds & x.NOT for w in words[n + 1 : k])
        none = k < len(words) and words[k].text == "none"
        return k if none or (one and k < len(words) and words[k].text in ("one", "any")) else 0
    if words[n].text == "no" and k < len(words) and words[k].text == "such":
        while not ends_at(words, k + 1):
            k += 1
        return k
    return 0
