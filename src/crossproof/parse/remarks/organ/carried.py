"""A state word far from its organ: carried from before, or needing none."""

from __future__ import annotations

from crossproof.parse.remarks.organ.alone import nothing_else_said, pointed_at
from crossproof.parse.remarks.organ.attachment import Attachment, group, is_sign, known
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, stretch_start


def _rather_alone(items: list[Item], i: int, k: int, found: Attachment) -> bool:
    """`spotted leaves, hollow`: without a noun for the spots, `hollow` is not of them."""
    if found.sense.role != "beside" or len(items[i].entry.senses) < 2:
        return False
    if items[k].phrase == items[i].phrase:
        return False
    return not any(
        is_sign(item, found.character) and item.sentence == items[i].sentence for item in items[:i]
    )


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


def _is_predicate(items: list[Item], i: int) -> bool:
    """`one parent plain-leaved, the hybrid spotted`: said of our plant, as the word before was."""
    return i > 0 and bool(items[i - 1].kinds & v.OWN)


def _of_the_whole(items: list[Item], i: int) -> bool:
    """`a solid, stocky plant`: built so, all of it."""
    behind = items[i + 1 : i + 4]
    listed = len(behind) > 2 and behind[0].kinds & v.COMMA and behind[1].kinds == v.WORD
    return bool(listed and behind[2].kinds & v.PLANTS)


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
                return found
        of_no_character = not other.entry.organs and item.sentence == other.sentence
        if item.phrase == other.phrase or not clear or other.kinds & v.FLOWER or of_no_character:
            return None  # bracts purple, heavily spotted
        break
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
        ):
            return Attachment(character, sense, -1)
    return None
