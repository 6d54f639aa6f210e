"""Nouns and headings that only name a topic: `leaf spots left for another day`, `aim: leaf spots`.

`Leaf spots.` says that there are some. Where they are put off, planned, taught, printed on a form
or held in general, nothing is said of this plant, unless an answer stands behind.
"""

from __future__ import annotations

from typing import NamedTuple

from crossproof.parse.remarks.certainty.headings import (
    is_aim,
    is_left_blank,
    is_listed,
    is_of_task,
    is_ordered,
    is_printed,
    is_quoted_heading,
    is_under_notice,
    is_under_order,
)
from crossproof.parse.remarks.certainty.in_general import (
    is_from_book,
    is_held_in_general,
    is_read_there,
    is_said_of_all,
    is_said_of_no_plant,
)
from crossproof.parse.remarks.certainty.nouns import first_of_list, is_answered, last_of_list
from crossproof.parse.remarks.certainty.predicate import (
    is_capability,
    is_equation,
    is_on_a_thing,
    is_said_otherwise,
)
from crossproof.parse.remarks.certainty.put_off import (
    is_choice,
    is_either_way,
    is_left_open,
    is_looked_through,
    is_object,
    is_to_see,
    stands_with_bare_organ,
)
from crossproof.parse.remarks.organ.attachment import Attachment, is_sign
from crossproof.parse.remarks.plants.distributed import MIXED
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, back, is_organ, phrase_before


class Kinds(NamedTuple):
    """All that the words of a remark may be, to see what need not be looked for."""

    present: int
    topics: int


def topics_of(items: list[Item]) -> int:
    """All that the words of a remark may be for a topic."""
    topics = 0
    for item in items:
        topics |= item.entry.topic
    return topics


def is_topic(items: list[Item], i: int, at: Attachment, kinds: Kinds) -> bool:
    """Whether the state word `items[i]` only names what is spoken of."""
    if _says_nothing(items, i, kinds) or _of_something_else(items, i, at):
        return True
    organ = items[at.organ] if at.organ >= 0 else None
    if organ is not None and organ.kinds & v.ADJECTIVE:  # a plain-leaved form
        if kinds.topics & v.SENT and is_to_see(items, first_of_list(items, i)):
            return True  # keen to see a ring-leaved plant
        return bool(kinds.topics & v.DOES) and is_held_in_general(items, i, i, at)
    last = last_of_list(items, i)
    if organ is not None and at.attributive and organ.entry.text.endswith(" test"):
        return not is_answered(items, at.organ)
    if kinds.topics & v.TASK and is_of_task(items, i, last):
        return True
    first = first_of_list(items, i)
    if at.sense.role == "certain" and i + 1 < len(items) and items[i + 1].kinds & v.PLANTS:
        verb = i > 0 and items[i - 1].kinds & v.VERB
        return bool(verb) or is_object(items, first)  # seeking ring-spotted plants
    inside = items[i + 1].entry.text == "in" if i + 1 < len(items) else False
    if at.sense.role != "sign" and (at.organ < i or inside):
        return False  # a firm pinch left no dent in the stem
    return _is_named_only(items, i, at, first, last, kinds) and not is_answered(items, last)


def _says_nothing(items: list[Item], i: int, kinds: Kinds) -> bool:
    """Words of any kind: what a book says, what was ordered, what is one of two, an empty box."""
    topics = kinds.topics
    return bool(
        (topics & v.BOOK and is_from_book(items, i))
        or (topics & v.NOTICE and is_under_notice(items, i))
        or (topics & v.ORDERS and is_ordered(items, i))
        or (kinds.present & v.OR and (is_either_way(items, i) or is_choice(items, i)))
        or is_looked_through(items, i)
        or is_left_blank(items, i)
        or (topics & v.OPEN and is_capability(items, i))
        or (kinds.present & v.COLON and (is_under_order(items, i) or is_equation(items, i)))
        or (topics & (v.TASK | v.PAGE) and is_quoted_heading(items, i))
    )


def _of_something_else(items: list[Item], i: int, at: Attachment) -> bool:
    """`a fine plant`, `(look at) the stem for hollow`, `the box for hollow`."""
    if at.sense.role == "sign" and (at.organ < 0 or items[at.organ].clause != items[i].clause):
        return is_on_a_thing(items, i)
    if at.sense.role == "beside" and i + 1 < len(items) and items[i + 1].kinds & v.PLANTS:
        return True
    if at.sense.role == "sign" or i < 2 or items[i - 1].entry.text != "for":
        return False
    return is_organ(items[i - 2]) or bool(items[i - 2].entry.topic & (v.TASK | v.PAGE))


def _is_named_only(
    items: list[Item], i: int, at: Attachment, first: int, last: int, kinds: Kinds
) -> bool:
    """Whether the nouns from `first` to `last`, that of the state among them, are only named."""
    present, topics = kinds
    return bool(
        (topics & v.BOOK and is_read_there(items, last))
        or ((topics & v.OPEN or present & (v.TO | v.NOT)) and is_left_open(items, i, last))
        or (present & (v.AND | v.OR) and stands_with_bare_organ(items, i, last))
        or (topics & (v.GENERAL | v.DOES) and is_held_in_general(items, first, i, at))
        or (topics & v.AIM and is_aim(items, first))
        or (topics & v.PAGE and is_printed(items, first, i))
        or (at.attributive and is_said_of_all(items, first, at))
        or is_object(items, first)
        or is_said_of_no_plant(items, first)
        or is_listed(items, i)
        or (at.sense.role != "whole" and is_said_otherwise(items, first, i, last))
    )


def is_named_in_passing(items: list[Item], i: int) -> bool:
    """`variable in leaf marking`, `no photo of leaf spots`: no word that there are any."""
    if _is_inside(items, i):
        return True
    j = back(items, i - 1, v.ORGAN | v.THE, first=0)
    if j > 0 and items[j].entry.text in ("in", "of", "as to", "as regards"):
        if items[j - 1].kinds & v.VARIED:
            return items[j - 1].entry.text not in MIXED
        return bool(j > 1 and items[j - 1].kinds & v.PHOTO and items[j - 2].kinds & v.NOT)
    if j > 0 and items[j].entry.text == "for":
        return bool(items[j - 1].kinds & v.PHOTO)  # see photograph for leaf marks
    return False


def _is_inside(items: list[Item], i: int) -> bool:
    """`rings, some with a dot at the centre`: a part of the marks before the comma."""
    k = back(items, i - 1, v.THE | v.SIZE | v.FAINT, v.WITH | v.COUNT, first=0) - 1
    if k < 1 or not items[k + 1].kinds & v.WITH or items[i].entry.text.endswith("s"):
        return False
    k = back(items, k, v.ON | v.THE | v.THEY, v.COUNT, first=1)  # most of these
    if not items[k].kinds & v.COUNT or not items[k - 1].kinds & v.COMMA:
        return False
    here = phrase_before(items, k - 1)
    return any(map(is_sign, here)) and not any(m.kinds & (v.NOT | v.NONE) for m in here)
