"""Whether the words around a photo deny it, and whether they leave it open."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

from crossproof.parse.remarks import lexicon as x
from crossproof.parse.remarks.lexicon import Word

Polarity = Literal["stated", "denied", "open"]


class Reading(NamedTuple):
    """How a photo is spoken of, and the first and last word that say it."""

    polarity: Polarity
    first: int
    last: int


_ORGANS: Final = x.PART | x.FLOWER
_PASSED_BEFORE: Final = (
    x.LIGHT | x.THE | x.COUNT | x.GET | x.OF | x.OWN | x.PRONOUN | x.OTHER | x.NUMBER | x.PHOTO
    | x.WEAK | x.OR | x.PLACE | x.NOT
)  # fmt: skip
_PASSED_AFTER: Final = (
    x.LIGHT | x.KEPT | x.GET | x.THE | x.COUNT | x.PRONOUN | x.TOO | x.OF | x.OWN | x.NUMBER
    | x.PHOTO | x.PREPOSITION | x.ONLY | x.OTHER | x.PLACE | x.VERB
)  # fmt: skip
_CROSSING: Final = x.PRONOUN | x.LIGHT | x.TOO | x.COUNT
_MOST_UNKNOWN_BEFORE = 3
_MOST_UNKNOWN_AFTER = 4
_TIMES = frozenset({"before", "after", "until", "when"})
_SHOWS = frozenset({"shows", "show", "showed", "showing", "to show", "depicts"})
_NO = frozenset({"no", "not", "n0", "never", "without", "sans"})


def denied_before(words: list[Word], i: int) -> Reading | None:
    """`no photo`, `forgot to take a photo`, `neither collected nor photographed`."""
    unknown = 0
    for j in range(i - 1, -1, -1):
        kinds = words[j].kinds
        if words[j].sentence != words[i].sentence:
            return None
        if kinds & (x.NOT | x.NONE | x.DENY):
            return _governed(words, j, i)
        if not _lets_through(words, j, i):
            return None
        unknown += not kinds & (_PASSED_BEFORE | _ORGANS | x.COMMA | x.AND | x.PREPOSITION)
        if unknown > _MOST_UNKNOWN_BEFORE:
            return None
    return None


def _lets_through(words: list[Word], j: int, i: int) -> bool:
    """Whether a denial before word `j` may reach the photo at word `i` behind it."""
    kinds, following = words[j].kinds, words[j + 1].kinds
    if kinds & x.COMMA and not kinds & x.HARD:
        return _in_or_list(words, j, i)
    if kinds & x.OR and not (kinds & x.BREAK and _spaced(words, j)):
        return True
    if kinds & _ORGANS:
        return bool(following & (x.PHOTO | x.WEAK | x.OR | x.AND))
    if kinds & x.AND and not kinds & x.HARD:
        return bool(following & _ORGANS)
    if kinds & (x.HARD | x.STATE) or (kinds & x.SENT and not kinds & x.GET):
        return False
    return not kinds & x.PREPOSITION or words[j].text in ("to", "for", "with", "on")


def _governed(words: list[Word], j: int, i: int) -> Reading | None:
    """What the denial at word `j` makes of the photo at word `i`."""
    between = words[j + 1 : i]
    before = words[j - 1] if j else None
    if before is not None and _is_answer(words, j, i):
        return None
    if before is not None and before.phrase == words[j].phrase and between:
        of_part = before.kinds & (_ORGANS | x.STATE) and not before.kinds & x.LIMIT
        if of_part and not all(w.kinds & (x.LIGHT | x.THE | x.COUNT | x.GET) for w in between):
            return None
    if between and between[0].kinds & x.PLENTY:
        return Reading("stated", j, i)
    if between and between[0].kinds & x.ONLY and words[j].kinds & x.NOT:
        return Reading("stated", j, i)
    if any(w.kinds & x.NEED for w in between):
        return Reading("open", j, i)
    return Reading("denied", j, i)


def _is_answer(words: list[Word], j: int, i: int) -> bool:
    """`Spots: none photo: yes`: the denial answers what stands before it."""
    before = words[j - 1]
    if before.kinds & (x.COLON | x.ASK) or before.text in ("-", "–"):
        if words[j].text != "no" or j + 1 != i:
            return words[j].text in ("no", "n", "0", "none", "nil", "not", "absent", "neg")
        after = words[i + 1].kinds if i + 1 < len(words) else 0
        return bool(after & (x.COLON | x.ASK | x.YES | x.NONE))
    return bool(
        before.kinds & (x.STATE | _ORGANS)
        and words[j].kinds & x.NONE
        and not words[j].kinds & x.DENY
        and words[j].text not in _NO
    )


def _in_or_list(words: list[Word], j: int, i: int) -> bool:
    """`no sketch, photo or specimen`: whether the comma `j` stands in a list held by `or`."""
    near = words[j + 1 : i + 3]
    return any(w.kinds & x.OR and not w.kinds & x.BREAK for w in near) and not any(
        w.kinds & x.HARD for w in near
    )


def _spaced(words: list[Word], j: int) -> bool:
    """A slash between spaces parts the fields of a label: `stem no / photo`."""
    return words[j - 1].end < words[j].start if j else True


def denied_after(words: list[Word], i: int) -> Reading | None:
    """`photo: none`, `photos were lost`, `took pictures but they are useless`."""
    crossed = slot = of = False
    unknown = 0
    for k in range(i + 1, len(words)):
        word, kinds = words[k], words[k].kinds
        if kinds & (x.SPOILT | x.BLURRED) and (not kinds & x.NOT or _ends(words, k + 1)):
            return Reading("denied", i, k) if _spoils(words, k, of, crossed) else None
        if kinds & (x.NOT | x.NONE):
            return _answer(words, i, k, slot, crossed)
        if kinds & x.YES and slot and not crossed:
            return Reading("stated", i, k)
        if kinds & x.LIMIT:
            if not (opens := _opens_answer(words, i, k)) and (
                word.text == "/" or (kinds & x.COLON and slot)
            ):
                return None
            slot, crossed = slot or opens, crossed or not opens
        elif not _still_of_photo(words, i, k, of, crossed):
            return None
        else:
            unknown += not kinds & (_PASSED_AFTER | _ORGANS)
            if unknown > _MOST_UNKNOWN_AFTER:
                return None
        of = of or word.text == "of"
    return None


def _opens_answer(words: list[Word], i: int, k: int) -> bool:
    """Whether the mark `k` sets a place for an answer apart: `photo:`, `photo (`, `[Photo]`."""
    kinds, text = words[k].kinds, words[k].text
    if text in ("]", ")"):
        return k == i + 1
    return bool(kinds & (x.COLON | x.ASK | x.OPEN)) or text in ("-", "–", "—")


def _still_of_photo(words: list[Word], i: int, k: int, of: bool, crossed: bool) -> bool:
    """Whether what follows word `k` may still be said of the photo at word `i`."""
    kinds = words[k].kinds
    if crossed:
        return bool(kinds & _CROSSING)
    if kinds & x.AND:
        return not of
    if kinds & _ORGANS:
        return of or bool(words[k - 1].kinds & (x.OF | x.THE) or words[i].kinds & x.VERB)
    return words[k].text not in _SHOWS and words[k].text not in _TIMES


def _ends(words: list[Word], k: int) -> bool:
    return k >= len(words) or bool(words[k].kinds & x.LIMIT)


def _spoils(words: list[Word], k: int, of: bool, crossed: bool) -> bool:
    """Whether being lost or blurred is said of the photo itself."""
    before = words[k - 1].kinds
    if words[k].kinds & x.SPOILT:
        return not of or crossed or bool(before & (x.LIGHT | x.TOO | x.PHOTO | x.OWN))
    return bool(before & x.TOO) or (_ends(words, k + 1) and not crossed)


def _answer(words: list[Word], i: int, k: int, slot: bool, crossed: bool) -> Reading | None:
    """What the denial at word `k`, behind the photo, says of it."""
    n = k + 1
    while n < len(words) and words[n].kinds & (x.LIGHT | x.TOO) and not words[n].kinds & x.KEPT_NOT:
        n += 1
    following = words[n].kinds if n < len(words) else x.STOP
    next_one = words[k + 1].kinds if k + 1 < len(words) else x.STOP
    if words[k].text in ("no", "nos", "n") and not slot and _numbered(words, k + 1):
        return None  # photo no. 12
    if crossed:
        kept = following & x.KEPT_NOT and _ends(words, n + 1)
        return Reading("denied", i, min(n, len(words) - 1)) if kept else None
    if words[k].kinds & x.NOT and following & x.KEPT_NOT:
        return Reading("denied", i, min(n, len(words) - 1))
    ends = bool(next_one & x.LIMIT) or (slot and len(words[k].text) == 1)
    if words[k].kinds & x.NONE and (ends or following & (x.STOP | x.BREAK)):
        return Reading("denied", i, k)
    if words[k].kinds & x.NONE and slot and n < len(words) and words[n].kinds & (_ORGANS | x.PHOTO):
        return Reading("denied", i, k)
    return None


def _numbered(words: list[Word], k: int) -> bool:
    while k < len(words) and words[k].kinds & (x.STOP | x.COLON):
        k += 1
    return k < len(words) and bool(words[k].kinds & x.NUMBER)


def left_open(words: list[Word], i: int) -> Reading | None:
    """`photo needed`, `photo?`, `Photo: `, `Photo Y / N`; an answer behind settles it."""
    if printed := _printed(words, i):
        return printed
    after = words[i + 1] if i + 1 < len(words) else None
    behind = words[i + 2] if i + 2 < len(words) else None
    if after is not None and after.kinds & (x.COLON | x.ASK | x.OPEN):
        blank = behind is None or bool(behind.kinds & (x.BLANK | x.STOP | x.BREAK | x.ASK))
        definite = i and words[i - 1].kinds & x.DEFINITE
        if blank and not definite and not (behind is not None and behind.kinds & (x.YES | x.NONE)):
            return Reading("open", i, i)
    if i > 1 and words[i - 1].text == "]" and words[i - 2].text == "[":
        return Reading("open", i, i)
    if question := _asked(words, i):
        return question
    return Reading("open", i, i) if _wanted(words, i) else None


def _printed(words: list[Word], i: int) -> Reading | None:
    """`photo Y / N`: a form's printed choice is no answer, what stands behind it is."""
    k = i + 1
    while k < len(words) and k < i + 4 and words[k].kinds & (x.OPEN | x.KEPT | x.COLON | x.ASK):
        k += 1
    if k + 2 >= len(words) or words[k + 1].text not in ("/", "or"):
        return None
    first, second = words[k].kinds, words[k + 2].kinds
    choice = (first & x.YES and second & x.NONE) or (first & x.NONE and second & x.YES)
    if not choice:
        return None
    k += 3
    while k < len(words) and (words[k].text in (")", "]", ":", "=", "?")):
        k += 1
    if k < len(words) and words[k].kinds & (x.YES | x.NONE):
        return Reading("stated" if words[k].kinds & x.YES else "denied", i, k)
    return Reading("open", i, i)


def _asked(words: list[Word], i: int) -> Reading | None:
    """A question that ends behind the photo, and the answer to it."""
    k = i + 1
    while (
        k < len(words)
        and words[k].sentence == words[i].sentence
        and not (words[k].kinds & (x.ASK | x.STOP))
    ):
        k += 1
    if k >= len(words) or not words[k].kinds & x.ASK:
        return None
    answer = words[k + 1].kinds if k + 1 < len(words) else 0
    ends = k + 2 >= len(words) or bool(words[k + 2].kinds & x.LIMIT) or len(words[k + 1].text) == 1
    if answer & x.YES and (ends or words[k + 1].text == "yes"):
        return Reading("stated", i, k + 1)
    if answer & x.NONE and ends:
        return Reading("denied", i, k + 1)
    first = i
    while first and words[first - 1].sentence == words[i].sentence:
        first -= 1
    definite = i and words[i - 1].kinds & x.DEFINITE and words[i - 1].text != "a"
    asks = words[first].kinds & x.QUESTION or k <= i + 2
    return Reading("open", i, i) if asks and not definite else None


def _wanted(words: list[Word], i: int) -> bool:
    """`photo needed`, `please photograph`, `a photo would help`; not `pics available if wanted`."""
    clause = words[i].clause
    if any(w.kinds & x.GRANTED and w.sentence == words[i].sentence for w in words):
        return False
    definite = i and words[i - 1].kinds & x.DEFINITE
    for j in range(i - 1, max(i - 6, -1), -1):
        if words[j].clause != clause or words[j].kinds & x.LIMIT:
            break
        if words[j].kinds & x.SENT:
            break
        if words[j].kinds & x.WANT:
            return not definite
    for k in range(i + 1, min(i + 5, len(words))):
        kinds = words[k].kinds
        if words[k].clause != clause or kinds & x.LIMIT:
            break
        if kinds & x.WANT:
            return True
    return False
