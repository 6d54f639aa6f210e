"""Whether a mention is a statement: a noun that an unknown verb or preposition governs is none.

`Leaf spots.`, `with spots`, `has a hollow stem` state something. `Wants leaf spots`, `talk turned
to hollow stems`, `no comment on leaf spots` only speak of it. The words of a mention that stand
before its noun are passed over; what stands left of them decides.
"""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import Attachment, is_sign
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, back

_OWN_WORDS = v.THE | v.DEGREE | v.COUNT | v.STATE | v.ORGAN | v.NUMBER | v.PLANTS
_LICENSES = v.NOT | v.NONE | v.WITH | v.SEE | v.YES
_OF_MARKS = frozenset(general_words()["of_marks"])
_LISTED = v.STATE | v.ORGAN


def only_spoken_of(items: list[Item], i: int, at: Attachment) -> bool:
    """Whether the sign or attributive state word `items[i]` is only spoken of."""
    if _rated(items, i) or _of_whole_plant(items, i, at) or _praises(items, i, at):
        return True
    if not (at.attributive or at.sense.role == "sign") or items[i].lead & v.BE:
        return False
    left = _left_of(items, i)
    if left < 0 or items[left].kinds & v.LIMIT:
        return False
    kinds = items[left].kinds
    if kinds & v.VERB and at.organ >= 0 and items[at.organ].kinds & v.ADJECTIVE:
        return False  # the juveniles plain-leaved
    if kinds & v.VERB:
        return not _is_subject(items, left) and not _answered(items, i)
    if kinds & v.ON and _not_the_ground(items, left):
        return True
    if _has_a_shape(items, left, i) or items[left + 1].kinds & v.OWN:
        return False  # of its plain leaves
    if kinds & (v.ON | v.TO) and not kinds & (_LICENSES | v.VARIED):
        unknown = left > 0 and (_is_unknown(items[left - 1]) or items[left - 1].entry.text == ")")
        return unknown and not _named_before(items, left, at) and not _answered(items, i)
    return False


def _has_a_shape(items: list[Item], left: int, i: int) -> bool:
    """`shape of leaf spots differs`, `the spots vary in size`: there are some, of several kinds."""
    of = items[left].entry.text == "of" and left > 0
    varied = i + 1 < len(items) and items[i + 1].kinds & v.VARIED
    return bool(of and varied) and items[left - 1].entry.text in _OF_MARKS


def _rated(items: list[Item], i: int) -> bool:
    """`leaf spotting 0, 0, 1, 3`: plants rated on a scale, and no answer for one."""
    first, comma, second = items[i + 1 : i + 4] if i + 3 < len(items) else (None, None, None)
    if first is None or comma is None or second is None:
        return False
    return bool(comma.kinds & v.COMMA) and all(
        m.value >= 0 or m.entry.text == "0" for m in (first, second)
    )


def _of_whole_plant(items: list[Item], i: int, at: Attachment) -> bool:
    """`the plant was solid, sturdy`: said of its build, not of an organ that nobody names."""
    if at.organ >= 0 or at.sense.role != "alone" or not items[i].lead & v.BE:
        return False
    j = back(items, i - 1, v.DEGREE | v.NOT, first=0)
    return j >= 0 and "plant" in items[j].entry.text


def _praises(items: list[Item], i: int, at: Attachment) -> bool:
    """`Solid, reliable recorder.`: the noun behind the comma is none of the plant's."""
    if at.organ >= 0 or at.sense.role != "alone" or (i and not items[i - 1].kinds & v.STOP):
        return False
    behind = items[i + 1 : i + 4]
    if len(behind) < 3 or not behind[0].kinds & v.COMMA or not _is_unknown(behind[1]):
        return False
    here = [m for m in items if m.sentence == items[i].sentence]
    return not any(m.kinds & (v.ORGAN | v.STATE | v.NUMBER) for m in here if m is not items[i])


def _not_the_ground(items: list[Item], left: int) -> bool:
    """`not named on spots`: says nothing of them."""
    return (
        left > 1
        and bool(items[left - 1].kinds & v.NAMED)
        and any(m.kinds & v.NOT and m.phrase == items[left].phrase for m in items[: left - 1])
    )


def _named_before(items: list[Item], left: int, at: Attachment) -> bool:
    """`rings on the leaves, closing up to solid spots`: the leaves are what the sentence is of."""
    return any(
        (at.character in m.entry.organs or at.character in m.entry.senses)
        and m.sentence == items[left].sentence
        for m in items[:left]
    )


def _answered(items: list[Item], i: int) -> bool:
    """`the answer to your question on leaf spots is no`."""
    return any(
        m.kinds & (v.YES | v.NONE) and m.sentence == items[i].sentence for m in items[i + 1 : i + 4]
    )


def _left_of(items: list[Item], i: int) -> int:
    """The item left of the noun phrase of state word `i`; -1 where it begins the remark."""
    first = i
    while first > 0:
        kinds = items[first - 1].kinds
        if kinds & (v.AND | v.OR) and first > 1 and items[first - 2].kinds & _LISTED:
            first -= 1
        elif kinds & (v.LIMIT | _LICENSES) or not kinds & _OWN_WORDS:
            break
        else:
            first -= 1
    return first - 1


def _is_unknown(item: Item) -> bool:
    return bool(item.kinds & v.WORD and not item.kinds & v.THEY)


def _is_subject(items: list[Item], j: int) -> bool:
    """`leaves bearing spots`, `the plant sports spots`, `spots become rings`: what bears them."""
    bears = v.ORGAN | v.OWN | v.PLANTS | v.NOT | v.DEGREE
    return j > 0 and (bool(items[j - 1].kinds & bears) or is_sign(items[j - 1]))
