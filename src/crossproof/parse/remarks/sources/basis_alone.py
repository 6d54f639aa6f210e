"""Flowers that are said to be all there was to go on, or to have decided the name."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word, ends_at
from crossproof.parse.remarks.text.item import back

Span = tuple[int, int]

_BETWEEN: Final = x.THE | x.LIGHT | x.SAW | x.FLOWER | x.OF | x.AND | x.GO_ON
_POINTS = frozenset({"it's", "it is", "it was", "it", "twas", "was", "is"})
_CLOSES = frozenset({"else", "used", "considered", "seen", "at"})
_THATS_ALL = (["that's", "all"], ["thats", "all"], ["that is", "all"])
_SEEN_BY = frozenset({"under", "through", "at"})  # a floret under the lens
_LINKS = frozenset(
    {"is", "was", "were", "are", ":", "-", ",", "being", "provide", "provides", "provided", "form"}
)
_TO_VERB: Final = (
    x.ONLY | x.LIGHT | x.OF | x.THE | x.FLOWER | x.AND | x.PRONOUN | x.THAT | x.NUMBER | x.OWN
)


def said_alone(words: list[Word], i: int, others_stated: bool) -> Iterator[Span | None]:
    """Every way in which the flower at word `i` may be said to be the only ground."""
    yield _only_before(words, i)
    yield _only_after(words, i)
    yield _and_nothing_else(words, i)
    yield _all_there_was(words, i)
    yield _nothing_else_to_go_on(words, i)
    yield _was_the_ground(words, i)
    if not others_stated or _only_near(words, i):
        yield _spoke(words, i)
        yield _so_named(words, i)


def _only_near(words: list[Word], i: int) -> bool:
    near = words[max(i - 3, 0) : i + 4]
    return any(w.kinds & x.ONLY and w.clause == words[i].clause for w in near)


def _only_before(words: list[Word], i: int) -> Span | None:
    """`only the flowers (seen)`, `I only saw the flowers`; not `only one flower open`."""
    j, unknown, counted, saw = i - 1, 0, False, False
    while j >= 0 and not words[j].kinds & x.ONLY:
        kinds = words[j].kinds
        saw = saw or bool(kinds & x.SAW)
        counted = counted or bool(kinds & (x.COUNT | x.NUMBER))
        unknown += bool(kinds & x.UNKNOWN)
        if kinds & x.LIMIT or unknown > 1:
            return None
        if not kinds & (_BETWEEN | x.COUNT | x.NUMBER | x.UNKNOWN):
            return None
        j -= 1
    if j < 0 or words[j].phrase != words[i].phrase or words[j + 1].text == "of":
        return None
    if j and words[j - 1].kinds & (x.NOT | x.FROM) and words[j - 1].phrase == words[j].phrase:
        return (j - 1, i) if words[j - 1].text == "using" and ends_at(words, i + 1) else None
    k = i + 1
    while k < len(words) and words[k].kinds & (x.FLOWER | x.LIGHT | x.ONLY):
        k += 1
    if any(w.kinds & x.GO_ON and w.sentence == words[i].sentence for w in words[k : k + 6]):
        return j, i
    return None if counted or unknown else _behind_only(words, j, k, saw)


def _behind_only(words: list[Word], j: int, k: int, saw: bool) -> Span | None:
    """`only the flowers`, `only the flowers seen`: `only` at word `j`, what follows at word `k`."""
    if ends_at(words, k):
        return (j, k - 1) if not _others_too(words, k) else None
    if words[k].kinds & x.PREPOSITION and _parts_wanting(words, j):
        return j, k - 1
    looked = words[k].kinds & (x.SAW | x.USED)
    if looked or (saw and words[k].kinds & (x.PREPOSITION | x.AND)):
        after = k + 1 if looked else k
        if ends_at(words, after) or words[after].kinds & x.PREPOSITION:
            return j, k
    return None


def _parts_wanting(words: list[Word], j: int) -> bool:
    """`no rosette, no stem, just a flower in an envelope`."""
    here = range(max(j - 8, 1), j)
    return any(words[k].kinds & x.PART and words[k - 1].kinds & x.NOT for k in here)


def _others_too(words: list[Word], k: int) -> bool:
    """`only the flowers, leaves and stem`."""
    return k + 1 < len(words) and bool(
        words[k].kinds & x.COMMA
        and words[k + 1].kinds & x.PART
        and (k + 2 >= len(words) or words[k + 2].kinds & (x.AND | x.COMMA))
    )


def _only_after(words: list[Word], i: int) -> Span | None:
    """`flowers only (seen)`; not `flowers only just open`, `photo of flower only`."""
    k = i + 1
    while k < len(words) and words[k].kinds & (x.SAW | x.FLOWER) and k < i + 3:
        k += 1
    comma = k < len(words) and words[k].text == ","
    if comma and words[k - 1].kinds & x.SAW:
        k += 1
    elif comma and ends_at(words, k + 2) and any(" " in w.text for w in words[k + 1 : k + 2]):
        k += 1  # flower heads, nothing more
    elif comma and [w.text for w in words[k + 1 : k + 3]] in _THATS_ALL and ends_at(words, k + 3):
        return i, k + 2
    if k >= len(words) or not words[k].kinds & x.ONLY or words[k].text == "just":
        return None
    j = i - 1
    while (
        j >= 0
        and words[j].kinds & (x.THE | x.LIGHT | x.FLOWER | x.AND)
        and not (words[j].kinds & x.LIMIT)
    ):
        j -= 1
    if (
        j >= 0
        and not words[j].kinds & (x.LIMIT | x.SAW | x.NAME)
        and words[j].text not in _POINTS
        and words[j].sentence == words[i].sentence
    ):
        return None
    after = k + 1
    while after < len(words) and words[after].kinds & (x.LIGHT | x.PRONOUN):
        after += 1
    if ends_at(words, after) or words[after].kinds & (x.SAW | x.GO_ON | x.NAME | x.USED):
        return i, k
    return None


def _and_nothing_else(words: list[Word], i: int) -> Span | None:
    """`compared the flowers and looked at nothing else`; `lip measured. No other part used.`"""
    for k in range(i + 1, len(words)):
        if words[k].sentence > words[i].sentence + 1 or words[k].kinds & x.PART:
            return None
        text = words[k].text
        if words[k].kinds & x.ONLY and len(text.split()) > 2 and text.split()[-1] in _CLOSES:
            same = words[k].sentence == words[i].sentence
            return (i, k) if same or text.startswith("no other") else None
    return None


def _all_there_was(words: list[Word], i: int) -> Span | None:
    """`flowers were all I saw`, `all I have is a picture of the flower head`."""
    for k in range(max(i - 9, 0), min(i + 7, len(words))):
        if not words[k].kinds & x.ALL or words[k].sentence != words[i].sentence:
            continue
        first, last = min(i, k), max(i, k)
        between = words[first + 1 : last]
        if any(w.kinds & (x.PART | x.STATE | x.BUT) for w in between):
            return None
        linked = any(w.text in _LINKS for w in between)
        after = words[k + 1].kinds if k + 1 < len(words) else x.STOP
        to_name = words[k + 1 : k + 2] and words[k + 1].text == "to" and not _names(words, k + 2)
        if k > i and (after == x.UNKNOWN or to_name):
            return None
        return (first, last) if linked or not between else None
    return None


def _names(words: list[Word], k: int) -> bool:
    """`all I needed to name it`."""
    return k < len(words) and bool(words[k].kinds & (x.NAME | x.WEAK_NAME))


def _nothing_else_to_go_on(words: list[Word], i: int) -> Span | None:
    """`nothing to go on but the bloom`, `had just a floret to work with`."""
    sentence = words[i].sentence
    goes = [
        k for k, w in enumerate(words) if w.kinds & x.GO_ON and w.sentence == sentence
    ]  # fmt: skip
    for g in goes:
        first, last = min(i, g), max(i, g)
        if any(w.kinds & x.PART for w in words[first:last]):
            continue
        nothing = [k for k in range(first) if words[k].kinds & x.NOTHING]
        if g < i and nothing and any(w.kinds & x.BUT_FOR for w in words[g + 1 : i]):
            return nothing[-1], i
        if g < i and g and any(w.kinds & x.ONLY for w in words[max(g - 2, 0) : i]):
            return g, i
        if g > i and any(
            w.kinds & x.ONLY or w.text in ("had", "having") for w in words[max(i - 6, 0) : i]
        ):
            return i, g
        if nothing and g > i and any(w.kinds & x.BUT_FOR for w in words[nothing[-1] : i]):
            return nothing[-1], g
    return None


def _was_the_ground(words: list[Word], i: int) -> Span | None:
    """`lip pattern used for ID`, `it was the lip that I used`, `what decided me was the lip`."""
    k = i + 1
    that = False
    if k + 1 < len(words) and words[k].kinds & x.LIGHT and words[k + 1].text == "what":
        named = [
            m for m in range(k + 2, min(k + 5, len(words))) if words[m].kinds & (x.NAME | x.USED)
        ]
        return (i, named[0]) if named else None  # the flowers were what I named it by
    if k + 1 < len(words) and words[k].kinds & x.NOT and words[k + 1].kinds & x.PART:
        k += 2  # flowers rather than leaves
    while k < len(words) and words[k].kinds & _TO_VERB and not words[k].kinds & x.LIMIT:
        that = that or words[k].text in ("that", "which")
        k += 1
    if k < len(words) and words[k].phrase == words[i].phrase:
        if words[k].kinds & x.GO_ON and words[k].text.startswith(("used", "for")):
            return i, k
        first = first_of_phrase(words, i)
        opens = words[first].text in ("it", "it's", "its", "twas") or first == i - 1
        if that and opens and words[k].kinds & (x.USED | x.SAW):
            return i, k
    first = first_of_phrase(words, i)
    if words[first].text == "what":
        said = [j for j in range(first, i) if words[j].kinds & (x.NAME | x.SPEAKS)]
        if said and any(w.text in ("was", "is", "were", "are") for w in words[said[0] : i]):
            return first, i
    return None


def first_of_phrase(words: list[Word], i: int) -> int:
    while i and words[i - 1].phrase == words[i].phrase and not words[i - 1].kinds & x.LIMIT:
        i -= 1
    return i


def _spoke(words: list[Word], i: int) -> Span | None:
    """`the lip alone persuaded me`, `flower colour suggests hybrid`, `lip says hybrid`."""
    j = back(words, i - 1, x.THE | x.OF | x.LIGHT | x.FLOWER)
    if (
        j >= 1
        and words[j].kinds & x.AND
        and any(w.kinds & x.PART for w in words[max(j - 3, 0) : j])
    ):
        return None
    unknown = 0
    start = i + 1
    aside = words[start : start + 3]
    if len(aside) == 3 and aside[0].text == aside[2].text == "," and aside[1].kinds & x.ONLY:
        start += 3  # the lip, nothing more, led me to the name
    for k in range(start, min(i + 8, len(words))):
        kinds = words[k].kinds
        if kinds & x.SPEAKS:
            if any(w.kinds & x.OTHER and not w.kinds & x.OWN for w in words[k + 1 : k + 4]):
                return None  # the lip suggests a parent
            if not kinds & x.WEAK_SPEAKS:
                return i, k
            near = words[k + 1 : k + 5]
            aimed = any(w.kinds & (x.TOLD | x.NAME | x.WEAK_NAME | x.GO_ON) for w in near)
            let = any(w.text == "let" for w in words[max(i - 3, 0) : i])
            enough = (words[k].text in ("enough", "decided") or let) and ends_at(words, k + 1)
            return (i, k) if aimed or enough else None
        if kinds & x.LIMIT or kinds & (x.PART | x.NOT | x.NEVER):
            return None
        if not kinds & _TO_VERB:
            unknown += 1
            placed = kinds & x.PREPOSITION and words[k].text not in _SEEN_BY
            if unknown > 3 - (not kinds & x.PREPOSITION) or placed or kinds & x.STATE:
                return None
    return None


def _so_named(words: list[Word], i: int) -> Span | None:
    """`lip index 1.3, so named`; not `flowers over, so named on the leaves`."""
    for k in range(i + 1, len(words) - 1):
        if words[k].sentence != words[i].sentence or words[k].kinds & x.PART:
            return None
        named = words[k + 1].kinds & (x.NAME | x.WEAK_NAME)
        if words[k].kinds & x.SO and named:
            n = k + 2
            while n < len(words) and words[n].kinds & (x.OWN | x.WEAK_NAME | x.NAME | x.THE):
                n += 1
            return (i, k + 1) if ends_at(words, n) else None
    return None
