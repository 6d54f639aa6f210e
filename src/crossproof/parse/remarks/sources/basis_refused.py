"""What takes back that a name rests on flowers alone: a denial, a condition, another ground."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.basis_together import denials
from crossproof.parse.remarks.sources.lexicon import Word, ends_at
from crossproof.parse.remarks.text.item import back

_FAR = ("anything", "far ", "a far cry", "more than")
_NEARLY = frozenset({"almost", "nearly", "wrongly", "mistakenly"})
_REFUTED = frozenset({"overturned", "overruled", "contradicted", "refuted", "disproved"})
_THEN = ("then", "later", "afterwards", "subsequently")
_ONLY_CAN = frozenset({"can", "could", "cannot"})
_TO_PART: Final = x.THE | x.LIGHT | x.OWN | x.COUNT | x.OTHER | x.UNKNOWN | x.STATE | x.OF


def refused(words: list[Word], span: tuple[int, int], flower: int) -> bool:
    """Whether `span`, which names the flower at word `flower`, is taken back."""
    first, last = span
    start = first
    while (
        start
        and words[start - 1].phrase == words[first].phrase
        and not (words[start - 1].kinds & x.LIMIT)
        and not (start == first and words[start - 1].kinds & x.AND)
    ):
        start -= 1
    if first and words[first].kinds & x.NAME and words[first - 1].text in _NEARLY:
        return True
    if any(_takes_back(words, j, flower) for j in range(start, last + 1)):
        return True
    if _taken_back_behind(words, last) or _anything_but(words, start, flower):
        return True
    return contradicted(words, (start, last), flower)


def contradicted(words: list[Word], span: tuple[int, int], flower: int) -> bool:
    """Whether `span` is asked, of another record, or the name rests on another part as well."""
    first, last = span
    if _asked(words, last) or _part_joined(words, flower):
        return True
    if not words[last].kinds & x.PART and _part_joined(words, last):
        return True
    if _of_an_earlier_record(words, first, last):
        return True
    only = any(w.kinds & x.ONLY for w in words[max(first - 1, 0) : last + 2])
    return not only and (_another_ground(words) or _others_checked(words, last))


def _anything_but(words: list[Word], start: int, flower: int) -> bool:
    """`anything but a flower-only name`, `a far cry from a flower-only ID`."""
    before = words[max(start - 1, 0) : flower]
    if any(w.text == "had" and n.text in ("i", "we") for w, n in pairwise(before)):
        return False  # had I gone by more than the flowers: I had not
    return any(w.text.startswith(_FAR) and w.kinds & (x.BEYOND | x.BUT_FOR) for w in before)


def _of_an_earlier_record(words: list[Word], start: int, last: int) -> bool:
    """`last year's plant was named on flowers alone; this time leaf and stem were looked at`."""
    here = [w for w in words[start : last + 1] if w.kinds & (x.EARLIER | x.OTHER)]
    return bool(here) and any(w.kinds & x.PART for w in words[last + 1 :])


def _takes_back(words: list[Word], j: int, flower: int) -> bool:
    kinds = words[j].kinds
    if kinds & x.ONLY or not kinds & (x.NOT | x.NEVER):
        return False
    if kinds & x.NEVER and not kinds & x.NOT:
        only = any(w.kinds & x.ONLY or "only" in w.text for w in words[max(j - 3, 0) : j + 3])
        return not (only and words[j].text in _ONLY_CAN) and not _of_a_part(words, j, flower)
    if kinds & (x.NOTHING | x.NONE) and words[j].text in ("nothing", "little"):
        return False
    k = j + 1
    while k < len(words) and words[k].kinds & (x.THE | x.LIGHT) and k < j + 3:
        k += 1
    if k < flower and words[k].kinds & (x.LOOK | x.USED):  # without looking at the leaves
        k += 1 + (words[k + 1].text == "at")
    following = words[k].kinds if k < len(words) else x.STOP
    if j > flower:
        return not following & x.PART  # flowers rather than leaves
    if _of_a_part(words, j, flower):
        return False
    return k > flower or not following & (x.PART | x.SAW | x.UNLOOKED & ~x.NOT)


def _of_a_part(words: list[Word], j: int, flower: int) -> bool:
    """`not wishing to cut the stem I named it by the lip`: the denial at word `j` is of a part."""
    for k in range(j + 1, min(j + 6, flower)):
        if words[k].kinds & x.PART:
            return True
        if words[k].kinds & (x.NAME | x.WEAK_NAME | x.FROM | x.LIMIT | x.SPEAKS):
            return False
    return False


def _taken_back_behind(words: list[Word], last: int) -> bool:
    """`flowers alone would not do`, `on the flowers alone is unsafe`."""
    for k in range(last + 1, min(last + 5, len(words))):
        kinds = words[k].kinds
        if words[k].text in _REFUTED:
            return True
        if kinds & (x.LIMIT | x.PREPOSITION | x.PART) and not kinds & x.NEVER:
            return False
        if kinds & (x.NOT | x.NEVER):
            following = words[k + 1].kinds if k + 1 < len(words) else x.STOP
            return not following & (x.PART | x.FROM | x.SAW)
    return False


def _asked(words: list[Word], last: int) -> bool:
    for word in words[last + 1 :]:
        if word.kinds & x.ASK and word.sentence == words[last].sentence:
            return True
        if word.sentence != words[last].sentence:
            return False
    return False


def _part_joined(words: list[Word], i: int) -> bool:
    """`on flowers and leaves`; not `on flowers, leaves not seen`."""
    k = i + 1
    while k < len(words) and words[k].kinds & (x.ONLY | x.FLOWER | x.LIGHT):
        k += 1
    if k >= len(words) or not words[k].kinds & (x.AND | x.COMMA | x.OR) or words[k].kinds & x.STOP:
        return _leads_part(words, i)
    comma = words[k].kinds & x.COMMA
    k += 1
    while k < len(words) and words[k].kinds & (x.THE | x.LIGHT | x.OWN | x.AND | x.STATE):
        k += 1
    if k >= len(words) or not words[k].kinds & x.PART:
        return _leads_part(words, i)
    near = words[k + 1 : k + 7]
    unlooked = any(w.kinds & (x.UNLOOKED | x.NOT) and w.sentence == words[k].sentence for w in near)
    listed = not comma or ends_at(words, k + 1) or bool(words[k + 1].kinds & x.AND)
    return listed and not unlooked


def _leads_part(words: list[Word], i: int) -> bool:
    """`leaf and flower`, `leaves as well as lip`: a part is joined before the flower."""
    j = back(words, i - 1, x.THE | x.LIGHT | x.FLOWER)
    if j < 1 or not words[j].kinds & (x.AND | x.OR) or words[j].kinds & x.HARD:
        return False
    return bool(words[j - 1].kinds & x.PART)


def _others_checked(words: list[Word], last: int) -> bool:
    """`she named it on flowers; I checked leaf and stem`: parts looked at behind word `last`."""
    for p in range(last + 2, len(words)):
        k = p - 1
        while k > last and words[k].kinds & (x.THE | x.AND | x.PART):
            k -= 1
        if words[k - 1].text in _THEN[1:]:
            continue  # and only later saw leaves
        if words[p].kinds & x.PART and k > last and words[k].kinds & (x.SAW | x.USED):
            return not any(
                w.kinds & (x.NOT | x.NEVER) and w.clause == words[k].clause for w in words[:k]
            )
    return False


def _another_ground(words: list[Word]) -> bool:
    """Whether the name is said to rest on another part: `confirmed by the leaves`, `leaves did`."""
    for p, word in enumerate(words):
        if not word.kinds & x.PART:
            continue
        for k in range(p + 1, min(p + 5, len(words))):
            kinds = words[k].kinds
            if kinds & (x.LIMIT | x.NOT | x.NEVER | x.FLOWER):
                break
            if kinds & x.SPEAKS:
                return True
        j = back(words, p - 1, _TO_PART, x.LIMIT | x.FROM)
        if j > 0 and words[j].kinds & x.FROM:
            named = [
                m for m in range(max(j - 4, 0), j + 1) if words[m].kinds & (x.NAME | x.WEAK_NAME)
            ]
            ours = j and (words[j - 1].kinds & x.OWN or words[j - 1].text in _THEN)
            named = named or ([j] if ours else [])
            span = words[max((named or [j])[0] - 3, 0) : j + 1]
            if (
                named
                and not denials(words, p)
                and not any(w.kinds & (x.NOT | x.NEVER) for w in span)
            ):
                return True
    return False
