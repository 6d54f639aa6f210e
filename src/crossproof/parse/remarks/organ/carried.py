"""A state word far from its organ: carried from before, or needing none."""

from __future__ import annotations

from crossproof.parse.remarks.organ.alone import nothing_else_said, pointed_at
from crossproof.parse.remarks.organ.attachment import Attachment, group, is_sign, known, sign_near
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import (
    Item,
    ends,
    is_organ,
    past,
    sentence_before,
    stretch_start,
)


def _rather_alone(items: list[Item], i: int, k: int, found: Attachment) -> bool:
    """`spotted leaves, hollow`: without a noun for the spots, `hollow` is not of them."""
    if found.sense.role != "beside" or len(items[i].entry.senses) < 2:
        return False
    if items[k].phrase == items[i].phrase:
        return False
    unknown = i > 1 and items[i - 1].kinds == v.WORD and not items[i - 1].entry.topic
    if unknown and items[i - 2].kinds & v.HARD:
        return True  # leaf spots absent; stlk solid
    of_noun = i + 1 < len(items) and items[i + 1].kinds == v.WORD
    if _has_a_figure(items, i) or (of_noun and items[k].clause != items[i].clause):
        return True  # leaf spots dense; hollow bank
    return not any(
        is_sign(item, found.character) and item.sentence == items[i].sentence for item in items[:i]
    )


def _has_a_subject(items: list[Item], i: int, k: int, found: Attachment) -> bool:
    """`leaves plain, calyx spotted`: the state of organ `k`, and then an unknown noun's."""
    noun, mark = items[i - 1], items[i - 2]
    unknown = noun.kinds in (v.WORD, v.WORD | v.VERB) and noun.value < 0 and i - 3 > k
    if not unknown or noun.entry.topic or not mark.kinds & (v.COMMA | v.AND):
        return False
    k += items[k + 1].value >= 0  # lf 6 plain, br spotted
    first = past(items, k + 1, v.DEGREE | v.NOT | v.WITH | v.COLON, v.STATE)
    return found.sense.role != "sign" and found.character in items[first].entry.senses


def _has_a_figure(items: list[Item], i: int) -> bool:
    """`leaf spots 3/10, hollow 10/10`, `leaf spots y/y, hollow y/n`: a label, as the one before."""
    if i + 1 >= len(items):
        return False
    of = i + 2 < len(items) and items[i + 2].entry.text == "/"
    letter = bool(items[i + 1].kinds & (v.YES | v.NONE)) and len(items[i + 1].entry.text) == 1
    return (of and items[i + 1].value >= 0) or (letter and (of or ends(items, i + 2)))


def _of_other_signs(items: list[Item], i: int, character: str) -> bool:
    """`some spots ringed, others solid`, `spots, each with a green eye`: of spots too."""
    first = stretch_start(items, i)
    if not i or not (items[i - 1].kinds & v.COUNT or items[first].entry.text == "each"):
        return False
    return any(is_sign(m, character) and m.sentence == items[i].sentence for m in items[:i])


def _of_sign_before(items: list[Item], i: int, character: str) -> bool:
    """`a hole down the middle you'd hardly get a pin into`: the pin measures the hole."""
    if items[i].kinds & v.LOOSE or len(items[i].entry.senses) > 1:
        return False
    for j in range(i - 1, -1, -1):
        if items[j].phrase != items[i].phrase or items[j].kinds & v.AND:
            return False
        sense = items[j].entry.senses.get(character)
        if sense is not None and sense.role == "certain":
            return True
    return False


def _describes_next(items: list[Item], i: int) -> bool:
    """`ringed on one, solid-spotted on its neighbour`: how it is spotted, not what the stem is."""
    if i + 2 >= len(items) or items[i + 1].phrase != items[i].phrase:
        return False
    on = items[i + 2].kinds & v.ON
    behind = {c for c, sense in items[i + 1].entry.senses.items() if sense.role == "word"}
    beside = {c for c, sense in items[i].entry.senses.items() if sense.role == "beside"}
    return bool(on and behind & beside)


def _on_paper(items: list[Item], i: int) -> bool:
    """`ink blots on the card`: no leaf's."""
    behind = items[i + 1] if i + 1 < len(items) else items[i]
    return bool(behind.kinds & v.SAYS) and behind.entry.text.startswith("on ")


def _is_predicate(items: list[Item], i: int) -> bool:
    """`one parent plain-leaved, the hybrid spotted`: said of our plant, as the word before was."""
    k = i - 1
    k -= k > 0 and bool(items[k].kinds & v.AGAIN)  # the hybrid likewise hollow
    return k >= 0 and bool(items[k].kinds & v.OWN)


def _of_the_whole(items: list[Item], i: int) -> bool:
    """`a solid, stocky plant`: built so, all of it."""
    behind = items[i + 1 : i + 4]
    listed = len(behind) > 2 and behind[0].kinds & v.COMMA and behind[1].kinds == v.WORD
    return bool(listed and behind[2].kinds & v.PLANTS)


def _named_last(items: list[Item], i: int) -> Attachment | None:
    """`went flat at once, the stem`, `plain green they were, all the leaves of it`."""
    here = sentence_before(items, i)
    if any(map(_is_named, here)):
        return None
    if (organ := _tested(items, i + 1)) >= 0:
        return known(items, i, organ)
    k = i + 1
    while k < len(items) and items[k].sentence == items[i].sentence:
        if items[k].kinds & v.HARD & ~v.BUT or items[k].kinds & v.COMMA:
            organs = _organ_alone(items, k + 1)
            if organs:
                return known(items, i, organs[0])
        elif _is_named(items[k]) or (items[k].kinds & v.STATE and not _alike(items[k], items[i])):
            return None
        k += 1
    return None


def _tested(items: list[Item], k: int) -> int:
    """The organ of `(walls met) when I pinched the stem`; -1 where none was tried."""
    if k >= len(items) or not items[k].kinds & v.EXAMINE:
        return -1
    k += 1
    k = past(items, k, v.THE)
    return k if k < len(items) and _is_named(items[k]) and ends(items, k + 1) else -1


def _alike(a: Item, b: Item) -> bool:
    """`ringed, not spotted, are the leaves`: both of one organ."""
    return not a.entry.senses.keys().isdisjoint(b.entry.senses)


def _organ_alone(items: list[Item], k: int) -> list[int]:
    """The one organ of the stretch from item `k` on, where that says nothing but its name."""
    last = k
    while last < len(items) and not items[last].kinds & v.LIMIT:
        last += 1
    stretch = range(k, last)
    words = sum(items[n].kinds == v.WORD for n in stretch)
    organs = [n for n in stretch if _is_named(items[n])]
    told = any(items[n].kinds & _TELLS for n in stretch)
    return organs if len(organs) == 1 and words < 4 and not told else []


_TELLS = (
    v.STATE | v.NONE | v.NOT | v.YES | v.UNSEEN | v.EXAMINE | v.WITH | v.NUMBER | v.SEE | v.SPECIES
    | v.OTHER | v.FLOWER
)  # fmt: skip


def _is_named(item: Item) -> bool:
    """An organ itself, and not that it was looked at: `pinched it`."""
    return is_organ(item) and not item.kinds & v.EXAMINE


def told_before(items: list[Item], i: int, but: str) -> Attachment | None:
    """`stem solid above, hollow below and spots on the leaves`: of the stem, not of `but`."""
    others = (c for c in items[i].entry.senses if c != but)
    at = carried(items, i) if any(sign_near(items, i, c) for c in others) else None
    return at if at is not None and at.character != but else None


def carried(items: list[Item], i: int) -> Attachment | None:
    """The nearest organ named before, in this sentence or the one before; or none is needed."""
    item = items[i]
    clear = nothing_else_said(items, i)
    for j in range(i - 1, -1, -1):
        other = items[j]
        if item.sentence - other.sentence > 1:
            break
        if not other.kinds & v.ORGAN or (other.kinds & v.ADJECTIVE and not _is_predicate(items, i)):
            continue
        if item.sentence != other.sentence and not clear:
            break
        for k in group(items, j):
            if (found := known(items, i, k)) and not _rather_alone(items, i, k, found):
                return None if _has_a_subject(items, i, k, found) else found
        of_no_character = not other.entry.organs and item.sentence == other.sentence
        of_no_character = of_no_character and not _takes_up(items, i, j)
        if item.phrase == other.phrase or not clear or other.kinds & v.FLOWER or of_no_character:
            return None  # bracts purple, heavily spotted
        break
    return _named_last(items, i) or _without_organ(items, i, clear)


def _takes_up(items: list[Item], i: int, j: int) -> bool:
    """`it seemed hollow but that was the sheath; it is solid`: not of the part last named."""
    if items[i - 1].entry.text != "it" or items[i].clause == items[j].clause:
        return False
    senses = items[i].entry.senses
    return any(senses[c].role == "alone" and sign_near(items, i, c) for c in senses)


def _without_organ(items: list[Item], i: int, clear: bool) -> Attachment | None:
    """A word that needs no organ: `unspotted`, `solid` where nothing else is spoken of."""
    item = items[i]
    for character, sense in item.entry.senses.items():
        if sense.role == "beside" and (
            _of_other_signs(items, i, character) or _of_sign_before(items, i, character)
        ):
            return Attachment(character, sense, -1)
    for character, sense in item.entry.senses.items():
        if sense.role == "certain" or (
            clear
            and not _of_the_whole(items, i)
            and not item.soft
            and not _describes_next(items, i)
            and (sense.role == "alone" or (sense.role == "sign" and not pointed_at(items, i)))
            and not _on_paper(items, i)
        ):
            return Attachment(character, sense, -1)
    return None
