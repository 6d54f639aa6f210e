"""Shares of the plants: `3 of 8 with spots`, `0/5 spotted`, `leaf spots on all but one`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.plants.named_shares import MINORITY, named_share
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, is_organ
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_WORDS = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven"),
    *("twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
    "twenty",
)
_NUMBERS = {"0": 0} | {word: n for n, word in enumerate(_WORDS, start=1)}
_OF = frozenset({"of", "out of", "of the", "from", "ex"})
_WHOLE = ("all", "both", "each", "every", "none", "any")
_OPENS = v.LIMIT | v.ONLY | v.AND | v.SLIGHT
_ALL_BUT = frozenset({"all but", "all bar", "all except", "every one but"})
_BRACKETS = frozenset("()")
_TEN_PLANTS = 20  # `one in ten`, `1 in 20`; beyond, a number is a year or a grid reference
_PLANTS_APART = -400  # numbers the plants that the share leaves over


@dataclass(frozen=True, slots=True)
class _Share:
    first: int
    last: int
    of_all: float  # 0 none, 1 all


def by_share(items: list[Item], found: list[Mention], vocabulary: Vocabulary) -> list[Mention]:
    """Deny what no plant had; return the opposite state of the plants that a share leaves over."""
    rest: list[Mention] = []
    for share in _shares(items):
        m = _counted(items, found, share)
        if m is None or share.of_all == 1:
            continue
        scale = vocabulary.scales[m.character]
        denied = scale.denied.get(m.state, scale.absent if share.of_all else "")
        if not denied:
            continue
        start = min(m.start, items[share.first].start)
        end = max(m.end, items[share.last].end)
        if share.of_all == 0 and m.state == scale.absent:
            continue
        if share.of_all == 0:
            if m.start <= items[share.first].start and m.item > share.first:
                continue  # read as a denial already
            m.state, m.start, m.end = denied, start, end
        elif scale.absent or share.last > share.first:
            same = [o for o in found if o.character == m.character and o is not m]
            for o in same:
                if o.state == denied and o.plant == m.plant and _of_the_rest(items, share, o):
                    o.plant = _PLANTS_APART  # all bar two, those two plain
            if not same:
                rest.append(replace(m, state=denied, start=start, end=end, plant=_PLANTS_APART))
    return rest


def _of_the_rest(items: list[Item], share: _Share, m: Mention) -> bool:
    """Whether a state behind the share is counted too: it is that of the plants left over."""
    between = items[share.last + 1 : m.item + 1]
    return any(
        (k.kinds & v.COUNT and k.phrase == items[m.item].phrase) or k.lead & v.RELATIVE
        for k in between
    )


def _some_of_them(items: list[Item], i: int) -> int:
    """The last item of `two of them (had)`, `some of the plants (had)`: not `all of`; or 0."""
    whole = items[i].entry.text.startswith(_WHOLE)
    if not items[i].kinds & v.COUNT or whole or (i and not items[i - 1].kinds & _OPENS):
        return 0
    k = i + 1
    if not items[i].entry.text.endswith(" of"):
        if k >= len(items) or items[k].entry.text != "of":
            return 0
        k += 1
    definite = False
    while k < len(items) and items[k].kinds & v.THE and not items[k].kinds & v.COUNT:
        definite, k = True, k + 1
    if k < len(items) and items[k].lead & v.RELATIVE and items[k].kinds & v.WITH:
        return k - 1  # just seventeen of which had
    if k + 1 >= len(items) or not items[k + 1].kinds & v.WITH:
        return 0
    if items[k].kinds & v.THEY:
        return 0 if _are_leaves(items, i) else k
    return k if definite and items[k].kinds & v.MANY else 0


def _are_leaves(items: list[Item], i: int) -> bool:
    """`two leaves only, one of them with a spot`: whether an organ was named last."""
    here = (m for m in reversed(items[:i]) if m.sentence == items[i].sentence)
    last = next((m for m in here if m.kinds & (v.ORGAN | v.PLANTS | v.MANY)), None)
    return last is not None and bool(last.kinds & v.ORGAN)


def _shares(items: list[Item]) -> Iterator[_Share]:
    for i in range(len(items)):
        if share := _share_at(items, i):
            yield share


def _share_at(items: list[Item], i: int) -> _Share | None:
    """The share of the plants that item `i` opens, in whatever way it is put."""
    if (named := named_share(items, i)) >= 0:
        return _Share(i, i, named)
    if items[i].entry.text in ("of", "out of") and (not i or items[i - 1].kinds & v.STOP):
        return _of_so_many(items, i)
    if (last := _only_so_many(items, i)) > i:
        return _Share(i, last, 0.5)
    for last_of in (_some_of_them, _some_left_over, _run_of_counts, _yes_and_no):
        if (last := last_of(items, i)) > i:
            return _Share(i, last, 0.5)
    if (first := _in_some_only(items, i)) < i:
        return _Share(first, i, 0.5)
    return _in_figures(items, i)


def _in_figures(items: list[Item], i: int) -> _Share | None:
    """`3 of 8`, `0/5`, `one in ten`."""
    part = _number(items[i])
    if part < 0 or i + 2 >= len(items):
        return None
    of = i + 1
    if items[of].kinds & v.PLANTS and of + 2 < len(items):
        of += 1  # one plant in six
    link, j = items[of].entry.text, of + 1
    one_in_ten = link == "in" and 1 < _number(items[j]) <= _TEN_PLANTS
    if link not in _OF and link != "/" and not one_in_ten:
        return None
    while j + 1 < len(items) and items[j].kinds & v.THE and _number(items[j]) < 0:
        j += 1
    whole = _number(items[j])
    return _Share(i, j, part / whole) if 0 < whole >= part else None


def _only_so_many(items: list[Item], i: int) -> int:
    """The last of `only four plants`, `only the southern clump (shows)`; or 0."""
    if not items[i].kinds & v.ONLY:
        return 0
    k = i + 1
    while k < len(items) and items[k].kinds & (v.THE | v.COUNT | v.SIZE | v.LARGE | v.WORD):
        if items[k].kinds & v.ORGAN or k > i + 3:
            return 0
        k += 1
    if k >= len(items) or k == i + 1 or not items[k].kinds & v.PLANTS:
        return 0
    joined = i and items[i - 1].kinds & v.ON
    shows = k + 1 < len(items) and items[k + 1].kinds & v.WITH
    return k if joined or shows else 0


def _some_left_over(items: list[Item], i: int) -> int:
    """The last item of `all but 2`, `all except the one by the gate (had)`; or 0."""
    k = i + 1
    if items[i].entry.text in _ALL_BUT:
        return k if k < len(items) and items[k].kinds & v.COUNT else 0
    if items[i].entry.text not in _WHOLE or k >= len(items) or not items[k].kinds & v.EXCEPT:
        return 0
    k += 1
    while k < len(items) and not items[k].kinds & (v.LIMIT | v.STATE | v.ORGAN | v.WITH):
        k += 1
    return k - 1 if k < len(items) and items[k].kinds & v.WITH else 0


def _run_of_counts(items: list[Item], i: int) -> int:
    """The last of `leaf spots: 0, 0, 2, 5`, where some plants have none and some have any."""
    if not i or not items[i - 1].kinds & v.COLON or _number(items[i]) < 0:
        return i
    j, counts = i, [_number(items[i])]
    while j + 2 < len(items) and items[j + 1].kinds & v.COMMA and _number(items[j + 2]) >= 0:
        j += 2
        counts.append(_number(items[j]))
    return j if len(counts) > 2 and 0 in counts and any(counts) and ends(items, j + 1) else i


def _in_some_only(items: list[Item], i: int) -> int:
    """The first of `(spots) in the larger plants only`, where only some of the plants have any."""
    if not items[i].kinds & v.ONLY or not i or not items[i - 1].kinds & v.MANY:
        return i
    for k in range(i - 2, max(i - 5, 0), -1):
        if items[k].kinds & v.ON:
            return k + 1
        if items[k].kinds & v.LIMIT:
            break
    return i


def _yes_and_no(items: list[Item], i: int) -> int:
    """The last of `leaf spots: 12 yes, 5 no`, `yes 12, no 5`, where some are of either sort."""
    if not i or not items[i - 1].kinds & (v.COLON | v.STATE | v.BREAK):
        return i
    here = [
        m for m in items[i : i + 11] if not m.kinds & v.PLANTS and m.entry.text not in _BRACKETS
    ][:5]
    if len(here) < 5 or not here[2].kinds & (v.COMMA | v.AND | v.BREAK):
        return i
    for number, word in ((0, 1), (1, 0)):
        first, second = here[word], here[3 + word]
        counted = all(_number(m) > 0 or m.kinds & v.COUNT for m in (here[number], here[3 + number]))
        if counted and first.kinds & v.YES and second.kinds & v.NONE:
            return items.index(here[-1])
    return i


def _of_so_many(items: list[Item], i: int) -> _Share | None:
    """`Of six examined, four had spots`."""
    whole = _number(items[i + 1]) if i + 1 < len(items) else -1
    for j in range(i + 2, min(i + 7, len(items) - 1)):
        part = _number(items[j])
        lacks = v.NOT | v.NONE
        had = items[j + 1].kinds & v.WITH or items[j + 1].kinds & lacks == lacks
        if 0 <= part <= whole and had:
            return _Share(j, j, part / whole)
        if items[j].kinds & (v.STATE | v.STOP):
            return None
    return None


def _number(item: Item) -> int:
    return item.value if item.value >= 0 else _NUMBERS.get(item.entry.text, -1)


def _counted(items: list[Item], found: list[Mention], share: _Share) -> Mention | None:
    """The mention that a share counts: behind it, or before it joined by `on` or `in`."""
    if share.last + 1 < len(items) and is_organ(items[share.last + 1]):
        return None  # 3 of 5 leaves are those of one plant
    phrase = items[share.first].phrase
    if items[share.first].entry.text in MINORITY:
        before = [m for m in found if m.item < share.first and items[m.item].phrase == phrase]
        return before[-1] if before else None
    opens = items[share.first - 1].kinds if share.first else 0
    if opens & v.STATE:
        return next((m for m in found if m.item == share.first - 1), None)  # leaf spots Y 11, N 6
    if opens & (v.ON | v.COLON) and not opens & v.TOPIC:
        if items[share.first - 1].kinds & v.COLON:
            phrase -= 1  # leaf spots: 5/12 plants
        before = [m for m in found if m.item < share.first and items[m.item].phrase == phrase]
        return before[-1] if before else None
    j = share.last + 1
    while j < len(items) and items[j].kinds & (v.ON | v.THE) and not items[j].kinds & v.WITH:
        j += 1
    if j + 1 < len(items) and items[j].kinds & v.COUNT and items[j + 1].kinds & v.WITH:
        j += 1  # all but one of the nine had
    if j >= len(items) or items[j].kinds & v.LIMIT or is_organ(items[j]):
        return None
    if not items[j].kinds & (v.WITH | v.PLANTS | v.MANY | v.STATE | v.OWN | v.DEGREE | v.NONE):
        return None
    behind = [m for m in found if m.item >= j and items[m.item].phrase == phrase]
    return behind[0] if behind else None
