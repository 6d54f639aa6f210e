"""How firmly something is said: stated, hedged, faint, or only asked or expected."""

from __future__ import annotations

from itertools import pairwise

from crossproof.model import Weight
from crossproof.parse.remarks.organ.attachment import is_sign
from crossproof.parse.remarks.organ.scope import Scope
from crossproof.parse.remarks.plants.counted import GENERALLY
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, past

_POINTERS = frozenset({"the", "its", "their", "these"})
_SAYS = frozenset({"says", "say", "states", "gives", "describes", "promises"})
_GUESSES = frozenset({"could be", "might be", "may be", "may have been", "might have been"})
_LOOKED = frozenset({"wanted", "expected", "hoped for", "should have been"})
_MAYBE = frozenset({"may", "might", "maybe", "perhaps", "possibly"})


def weight_of(items: list[Item], i: int, scope: Scope) -> Weight:
    """How firmly the state word `items[i]` is said."""
    if (
        _asked_before(items, i)
        or _guessed(items, i)
        or _asked_behind(items, i)
        or _planned(items, i)
        or _turned_round(items, i)
        or _which(items, i)
        or _which_one(items, i)
    ):
        return "questioned"
    if scope.degree & v.FAINT and not scope.denied:
        return "faint"
    phrase = items[i].phrase
    hedged = any(item.kinds & v.HEDGE and item.phrase == phrase for item in items)
    return "hedged" if hedged else "stated"


def _asked_before(items: list[Item], i: int) -> bool:
    """`?spotted`, `whether spotted`, `not sure if spotted`."""
    for j in range(i - 1, -1, -1):
        item = items[j]
        if item.clause != items[i].clause:
            return False
        if item.kinds & v.ASK:
            between = items[j + 1 : i]
            return item.prefix and all(m.kinds & (v.DEGREE | v.ORGAN) for m in between)
        topic = item.kinds & v.TOPIC and not items[j + 1].kinds & v.COUNT  # about one in six
        if topic and (not j or items[j - 1].kinds & v.LIMIT):
            return not any(m.kinds & v.COMMA for m in items[j:i])  # as to leaf spots, …
        if item.kinds & v.SUPPOSE and not _restarted(items, j, i):
            excused = _corrects(items, j) or _as_many_as_theirs(items, j, i) or _of_most(items, j)
            return not excused
        if item.kinds & v.UNSURE and item.phrase == items[i].phrase:
            return not (item.kinds & v.NOT and _compared(items, i))
    return False


def _as_many_as_theirs(items: list[Item], j: int, i: int) -> bool:
    """`as many leaf spots as fuchsii`; `as many as a fish` may have none."""
    known = any(m.kinds & (v.SPECIES | v.OTHER) for m in items[i + 1 : i + 5])
    return items[j].entry.text == "as many" and known


def _of_most(items: list[Item], j: int) -> bool:
    """`leaves usually spotted but one plant plain`: seen in all the others."""
    if items[j].entry.text not in GENERALLY:
        return False
    here = [m for m in items[j:] if m.sentence == items[j].sentence]
    return any(a.kinds & (v.BUT | v.EXCEPT) and b.kinds & v.COUNT for a, b in pairwise(here))


def _compared(items: list[Item], i: int) -> bool:
    """`no more hollow than a broom handle`: that is not hollow."""
    j = past(items, i + 1, v.ON | v.THE | v.ORGAN)
    if j >= len(items) or not items[j].kinds & v.THAN:
        return False
    return not any(m.kinds & (v.SPECIES | v.OTHER | v.ORGAN) for m in items[j + 1 : j + 4])


def _guessed(items: list[Item], i: int) -> bool:
    """`could be spots, could be dirt`; `might be spotted if …`; `may be hollow, may not`."""
    here = [m for m in items if m.clause == items[i].clause]
    maybe_not = any(a.entry.text in _MAYBE and b.kinds & v.NOT for a, b in pairwise(here))
    if maybe_not and any(m.kinds & v.HEDGE for m in here[: here.index(items[i])]):
        return True
    guesses = sum(m.entry.text in _GUESSES for m in here)
    untested = any(a.kinds & v.NOT and b.kinds & v.EXAMINE for a, b in pairwise(here))
    return guesses > 1 or (guesses == 1 and (untested or any(m.entry.text == "if" for m in items)))


def _asked_behind(items: list[Item], i: int) -> bool:
    """`spotted?`, `spotted (?)`, `spotted or not`, `spotted, can't tell`."""
    j = i + 1
    while j < len(items) and not items[j].kinds & v.LIMIT:
        if items[j].kinds & v.UNSURE or items[j].entry.text == "or not":
            return True
        if items[j].kinds & v.SUPPOSE and _is_conditional(items[j]):
            return True
        if items[j].entry.text == "/" and _is_label(items, j + 1):
            return False
        j += 1
    if j >= len(items):
        return False
    if items[j].kinds & v.ASK:
        return not items[j].prefix
    after = items[j + 1].kinds if j + 1 < len(items) else 0
    if items[j].entry.text == "so" and after & v.UNSURE:  # flattened so can't say if hollow
        behind = [m for m in items[j + 2 :] if m.sentence == items[j].sentence]
        named = [m.entry for m in behind if m.kinds & (v.STATE | v.ORGAN)]
        mine = items[i].entry.senses.keys()
        return not named or any(mine & (e.senses.keys() | e.organs) for e in named)
    if items[j].kinds & v.BREAK:
        return bool(after & v.ASK or (after & v.UNSURE and ends(items, j + 2)))
    if after & v.OR:  # hollow as in one, or solid as in the other?
        mark = next((m for m in items[j + 1 :] if m.kinds & v.LIMIT), None)
        return mark is not None and bool(mark.kinds & v.ASK)
    tag = j + 2 < len(items) and items[j + 2].kinds & v.ASK and after & (v.WORD | v.HEDGE | v.YES)
    unsure = after & v.UNSURE and not (
        items[j + 1].entry.text == "no more" and ends(items, j + 2)
    )  # gave a little, no more.
    unsure = unsure and not _of_another(items, i, j + 1)
    return bool(items[j].kinds & v.COMMA and (unsure or tag))


def _of_another(items: list[Item], i: int, j: int) -> bool:
    """`leaves spotted, unsure whether the stem was hollow`: what is doubted is the stem."""
    here = [m for m in items[j:] if m.phrase == items[j].phrase]
    organs = {c for m in here for c in m.entry.organs}
    return bool(organs) and organs.isdisjoint(items[i].entry.senses)


def _is_label(items: list[Item], j: int) -> bool:
    """`leaves: plain / photo?`, `… / height?`, not `spotted / not?`: another thing is asked."""
    k = past(items, j, v.ORGAN | v.PHOTO | v.WORD | v.ON)
    return j < k < len(items) and bool(items[k].kinds & v.ASK) and not ends(items, k + 1)


def _planned(items: list[Item], i: int) -> bool:
    """`To do: leaf spots, stem`; `leaf: spotted/plain - please choose`."""
    sentence = items[i].sentence
    for j in range(i - 1, -1, -1):
        item = items[j]
        if item.sentence != sentence or item.kinds & v.BUT or item.entry.text == ";":
            break
        heading = item.kinds & v.SUPPOSE and _heads_list(items, j)
        done = item.entry.text == "to do" and items[j + 1].kinds & v.OWN  # back to do it: …
        told = done or any(m.lead & v.RELATIVE for m in items[j + 1 : i + 1])  # …, which was solid
        bidden = items[i - 1].kinds & v.COLON and j and items[j - 1].entry.topic & v.SENT
        told = told or bool(bidden)  # asked to check the stem: hollow
        if heading or (item.kinds & v.PLAN and not told and _governs(items, j, i)):
            return not (j and items[j - 1].kinds & v.NOT)
    return any(m.kinds & v.UNFILLED and m.sentence == sentence for m in items[i + 1 :])


def _heads_list(items: list[Item], j: int) -> bool:
    """`To look for in 2016: …`"""
    ends = v.LIMIT | v.STATE | v.ORGAN
    k = next((k for k in range(j + 1, len(items)) if items[k].kinds & ends), j)
    return bool(items[k].kinds & v.COLON)


def _governs(items: list[Item], j: int, i: int) -> bool:
    """Whether the plan at item `j` reaches item `i`: past commas only where it lists things."""
    if any(items[k].kinds & v.COMMA and items[k + 1].kinds & v.OWN for k in range(j + 1, i)):
        return False
    if _found_instead(items, j, i):
        return False
    for k in range(j + 1, i):
        item = items[k]
        if item.kinds & (v.STATE | v.ORGAN | v.COLON | v.PHOTO) or item.entry.text in v.DASHES:
            return True
        if item.kinds & v.LIMIT:
            return False
    return True


def _turned_round(items: list[Item], i: int) -> bool:
    """`had the stem been hollow`, `were the leaves spotted`: the verb stands first."""
    first = i
    while first and not items[first - 1].kinds & v.LIMIT and not items[first].kinds & v.BUT:
        first -= 1
    if first == i:
        return False
    if is_sign(items[i]) and all(m.kinds & v.ORGAN for m in items[first:i]):
        return False  # there were leaf spots after all
    opening = items[first]
    if opening.lead & v.BE:
        return opening.entry.text in _POINTERS or bool(
            opening.kinds & (v.ORGAN | v.OWN) and not opening.kinds & v.STATE
        )
    return opening.entry.text == "had" and any(m.lead & v.BE for m in items[first + 2 : i + 1])


def _which(items: list[Item], i: int) -> bool:
    """`one card 'hollow', one 'solid', and no telling which`."""
    here = (m for m in items[i + 1 :] if m.sentence == items[i].sentence)
    return any(m.kinds & v.UNSURE and m.entry.text.endswith(" which") for m in here)


def _which_one(items: list[Item], i: int) -> bool:
    """`which has the hollow stem, fuchsii or incarnata?`"""
    here = [m for m in items if m.sentence == items[i].sentence]
    return bool(here[0].lead & v.RELATIVE and here[-1].kinds & v.ASK)


def _is_conditional(item: Item) -> bool:
    """`a hollow stem would point to …`, `hollow stems mean …`, `have hollow stems as a rule`."""
    return item.entry.text.startswith(
        (
            "would",
            "ought",
            "mean",
            "expected",
            "anticipated",
            "assumed",
            "as a rule",
            "in most years",
        )
    )


def _corrects(items: list[Item], j: int) -> bool:
    """`card has solid; should be hollow`: no expectation but a correction."""
    return items[j].entry.text.startswith("should be") and any(m.kinds & v.SAYS for m in items[:j])


def _still_quoted(items: list[Item], j: int, k: int) -> bool:
    """`book says stem hollow, leaves spotted`: what stands behind the comma is the book's too."""
    says = items[j].entry.text.rsplit(" ", 1)[-1] in _SAYS
    pair = [m.kinds for m in items[k + 1 : k + 3]]
    return says and len(pair) == 2 and bool(pair[0] & v.ORGAN and pair[1] & v.STATE)


def _found_instead(items: list[Item], j: int, i: int) -> bool:
    """`where I expected a hollow stem it was solid`: behind its pronoun stands what was found.

    So it does in `cut one to check and it was solid`.
    """
    if items[i - 1].kinds & v.FULFILLED and items[i - 1].kinds & v.AND:
        return True
    named = items[i].lead & v.BE and i > j + 2 and items[i - 1].kinds & (v.OWN | v.THEY)
    looked = items[j].entry.text in _LOOKED
    return bool(named and looked) and any(m.kinds & v.STATE for m in items[j + 1 : i - 1])


def _restarted(items: list[Item], j: int, i: int) -> bool:
    """Whether a comma and an organ of its own lie between: `check stem, leaves spotted`."""
    for k in range(j, i):
        joined = v.OR | v.AND | v.STATE | v.BUT
        found = items[k].kinds & v.AND and items[k + 1].kinds & v.SEE
        if found or _found_instead(items, j, i) or items[k].entry.text == "but for":
            return True  # expected plain leaves and found spots; …, but for the plain leaves
        if not items[k].kinds & v.COMMA or _still_quoted(items, j, k):
            continue
        if not items[k + 1].kinds & joined or any(
            m.lead & v.BE for m in items[k + 1 : min(k + 3, i + 1)]
        ):
            return True
    return False
