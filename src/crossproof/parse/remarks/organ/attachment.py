"""A state word and the organ it is of: what can go together."""

from __future__ import annotations

from dataclasses import dataclass

from crossproof.parse.remarks.organ.alone import nothing_else_said
from crossproof.parse.remarks.organ.scope import EVERY
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, back
from crossproof.parse.remarks.text.vocabulary import Sense

_SPACE = 2  # characters between two words: where more stand, words were left out


@dataclass(frozen=True, slots=True)
class Attachment:
    """The character and sense of a state word, and the item of its organ (-1: none is named)."""

    character: str
    sense: Sense
    organ: int
    attributive: bool = False  # the organ follows: "hollow stem"


def known(items: list[Item], i: int, j: int, attributive: bool = False) -> Attachment | None:
    """Attach item `i` to organ or sign `j`, where the two can go together."""
    senses, organ = items[i].entry.senses, items[j].entry
    for character in organ.organs:
        sense = senses.get(character)
        if sense is None or (sense.role == "short" and not _next_to(items, i, j)):
            continue
        if sense.role != "beside" or sign_near(items, i, character):
            return Attachment(character, sense, j, attributive)
    for character, sense in organ.senses.items():
        if sense.role == "sign" and character in senses and j != i:
            return Attachment(character, senses[character], j, attributive)
    return None


def _next_to(items: list[Item], i: int, j: int) -> bool:
    """Whether the abbreviation `i` stands by its organ `j`: `lvs sp.`, `sp. lvs` (not `D. sp.`)."""
    if items[i].kinds & v.PHOTO and i and items[i - 1].kinds & v.NONE:
        return False  # hollow stem - no ph.
    if j < i:
        return j >= i - 3
    return j == i + 1 and (i == 0 or bool(items[i - 1].kinds & v.LIMIT))


def is_sign(item: Item, character: str = "") -> bool:
    return any(
        sense.role == "sign" and character in ("", name)
        for name, sense in item.entry.senses.items()
    )


def sign_near(items: list[Item], i: int, character: str) -> bool:
    """Whether a sign or a state word of `character` stands before item `i`; not before a label."""
    behind = items[i + 1] if i + 1 < len(items) else items[i]
    label = behind.kinds & (v.ASK | v.COLON) or behind.entry.text == "("
    for j in range(i - 1, -1, -1):
        if label and items[j].kinds & v.HARD:
            return False
        if items[j].sentence != items[i].sentence:
            return False
        sense = items[j].entry.senses.get(character)
        if sense is not None and sense.role != "beside":
            return True
    return False


def close(items: list[Item], i: int, j: int) -> bool:
    """Whether a loose word `i` may speak of organ `j`: nothing unknown stands between.

    Over a comma, the whole stretch of item `i` must be known: `stem, hard and round`, but not
    `the stem, raining hard`.
    """
    if i and items[i - 1].kinds & v.THEY:
        return True
    if items[i].phrase != items[j].phrase:
        return nothing_else_said(items, i)
    between = items[min(i, j) + 1 : max(i, j)]
    if is_sign(items[i]) and any(m.kinds & v.WITH for m in between):
        return True  # stem with a wide hole
    return not any(m.kinds & v.WORD and not m.kinds & (v.THEY | v.ADVERB) for m in between)


def _has_its_own(items: list[Item], j: int) -> bool:
    """`no spots on the leaves (and lip spotted)`, `nothing on the leaves(, lip spotted)`: told.

    So are `six leaves(, lip spotted)`.
    """
    k = j - 1
    if k >= 0 and items[k].kinds & v.COUNT:
        return items[k].entry.text not in EVERY
    if k >= 0 and any(c in items[k].entry.senses for c in items[j].entry.organs):
        return not is_sign(items[k]) or bool(items[j + 1].kinds & v.COMMA)
    k = back(items, k, v.THE | v.VARIED, v.ON)
    if k > 1 and items[k].entry.text == "of" and items[k - 1].kinds & (v.VARIED | v.WORD):
        k -= 2  # on either side of the leaves
    if k < 1 or not items[k].kinds & v.ON:
        return False
    sign = k - 1
    while sign > 0 and items[sign].kinds & (v.ONLY | v.DEGREE) and not is_sign(items[sign]):
        sign -= 1  # spots only on the lowest leaf
    nothing = items[k].entry.text == "on" and items[k - 1].kinds & v.NONE
    return is_sign(items[sign]) or bool(nothing)


def group(items: list[Item], j: int) -> list[int]:
    """The organs joined with organ `j`: `leaves and stem`, `leaf, lip or bract`."""
    group = [j]
    k = j - 1
    while k > 0 and items[k].kinds & (v.AND | v.OR | v.COMMA) and items[k - 1].kinds & v.ORGAN:
        if _has_its_own(items, k - 1) or items[k].start - items[k - 1].end > _SPACE:
            break  # leaves (4 cm wide), lip with dots
        k -= 1
        group.append(k)
        k -= 1
    return group


def group_behind(items: list[Item], j: int) -> list[int]:
    """The organs joined with organ `j` behind it: `(spots on) leaves and lip`."""
    group = [j]
    k = j + 1
    joins = v.AND | v.OR
    if k < len(items) and items[k].kinds & v.COMMA and _lists_organs(items, k):
        joins |= v.COMMA
    while k + 1 < len(items) and items[k].kinds & joins and items[k + 1].kinds & v.ORGAN:
        joins &= ~(v.COMMA if items[k].kinds & v.AND else 0)
        group.append(k + 1)
        k += 2
    return group


def _lists_organs(items: list[Item], k: int) -> bool:
    """`(spots on lip), bracts and leaves (alike)`: commas between organs, and an `and` at last."""
    while k + 2 < len(items) and items[k].kinds & v.COMMA and items[k + 1].kinds & v.ORGAN:
        k += 2
    return k + 1 < len(items) and bool(items[k].kinds & v.AND and items[k + 1].kinds & v.ORGAN)
