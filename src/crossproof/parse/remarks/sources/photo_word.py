"""Which words of a remark speak of a photo: some always do, some by what stands near."""

from __future__ import annotations

import re
from typing import Final

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word, ends_at
from crossproof.parse.remarks.text.tokens import holds_any

# `pH 6.9`, `ph = 5,5`: acidity has a decimal, and its own way of being written.
_ACIDITY = re.compile(r"\W{0,3}(?:c\.? ?|of |about )?\d[.,]\d")


# How cameras and scanners name their files (common practice, no published source).
_PREFIXES = ("DSC", "dsc", "SCAN", "scan", "PICT", "pict", "P1", "PXL", "DJI", "GOPR", "MVI")
_FILE = re.compile(r"(?:dsc[fn]?|scan|pict|p1|pxl|dji|gopr|mvi)\d{4}")

_NEGATIVES: Final = frozenset({"neg", "negative"})
_PARTS_REMARKS: Final = x.STOP | x.BREAK | x.COMMA | x.OPEN

# Any other word speaks of no photo (`neg` is a NONE as well).
_MAY_SPEAK: Final = x.PHOTO | x.WEAK | x.LENS | x.LABEL | x.CAMERA | x.NONE

# What else a word may mean, where a word of that other thing stands in its sentence.
_OTHER_SENSES: Final = {
    "slide": x.PLAYGROUND | x.MICROSCOPE, "slides": x.PLAYGROUND | x.MICROSCOPE,
    "picture": x.MIND, "pictures": x.MIND, "a picture": x.MIND, "image": x.MIND,
    "images": x.MIND, "print": x.TRACKS, "prints": x.TRACKS,
}  # fmt: skip


def may_name_file(text: str) -> bool:
    """Whether a file's name may stand in a text: a cheap look beforehand."""
    return holds_any(text, _PREFIXES)


def names_file(word: str) -> bool:
    """Whether a word in small letters is a file's name as cameras make them: `dscn0098`."""
    return _FILE.match(word) is not None


def speaks_of_photo(text: str, words: list[Word], i: int) -> bool:
    """Whether word `i` speaks of a photo: `photos`, `two shots`, `neg. 14`, `camera did it`."""
    kinds, word = words[i].kinds, words[i]
    if kinds & x.UNKNOWN:
        return names_file(word.text)
    if not kinds & _MAY_SPEAK or kinds & x.TRAP:
        return False
    if _has_another_sense(words, i) or _in_book(words, i):
        return False
    if word.text == "ph":
        return not _is_acidity(text, words, i)
    if kinds & x.LABEL:
        return i + 1 < len(words) and bool(words[i + 1].kinds & x.COLON)
    if kinds & x.PHOTO or _numbers_negative(words, i) or _camera_worked(words, i):
        return True
    if kinds & x.LENS:
        return _taken_through(words, i)
    return bool(kinds & x.WEAK) and _told_by_neighbours(words, i)


def _is_acidity(text: str, words: list[Word], i: int) -> bool:
    """`pH 6.9`, `ph of 5.5`; not `ph. 12`."""
    word, before = words[i], words[i - 1] if i else None
    if before is not None and before.kinds & (x.PART | x.FLOWER):
        return True
    return text[word.start : word.end] == "pH" or bool(_ACIDITY.match(text, word.end))


def _has_another_sense(words: list[Word], i: int) -> bool:
    """`the slide by the swings`, `a picture of it in my mind`: told by a word of the sentence."""
    elsewhere = _OTHER_SENSES.get(words[i].text, 0)
    return bool(elsewhere) and any(
        w.kinds & elsewhere and w.sentence == words[i].sentence for w in words
    )


def _in_book(words: list[Word], i: int) -> bool:
    """`the picture in my field guide`, `photos in Marrow's flora`."""
    if i + 1 >= len(words) or words[i + 1].text != "in" or not words[i].kinds & x.PHOTO:
        return False
    return any(w.kinds & x.BOOK and w.phrase == words[i].phrase for w in words[i + 2 : i + 6])


def _numbers_negative(words: list[Word], i: int) -> bool:
    """`Neg. 14/3, box 2`; not `spots: neg. 14 plants`, where it answers."""
    if words[i].text not in _NEGATIVES or (i and not words[i - 1].kinds & _PARTS_REMARKS):
        return False
    k = i + 1
    while k < len(words) and words[k].text == ".":
        k += 1
    numbered = k < len(words) and words[k].text[0].isdigit()
    return numbered and ends_at(words, k + 1)


def _camera_worked(words: list[Word], i: int) -> bool:
    """`the old box camera did the job`."""
    return bool(words[i].kinds & x.CAMERA and i + 1 < len(words) and words[i + 1].kinds & x.WORKED)


def _taken_through(words: list[Word], i: int) -> bool:
    """`taken with the telephoto`, `shot from the bank with a long lens`; not `seen with a lens`."""
    before = [w.text for w in words[:i] if w.phrase == words[i].phrase]
    if "shot" in before:
        return True
    of_camera = words[i].text != "lens" or (before and before[-1].endswith("mm"))
    return bool(of_camera) and any(text in ("taken", "took") for text in before)


def _told_by_neighbours(words: list[Word], i: int) -> bool:
    """`colour print`, `frames 3 to 5`, `shot of the lip`; not `frame`, `print` or `shot` alone."""
    word, after = words[i], words[i + 1].kinds if i + 1 < len(words) else 0
    if word.text == "shot" and after & x.THE and i + 2 < len(words):
        return bool(words[i + 2].kinds & (x.FLOWER | x.PART | x.OWN))
    telling = x.WEAK_BEFORE | x.NUMBER | x.GET | x.PLACE
    return bool(after & (x.WEAK_AFTER | x.NUMBER)) or any(
        w.kinds & telling and w.phrase == word.phrase for w in words[max(i - 3, 0) : i]
    )
