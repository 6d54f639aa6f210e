"""Whether the words around a photo deny it."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word, ends_at
from crossproof.parse.remarks.text.item import back

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
_CROSSING: Final = x.PRONOUN | x.LIGHT | x.TOO | x.COUNT | x.MEDIUM | x.THE
_MOST_UNKNOWN_BEFORE = 3
_MOST_UNKNOWN_AFTER = 4
_TIMES = frozenset({"before", "after", "until", "when"})
_SHOWS = frozenset({"shows", "show", "showed", "showing", "to show", "depicts"})
_BEFORE_NUMBER = frozenset({"no", "nos", "n", "neg", "negative", "negatives"})
_NO = frozenset({"no", "not", "n0", "never", "without", "sans"})


def denied_before(words: list[Word], i: int) -> Reading | None:
    """`no photo`, `forgot to take a photo`, `neither collected nor photographed`."""
    if (too := _too_for(words, i)) >= 0:
        return Reading("denied", too, i)
    unknown = 0
    for j in range(i - 1, -1, -1):
        kinds = words[j].kinds
        if words[j].sentence != words[i].sentence:
            return None
        if kinds & (x.NOT | x.NONE | x.DENY):
            return _governed(words, j, i)
        if words[j].text == "too" and any(w.text in ("to", "for") for w in words[j:i]):
            return Reading("denied", j, i)
        if not _lets_through(words, j, i):
            return None
        unknown += not kinds & (_PASSED_BEFORE | _ORGANS | x.COMMA | x.AND | x.PREPOSITION)
        if unknown > _MOST_UNKNOWN_BEFORE:
            return None
    return None


def _too_for(words: list[Word], i: int) -> int:
    """The `too` of `too dark under the trees for a photo`, `raining too hard for …`; or -1."""
    k = back(words, i - 1, x.THE | x.COUNT | x.QUALITY | x.BETTER, first=0)
    if k < 2 or words[k].text != "for":
        return -1
    here = (j for j in range(k - 2, -1, -1) if words[j].phrase == words[i].phrase)
    return next((j for j in here if words[j].text == "too"), -1)


def _lets_through(words: list[Word], j: int, i: int) -> bool:
    """Whether a denial before word `j` may reach the photo at word `i` behind it."""
    kinds, following = words[j].kinds, words[j + 1].kinds
    if kinds & x.COMMA and not kinds & x.HARD:
        return _in_or_list(words, j, i)
    if kinds & x.OR and not (kinds & x.BREAK and _spaced(words, j)):
        return True
    if kinds & _ORGANS:
        return bool(following & (x.PHOTO | x.WEAK | x.OR | x.AND))
    if kinds & x.AND and not kinds & (x.HARD | x.PREPOSITION):
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
    listed = words[j].kinds & x.OR  # neither leaves nor stem photographed
    if before is not None and before.phrase == words[j].phrase and between and not listed:
        of_part = before.kinds & (_ORGANS | x.STATE) and not before.kinds & x.LIMIT
        if of_part and not all(w.kinds & (x.LIGHT | x.THE | x.COUNT | x.GET) for w in between):
            return None
    if before is not None and before.kinds & x.NOT and before.phrase == words[j].phrase:
        return Reading("stated", j - 1, i)  # no lack of photos, not without a photo
    if between and _no_denial(words[j], between):
        return Reading("stated", j, i)
    if words[j].kinds & x.ABSTAIN and any(w.kinds & x.UNKNOWN for w in between):
        return None  # refrained from picking it to photograph it
    if any(w.kinds & x.NEED for w in between):
        return Reading("open", j, i)
    return Reading("denied", j, i)


def _no_denial(denial: Word, between: list[Word]) -> bool:
    """`no shortage of photos`, `not just one photo`, `not a good photo`, `without the photo`."""
    following = between[0].kinds
    if following & (x.PLENTY | x.ONLY) or any(w.kinds & x.BETTER for w in between):
        return True
    if denial.text == "without" and following & x.DEFINITE:
        return True
    return denial.text == "not" and any(w.kinds & x.QUALITY for w in between)


def _is_answer(words: list[Word], j: int, i: int) -> bool:
    """`Spots: none photo: yes`: the denial answers what stands before it."""
    before, behind = words[j - 1], words[i + 1 : i + 2]
    asked = behind and behind[0].kinds & (x.COLON | x.ASK)
    if words[i].kinds & x.VERB and j + 1 == i and not asked:
        return False  # spotted - not photographed
    if before.kinds & (x.COLON | x.ASK) or before.text in ("-", "–"):
        if words[j].text != "no" or j + 1 != i:
            return words[j].text in ("no", "n", "0", "none", "nil", "not", "absent", "neg")
        after = words[i + 1].kinds if i + 1 < len(words) else 0
        return bool(after & (x.COLON | x.ASK | x.YES | x.NONE))
    if not words[j].kinds & (x.NOT | x.DENY) and any(w.kinds & x.UNKNOWN for w in words[j:i]):
        return True
    unknown = before.kinds & x.UNKNOWN and not words[j].kinds & (x.NOT | x.DENY)
    return bool(unknown) or bool(
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
        if kinds & (x.SPOILT | x.BLURRED) and (not kinds & x.NOT or ends_at(words, k + 1)):
            return Reading("denied", i, k) if _spoils(words, k, of, crossed) else None
        if kinds & (x.NOT | x.NONE):
            return _answer(words, i, k, slot, crossed)
        if kinds & x.YES and slot and not crossed:
            return Reading("stated", i, k)
        if kinds & x.COMMA and slot and words[k - 1].kinds & x.LIGHT:
            continue  # photos: sorry, none
        if kinds & x.LIMIT:
            if not (opens := _opens_answer(words, i, k)) and (
                word.text == "/" or (kinds & x.COLON and slot)
            ):
                return None
            slot, crossed = slot or opens, crossed or not opens
        elif (slot and kinds & x.STATE) or not _still_of_photo(words, i, k, of, crossed):
            return None  # photo of it - stem solid - leaf spots none
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
    if kinds & x.COMMA and k == i + 1:  # Photo, no.
        starts = not i or bool(words[i - 1].kinds & (x.STOP | x.BREAK))
        return (
            starts and k + 1 < len(words) and len(words[k + 1].text) < 5 and ends_at(words, k + 2)
        )
    if text == "/" and k == i + 1 and not _spaced(words, k):  # leaf/plain, photo/none
        return k + 1 < len(words) and bool(words[k + 1].kinds & x.NONE) and ends_at(words, k + 2)
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


def _spoils(words: list[Word], k: int, of: bool, crossed: bool) -> bool:
    """Whether being lost or blurred is said of the photo itself."""
    before = words[k - 1].kinds
    if words[k].text.endswith("find") and not ends_at(words, k + 1):
        return False  # went through the photos and can't find a spot
    if words[k].kinds & x.SPOILT:
        return not of or crossed or bool(before & (x.LIGHT | x.TOO | x.PHOTO | x.OWN))
    return bool(before & x.TOO) or (ends_at(words, k + 1) and not crossed)


def _answer(words: list[Word], i: int, k: int, slot: bool, crossed: bool) -> Reading | None:
    """What the denial at word `k`, behind the photo, says of it."""
    n = k + 1
    while n < len(words) and words[n].kinds & (x.LIGHT | x.TOO) and not words[n].kinds & x.KEPT_NOT:
        n += 1
    following = words[n].kinds if n < len(words) else x.STOP
    next_one = words[k + 1].kinds if k + 1 < len(words) else x.STOP
    if words[k].text in _BEFORE_NUMBER and not slot and _numbered(words, k + 1):
        return None  # photo no. 12, photo neg. 3
    if words[k].text == "n" and words[k - 1].text == "by":
        return None  # photo by N. Hibbald
    another = any(w.kinds & x.UNKNOWN for w in words[i + 1 : k])
    if another and not slot and not words[k].kinds & x.NOT:
        return None  # photo 1, specimen nil
    if crossed:
        kept = following & x.KEPT_NOT and ends_at(words, n + 1)
        return Reading("denied", i, min(n, len(words) - 1)) if kept else None
    if words[k].kinds & x.NOT and following & x.KEPT_NOT:
        return Reading("denied", i, min(n, len(words) - 1))
    ends = bool(next_one & x.LIMIT) or (slot and len(words[k].text) == 1)
    ends = ends or (k == i + 1 and not words[k].kinds & x.NOT and not next_one & x.OF)
    if words[k].kinds & x.NONE and (ends or following & (x.STOP | x.BREAK)):
        return Reading("denied", i, k)
    kept = n < len(words) and words[n].kinds & x.KEPT and ends_at(words, n + 1)
    if words[k].text == "none" and slot and kept:
        return Reading("denied", i, n)  # image: none available
    if words[k].kinds & x.NONE and slot and n < len(words) and words[n].kinds & (_ORGANS | x.PHOTO):
        return None if _denies_marks(words, k, n) else Reading("denied", i, k)
    return None


def _denies_marks(words: list[Word], k: int, n: int) -> bool:
    """`photo taken - no leaf spots`: no answer to the photo."""
    marks = words[k].text in _NO and n + 1 < len(words) and words[n + 1].kinds & x.STATE
    return bool(marks) and (n + 2 >= len(words) or not words[n + 2].kinds & (x.COLON | x.ASK))


def _numbered(words: list[Word], k: int) -> bool:
    while k < len(words) and words[k].kinds & (x.STOP | x.COLON):
        k += 1
    return k < len(words) and bool(words[k].kinds & x.NUMBER)


def tried_in_vain(words: list[Word], i: int) -> Reading | None:
    """`tried to get a picture, too windy`, `wanted a photo but couldn't`."""
    first = i
    while first and words[first - 1].phrase == words[i].phrase:
        first -= 1
    tried = next((j for j in range(first, i) if words[j].kinds & x.TRIED), None)
    if tried is None:
        return None
    for k in range(i + 1, len(words)):
        if words[k].kinds & x.LIMIT:
            behind = words[k + 1 : k + 3]
            vain = any(w.text == "too" or w.kinds & (x.NOT | x.SPOILT) for w in behind)
            return Reading("denied", tried, k + 1) if vain else None
    return None
