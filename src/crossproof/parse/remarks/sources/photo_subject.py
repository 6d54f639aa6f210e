"""What a photo is of: the plant recorded, a part of it, or something else."""

from __future__ import annotations

from typing import Final, Literal

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word
from crossproof.parse.remarks.text.item import back

Subject = Literal["plant", "part", "else"]

_THINGS: Final = x.OWN | x.OTHER | x.PART | x.FLOWER | x.PLACE
_TO_OF: Final = (
    x.LIGHT | x.KEPT | x.GET | x.NUMBER | x.COUNT | x.ONLY | x.PREPOSITION | x.THE | x.UNKNOWN
    | x.PRONOUN | x.PART | x.FLOWER
)  # fmt: skip
_BEFORE_OF: Final = x.LIGHT | x.KEPT | x.GET | x.PHOTO | x.ONLY | x.NUMBER | x.COUNT | x.WEAK
_FARTHEST_OF = 6


def subject(words: list[Word], i: int) -> Subject:
    """Return what the photo that word `i` speaks of shows; the plant where nothing is said."""
    if _is_verb(words, i):
        behind, _ = _nouns(words, i + 1)
        return _decide(behind or _passive(words, i))
    of = _of(words, i)
    if of:
        if words[of - 1].kinds & x.NOT and words[of].text == "of":
            return "else"  # a photo, but not of this plant
        return _decide(_nouns(words, of + 1)[0])
    return _decide(_compound(words, i) or _passive(words, i))


def _is_verb(words: list[Word], i: int) -> bool:
    """`photographed the lip`, `did not photograph it`; not `a photograph`."""
    noun = words[i].text == "photograph" and i > 0 and words[i - 1].kinds & x.THE
    return bool(words[i].kinds & x.VERB) and not noun


def _decide(kinds: int) -> Subject:
    if kinds & x.OWN:
        return "plant"
    if kinds & x.OTHER:
        return "else"
    if kinds & (x.PART | x.FLOWER):
        return "part"
    return "else" if kinds & x.PLACE else "plant"


def _of(words: list[Word], i: int) -> int:
    """The `of` or `shows` of the photo at word `i`, or 0."""
    for k in range(i + 1, min(i + 1 + _FARTHEST_OF, len(words))):
        kinds = words[k].kinds
        if kinds & x.OF:
            return k if words[k - 1].kinds & (_BEFORE_OF | x.NOT | x.SPOILT) else 0
        if not kinds & (_TO_OF | x.NOT):
            return 0
    return 0


def _nouns(words: list[Word], k: int) -> tuple[int, int]:
    """The roles of the things named from word `k` on, and where they end."""
    found = 0
    while k < len(words):
        kinds = words[k].kinds
        if _points_on(words, k):
            pass
        elif kinds & _THINGS:
            found |= kinds & _THINGS
        elif kinds & (x.COMMA | x.AND | x.OR) and not kinds & x.STOP:
            ahead = words[k + 1].kinds if k + 1 < len(words) else 0
            if not found or not ahead & (_THINGS | x.THE | x.OF) or _new_clause(words, k):
                break
        elif kinds & (x.LIMIT | x.PREPOSITION | x.NOT) or (kinds & x.LIGHT and found):
            break
        k += 1
    return found, k


def _new_clause(words: list[Word], k: int) -> bool:
    """`of the parent, the hybrid was not`: the comma at `k` opens a clause and no list."""
    if not words[k].kinds & x.COMMA:
        return False
    k += 1
    while k < len(words) and words[k].kinds & (_THINGS | x.THE):
        k += 1
    return k < len(words) and bool(words[k].kinds & (x.LIGHT | x.NOT))


def _points_on(words: list[Word], k: int) -> bool:
    """`its neighbour`, `these leaves`: the word says whose or which, the next one what."""
    if not words[k].kinds & x.THE or not words[k].kinds & x.OWN or k + 1 >= len(words):
        return False
    return bool(words[k + 1].kinds & (_THINGS & ~x.OWN))


def _passive(words: list[Word], i: int) -> int:
    """What stands before `photographed` as its subject: `neighbouring fuchsii photographed`."""
    if not _is_verb(words, i):
        return 0
    first = i
    while (
        first
        and words[first - 1].phrase == words[i].phrase
        and not (words[first - 1].kinds & x.LIMIT)
    ):
        first -= 1
    found = 0
    for word in words[first:i]:
        if word.kinds & x.PREPOSITION:
            break
        found |= word.kinds & _THINGS
    return found


def _compound(words: list[Word], i: int) -> int:
    """`habitat photo`, `fuchsii photos`: the thing stands right before the photo."""
    if not i or words[i - 1].phrase != words[i].phrase:
        return 0
    kinds = words[i - 1].kinds & _THINGS
    j = back(words, i - 2, x.THE | x.LIGHT | x.COUNT)
    behind_preposition = j >= 0 and words[j].kinds & (x.PREPOSITION | x.AND)
    if behind_preposition and words[j].phrase == words[i].phrase:
        return 0
    return kinds & ~x.OWN if kinds & x.OTHER else kinds
