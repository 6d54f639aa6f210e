"""Flowers that the wording implies as the ground: `a floral determination`, `all I could use`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word, ends_at
from crossproof.parse.remarks.text.item import back

Span = tuple[int, int]

_IS = frozenset({"is", "was", "were", "are", "being", "been", "it's", "its", "this is", "remains"})
_ALL = frozenset({"all", "everything", "all that", "all of what"})
_PEOPLE = frozenset({"i", "we", "he", "she", "they", "anyone", "i've", "we've", "could", "can"})
_HAS = frozenset({"know", "had", "have", "gather", "offer"})
_STAYS = frozenset(
    {
        "as",
        "left",
        "remained",
        "remain",
        "stayed",
        "served",
        "serve",
        "serving",
        "provide",
        "provides",
        "provided",
        "form",
        "formed",
        "forms",
        "make",
        "makes",
        "made",
        "give",
        "gave",
        "gives",
    }
)
_TIES = frozenset({"my", "our", "as", "all the", "all of the", "all"})
_TO_REASON: Final = x.THE | x.ONLY | x.COUNT | x.NUMBER | x.LIGHT | x.AND | x.OWN
_MOST_BETWEEN = 8


def implied(words: list[Word], i: int, others_stated: bool) -> Iterator[Span | None]:
    """Every way in which the wording may imply that the name rests on the flower at word `i`."""
    yield _floral_name(words, i)
    yield _is_floral(words, i)
    yield _was_the_reason(words, i)
    yield _parts_set_aside(words, i)
    yield _only_used(words, i)
    yield _used_instead(words, i)
    yield _one_character(words, i)
    yield _flowers_it_was(words, i)
    if not others_stated:
        yield _looked_and_named(words, i)
        yield _so_called(words, i)


def all_or_what(words: list[Word], i: int) -> Iterator[Span | None]:
    """`all I could use was the lip`, `the lip is what I could see`: a `could` denies nothing."""
    j = back(words, i - 1, x.THE)
    if j < 0 or not words[j].kinds & x.NOT:
        yield _is_what_named(words, i)
        yield _all_of_use(words, i)


def _floral_name(words: list[Word], i: int) -> Span | None:
    """`a floral determination`, `wholly a lip name`; not `good at flower ID`."""
    k = i + 1
    if k >= len(words) or not words[k].kinds & x.NAMING:
        return None
    behind = words[k + 1] if k + 1 < len(words) else None
    if behind is not None and not behind.kinds & (x.LIMIT | x.ONLY | x.AND | x.FROM):
        return None
    return (i, k) if _opens(words, i) else None


def _opens(words: list[Word], i: int) -> bool:
    """Whether `a purely` floral name opens a stretch, or follows `is`; not `poor at` flower ID."""
    j = i - 1
    fixed = False
    while j >= 0 and words[j].kinds == x.UNKNOWN and words[j].phrase == words[i].phrase:
        fixed = fixed or words[j].text.endswith(("ly", "cent"))
        j -= 1
    fixed = fixed or (j >= 0 and bool(words[j].kinds & (x.THE | x.COUNT | x.NUMBER | x.ONLY)))
    if j < i - 1 and not fixed:
        return False
    j = back(words, j, x.THE | x.COUNT | x.LIGHT | x.ONLY | x.NUMBER)
    if j < 0 or words[j + 1].text in _IS:
        return True
    before = words[j]
    copula = before.text in _IS or before.text == "as" or before.text.endswith(("ly", "'s"))
    return copula or bool(before.kinds & (x.LIMIT | x.SO))


def _is_floral(words: list[Word], i: int) -> Span | None:
    """`determination therefore floral`, `evidence entirely floral`; not `floral display`."""
    if words[i].text != "floral" or not ends_at(words, i + 1):
        return None
    for k in range(i - 1, max(i - _MOST_BETWEEN, -1), -1):
        kinds = words[k].kinds
        if kinds & (x.NAME | x.NAMING | x.REASON):
            return k, i
        if kinds & (x.PART | x.NOT | x.STOP) or words[k].sentence != words[i].sentence:
            return None
    return None


def _was_the_reason(words: list[Word], i: int) -> Span | None:
    """`the flowers being my one and only reason`, `flowers were left as sole guide`."""
    k, tied = i + 1, False
    while k < len(words) and (words[k].kinds & _TO_REASON or words[k].text in _STAYS):
        if words[k].kinds & x.LIMIT and words[k].text != "as":
            return None
        tied = tied or bool(words[k].kinds & (x.ONLY | x.COUNT)) or words[k].text in _TIES
        k += 1
    if not tied or k >= len(words) or not words[k].kinds & x.REASON:
        return None
    named = k + 1 < len(words) and words[k + 1].kinds & (x.GO_ON | x.FROM | x.PREPOSITION)
    return (i, k) if named or ends_at(words, k + 1) else None


def _is_what_named(words: list[Word], i: int) -> Span | None:
    """`flower colour is what I've named it by`, `the flowers, which were what I went on`."""
    k = i + 1
    while k < min(i + 10, len(words)) and words[k].text != "what":
        limit = words[k].kinds & x.HARD and words[k].text != "as"
        if limit or words[k].kinds & (x.PART | x.STATE | x.NOT):
            return None
        k += 1
    if k >= len(words) or words[k].text != "what" or words[k - 1].text not in _IS:
        return None
    for n in range(k + 1, min(k + 8, len(words))):
        if words[n].kinds & (x.LIMIT | x.PART | x.NOT):
            return None
        if words[n].kinds & (x.NAME | x.USED | x.GO_ON | x.SPEAKS):
            return i, n
    return None


def _all_of_use(words: list[Word], i: int) -> Span | None:
    """`all I could use for a name was flower colour`, `they being everything I saw`."""
    for k in range(max(i - _MOST_BETWEEN - 2, 0), i):
        if words[k].text in _ALL and words[k].sentence == words[i].sentence:
            said = _relative(words, k)
            if said and said < i and _links(words[said + 1 : i]):
                return k, i
    for k in range(i + 1, min(i + _MOST_BETWEEN + 2, len(words))):
        if words[k].kinds & (x.HARD | x.PART):
            return None
        if words[k].text in _ALL and words[k - 1].text in _IS and (said := _relative(words, k)):
            return k - 1, said
    return None


def _relative(words: list[Word], k: int) -> int:
    """The last word of `all I could use`, `everything (that) we saw` at word `k`; or 0."""
    n = k + 1
    if n < len(words) and words[n].text == "that":
        n += 1
    if n >= len(words) or words[n].text not in _PEOPLE:
        return 0
    for m in range(n + 1, min(n + 5, len(words))):
        kinds = words[m].kinds
        if kinds & (x.LIMIT | x.NOT | x.PART | x.FLOWER):
            return 0
        if kinds & (x.SAW | x.USED | x.LOOK | x.NAME | x.GO_ON) or words[m].text in _HAS:
            return m
    return 0


def _links(between: list[Word]) -> bool:
    """`(all I used for a name) was the`: a copula and no other part."""
    return any(w.text in _IS for w in between) and not any(
        w.kinds & (x.LIMIT | x.PART | x.NOT | x.UNKNOWN) and not w.kinds & x.NAME
        for w in between[-3:]
    )


def _parts_set_aside(words: list[Word], i: int) -> Span | None:
    """`leaves and stem passed over in favour of the lip`, `preferred the flowers to the leaves`."""
    j = back(words, i - 1, x.THE | x.FLOWER | x.OWN)
    if j < 0:
        return None
    if words[j].text.startswith("prefer"):
        behind = words[i + 1 : i + 4]
        to_part = any(w.text in ("to", "over") for w in behind[:1]) and behind[-1].kinds & x.PART
        return (j, i + len(behind)) if to_part else None
    if not words[j].text.startswith("in favo"):
        return None
    for k in range(j - 1, -1, -1):
        if words[k].kinds & x.LIMIT:
            return None
        if words[k].kinds & x.PART:
            return k, i
    return None


def _only_used(words: list[Word], i: int) -> Span | None:
    """`used the flower part of the key only`: what was used, and `only` at the end."""
    used = [k for k in range(max(i - 3, 0), i) if words[k].kinds & x.USED]
    if not used or words[used[-1]].phrase != words[i].phrase:
        return None
    for k in range(i + 1, min(i + 7, len(words))):
        if words[k].kinds & (x.LIMIT | x.PART | x.NOT):
            return None
        if words[k].kinds & x.ONLY:
            return (used[-1], k) if ends_at(words, k + 1) else None
    return None


def _used_instead(words: list[Word], i: int) -> Span | None:
    """`vegetative characters not used. Flowers used.`, `stem noted but not used; lip used`."""
    k = i + 1
    while (
        k < len(words)
        and words[k].kinds & (x.FLOWER | x.LIGHT | x.UNKNOWN)
        and k < i + 4
        and not words[k].kinds & x.USED
    ):
        k += 1
    if k >= len(words) or not words[k].kinds & x.USED or not ends_at(words, k + 1):
        return None
    unused = [
        m for m in range(2, i)
        if words[m].kinds & x.USED and words[m - 1].kinds & x.NOT
        and words[m].sentence >= words[i].sentence - 1
    ]  # fmt: skip
    parts = any(w.kinds & x.PART for m in unused for w in words[max(m - 7, 0) : m])
    return (i, k) if parts else None


def _one_character(words: list[Word], i: int) -> Span | None:
    """`single-character name (lip)`, `ID on one character, viz. the lip`."""
    j = back(words, i - 1, x.THE | x.STOP | x.FLOWER | x.VIZ)
    if j < 2 or not words[j].kinds & (x.OPEN | x.COMMA | x.COLON | x.BREAK):
        return None
    for k in range(j - 1, max(j - 4, 0), -1):
        if words[k].kinds & x.REASON or words[k].text.startswith("character "):
            one = words[k - 1].kinds & x.ONLY or words[k - 1].text in ("one", "single", "1")
            return (k - 1, i) if one and ends_at(words, i + 1) else None
    return None


def _flowers_it_was(words: list[Word], i: int) -> Span | None:
    """`flowers it was, then`, `bloom it had to be`."""
    behind = [w.text for w in words[i + 1 : i + 5]]
    if behind[:1] != ["it"] or behind[1:2] not in (["was"], ["is"], ["had"]):
        return None
    return i, i + 2


def _looked_and_named(words: list[Word], i: int) -> Span | None:
    """`took one look at the lip, wrote it down as the cross`."""
    looked = [k for k in range(max(i - 5, 0), i) if words[k].kinds & x.GLANCE]
    if not looked or words[looked[-1]].phrase != words[i].phrase:
        return None
    crossed = False
    for k in range(i + 1, min(i + 9, len(words))):
        kinds = words[k].kinds
        if kinds & (x.NOT | x.PART | x.STATE | x.OTHER | x.HARD) and words[k].text != "as":
            return None
        crossed = crossed or bool(kinds & (x.COMMA | x.AND))
        if crossed and kinds & (x.NAME | x.WEAK_NAME):
            return looked[-1], k
    return None


def _so_called(words: list[Word], i: int) -> Span | None:
    """`that lip is a hybrid's, so that is what I've called it`, `lips between, hence the name`."""
    for k in range(i + 1, len(words) - 1):
        if words[k].sentence != words[i].sentence or words[k].kinds & (
            x.PART | x.NOT | x.UNLOOKED & ~x.LIGHT & ~x.PRONOUN
        ):
            return None
        if not words[k].kinds & x.SO:
            continue
        n = k + 1
        while n < len(words) and words[n].kinds & (x.PRONOUN | x.LIGHT | x.THAT | x.THE):
            n += 1
        if n < len(words) and words[n].text == "what":
            n += 1 + (n + 1 < len(words) and bool(words[n + 1].kinds & x.PRONOUN))
        if n == k + 1 or n >= len(words) or not words[n].kinds & x.NAME:
            return None
        while n < len(words) and words[n].kinds & (x.OWN | x.WEAK_NAME | x.NAME | x.THE):
            n += 1
        return (i, k) if ends_at(words, n) else None
    return None
