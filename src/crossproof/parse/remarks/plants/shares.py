"""Shares of the plants: `3 of 8 with spots`, `0/5 spotted`, `leaf spots on all but one`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.plants.limited import (
    limited,
    number_of,
    of_the_total,
    state_of_so_many,
)
from crossproof.parse.remarks.plants.named_shares import LACKING, has_or_lacks, named_share
from crossproof.parse.remarks.plants.share_of import Share, counted_by
from crossproof.parse.remarks.plants.single import of_counted_leaves
from crossproof.parse.remarks.plants.tallies import in_figures_elsewhere, last_answer
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, ends
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_OF = frozenset({"of", "out of", "of the", "from", "ex"})
_WHOLE = ("all", "both", "each", "every", "none", "any")
_OPENS = v.LIMIT | v.ONLY | v.AND | v.SLIGHT | v.THAN
_ALL_BUT = frozenset(general_words()["all_but"])
_BRACKETS = frozenset("()")
_TEN_PLANTS = 20  # `one in ten`, `1 in 20`; beyond, a number is a year or a grid reference
_PLANTS_APART = -400  # numbers the plants that the share leaves over


def may_share(items: list[Item], present: int) -> bool:
    """Whether plants may be counted: `3 of 8`, `only some`, `y n y`."""
    answers = present & v.YES and present & v.NONE
    return bool(answers or present & (v.COUNT | v.ONLY)) or any(m.value >= 0 for m in items)


def by_share(items: list[Item], found: list[Mention], vocabulary: Vocabulary) -> list[Mention]:
    """Deny what no plant had; return the opposite state of the plants that a share leaves over."""
    rest: list[Mention] = []
    for share in _shares(items):
        m = counted_by(items, found, share)
        if m is None:
            last = (share.first, share.last)
            rest.extend(in_figures_elsewhere(items, *last, share.of_all, found, vocabulary))
        of_leaves = share.of_all > 0 and of_counted_leaves(items, share.first)
        if m is None or share.of_all == 1 or of_leaves:
            continue  # 4 leaves, all but one with spots
        scale = vocabulary.scales[m.character]
        denied = scale.denied.get(m.state, scale.absent if share.of_all else "")
        if not denied:
            continue
        start = min(m.start, items[share.first].start)
        end = max(m.end, items[share.last].end)
        if share.of_all == 0 and m.state == scale.absent:
            continue
        if share.of_all == 0:
            if m.state != items[m.item].entry.senses[m.character].state:
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


def _of_the_rest(items: list[Item], share: Share, m: Mention) -> bool:
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
    if k + 1 >= len(items) or not (items[k + 1].kinds & v.WITH or has_or_lacks(items[k + 1])):
        return 0
    if items[k].kinds & v.THEY:
        return 0 if _are_leaves(items, i) else k
    return k if definite and items[k].kinds & (v.MANY | v.PLANTS | v.COUNT) else 0


def _are_leaves(items: list[Item], i: int) -> bool:
    """`two leaves only, one of them with a spot`: whether an organ was named last."""
    here = (m for m in reversed(items[:i]) if m.sentence == items[i].sentence)
    last = next((m for m in here if m.kinds & (v.ORGAN | v.PLANTS | v.MANY)), None)
    return last is not None and bool(last.kinds & v.ORGAN)


def _shares(items: list[Item]) -> Iterator[Share]:
    for i in range(len(items)):
        if share := _share_at(items, i):
            yield share


def _share_at(items: list[Item], i: int) -> Share | None:
    """The share of the plants that item `i` opens, in whatever way it is put."""
    if (named := named_share(items, i)) >= 0:
        return Share(i, i, named)
    if items[i].entry.text in ("of", "out of") and (not i or items[i - 1].kinds & v.STOP):
        return _of_so_many(items, i)
    if (last := _only_so_many(items, i)) > i:
        return Share(i, last, 0.5)
    if (last := max(limited(items, i), last_answer(items, i))) >= i:
        return Share(i, last, 0.5)
    for last_of in (_some_of_them, _some_left_over, _run_of_counts, _yes_and_no):
        if (last := last_of(items, i)) > i:
            return Share(i, last, 0.5)
    if (part := number_of(items[i])) >= 0:
        if of_the_total(items, i):
            return Share(i, i, 0.5)
        if (last := state_of_so_many(items, i)) > i:
            return Share(i, last, part / number_of(items[last]))
    if (first := _in_some_only(items, i)) < i:
        return Share(first, i, 0.5)
    return _in_figures(items, i)


def _in_figures(items: list[Item], i: int) -> Share | None:
    """`3 of 8`, `0/5`, `one in ten`."""
    part = number_of(items[i])
    if items[i].entry.text in ("plant", "spike") and (not i or items[i - 1].kinds & v.LIMIT):
        part = 1  # a single plant of the eleven
    if part < 0 or i + 2 >= len(items):
        return None
    of = i + 1
    if items[of].kinds & (v.PLANTS | v.ONLY) and of + 2 < len(items):
        of += 1  # one plant in six, one only of the nine
    link, j = items[of].entry.text, of + 1
    j += link == "in" and items[j].entry.text in ("the", "a", "every") and j + 1 < len(items)
    one_in_ten = link == "in" and 1 < number_of(items[j]) <= _TEN_PLANTS
    if link not in _OF and link != "/" and not one_in_ten:
        return None
    while j + 1 < len(items) and items[j].kinds & v.THE and number_of(items[j]) < 0:
        j += 1
    whole = number_of(items[j])
    return Share(i, j, part / whole) if 0 < whole >= part else None


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
        while k < min(len(items) - 1, i + 4) and items[k].kinds & (v.THE | v.WORD):
            if items[k].kinds & v.COUNT:
                break
            k += 1  # all but the westernmost plant
        return k if k < len(items) and items[k].kinds & (v.COUNT | v.PLANTS) else 0
    if items[i].entry.text not in _WHOLE or k >= len(items) or not items[k].kinds & v.EXCEPT:
        return 0
    k += 1
    while k < len(items) and not items[k].kinds & (v.LIMIT | v.STATE | v.ORGAN | v.WITH):
        k += 1
    return k - 1 if k < len(items) and items[k].kinds & v.WITH else 0


def _run_of_counts(items: list[Item], i: int) -> int:
    """The last of `leaf spots: 0, 0, 2, 5`, where some plants have none and some have any."""
    if not i or not items[i - 1].kinds & v.COLON or number_of(items[i]) < 0:
        return i
    j, counts = i, [number_of(items[i])]
    while j + 2 < len(items) and items[j + 1].kinds & v.COMMA and number_of(items[j + 2]) >= 0:
        j += 2
        counts.append(number_of(items[j]))
    return j if len(counts) > 2 and 0 in counts and any(counts) and ends(items, j + 1) else i


def _in_some_only(items: list[Item], i: int) -> int:
    """The first of `(spots) in the larger plants only`, `on plants 2, 3 and 7 only`."""
    numbered = i > 2 and items[i - 1].value > 0 and items[i - 2].kinds & (v.AND | v.COMMA)
    if not items[i].kinds & v.ONLY or not i or not (items[i - 1].kinds & v.MANY or numbered):
        return i
    for k in range(i - 2, max(i - 5 - 8 * bool(numbered), 0), -1):
        if items[k].kinds & v.ON:
            return k + 1 if not numbered or items[k + 1].kinds & v.PLANTS else i
        if items[k].kinds & v.LIMIT and not (numbered and items[k].kinds & v.COMMA):
            break
    return i


def _yes_and_no(items: list[Item], i: int) -> int:
    """The last of `leaf spots: 12 yes, 5 no`, `yes 12, no 5`, where some are of either sort."""
    if not i or not items[i - 1].kinds & (v.COLON | v.STATE | v.BREAK):
        return i
    here = [
        m for m in items[i : i + 11] if not m.kinds & v.PLANTS and m.entry.text not in _BRACKETS
    ][:5]
    joined = len(here) > 2 and bool(here[2].kinds & (v.COMMA | v.AND | v.BREAK))
    here = here[: 4 + joined]
    if len(here) < 4 + joined:
        return i
    for number, word in ((0, 1), (1, 0)):
        first, second = here[word], here[2 + joined + word]
        pair = (here[number], here[2 + joined + number])
        counted = all(number_of(m) > 0 or m.kinds & v.COUNT for m in pair)
        if counted and first.kinds & v.YES and second.kinds & v.NONE:
            return items.index(here[-1])
    return i


def _of_so_many(items: list[Item], i: int) -> Share | None:
    """`Of six examined, four had spots`."""
    whole = number_of(items[i + 1]) if i + 1 < len(items) else -1
    for j in range(i + 2, min(i + 7, len(items) - 1)):
        part = number_of(items[j])
        k = j + 1 + (items[j + 1].kinds & v.ONLY > 0 and j + 2 < len(items))
        had = items[k].kinds & v.WITH or items[k].kinds & LACKING == LACKING
        if 0 <= part <= whole and had:
            return Share(j, j, part / whole)
        if items[j].kinds & (v.STATE | v.STOP):
            return None
    return None
