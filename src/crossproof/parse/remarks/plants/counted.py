"""Plants that are counted, numbered or lettered: `5 with`, `plant B`, `on most plants`."""

from __future__ import annotations

from itertools import pairwise

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, ends, is_organ, past, sentence_before

_BETWEEN_COUNT_AND_STATE = (
    v.PLANTS | v.DEGREE | v.THE | v.OWN | v.ON | v.COUNT | v.EXAMINE | v.HEDGE | v.THEY | v.CROSS
)  # fmt: skip
_ORDINALS = frozenset({"first", "second", "third", "fourth", "fifth", "1st", "2nd", "3rd"})
YEAR = 1000  # a greater number is a year
_SINGLE = frozenset(
    {"one", "each", "every", "either", "another", "not every", "the other", "only one", "no"}
    | _ORDINALS
    | {f"the {n}" for n in _ORDINALS}
)
GENERALLY = frozenset({"usually", "generally", "normally", "as a rule", "typically"})
THE_OTHERS = frozenset(general_words()["the_others"])


def _of_heights(items: list[Item], i: int) -> bool:
    """`lower quarter of the stem hollow, remainder solid`: parts of one plant."""
    here = sentence_before(items, i)
    return any(m.lead & v.HEIGHTS for m in here) and not any(m.kinds & v.PLANTS for m in here)


def _of_its_leaves(items: list[Item], i: int) -> bool:
    """`two of its leaves plain, the other four dotted`, `one side of the leaf`: on one plant."""
    for k in range(i - 1, 2, -1):
        if items[k].sentence != items[i].sentence:
            return False
        counted = items[k - 3].kinds & v.COUNT and items[k - 2].entry.text == "of"
        one_leaf = items[k - 1].kinds & v.THE and items[k].entry.text == "leaf"
        if items[k].kinds & v.ORGAN and counted and (items[k - 1].kinds & v.OWN or one_leaf):
            return True
    return False


def is_twin(items: list[Item], i: int) -> bool:
    """`one plant ringed, its neighbour plain`: the second of two that were recorded.

    Not `its neighbour, a fuchsii`.
    """
    if not items[i].kinds & v.OTHER or i < 3 or items[i - 1].entry.text != "its":
        return False
    if items[i].entry.text.endswith("s"):
        return False
    k = past(items, i + 1, v.COMMA | v.THE)
    if k < len(items) and items[k].kinds & v.SPECIES:
        return False
    one = pairwise(sentence_before(items, i))
    return any(
        a.kinds & v.COUNT and (b.kinds & v.PLANTS or b.entry.text == "hybrid") for a, b in one
    )


def is_compound(items: list[Item], j: int) -> bool:
    """`a third leaf-spotted, others unspotted`."""
    if j + 1 >= len(items) or not items[j].kinds & v.ORGAN or items[j].entry.text[-1:] == "s":
        return False
    adjective = any(sense.role == "word" for sense in items[j + 1].entry.senses.values())
    return adjective and items[j + 1].start - items[j].end == 1


def is_leaf_spotted(items: list[Item], j: int) -> bool:
    """`one leaf-spotted`, `three leaf spotted`: said of plants; not `one leaf spotted`."""
    if not is_compound(items, j):
        return False
    before = items[j - 1] if j else None
    one = before is not None and (before.entry.text in _SINGLE or before.value == 1)
    return items[j + 1].hyphened or not one


def is_numbered(items: list[Item], i: int) -> bool:
    """`plant 1: …`, `plant B …`, `(1) spotted leaves`."""
    item = items[i]
    after = items[i + 1] if i + 1 < len(items) else None
    if item.kinds & v.PLANTS and after is not None:
        return after.end - after.start == 1 and not after.kinds & v.LIMIT
    bracketed = item.kinds & v.NUMBER and i and items[i - 1].entry.text == "("
    closed = after is not None and after.entry.text == ")"
    return bool(bracketed and closed and i + 2 < len(items) and items[i + 2].kinds & v.STATE)


def is_lettered(items: list[Item], i: int, numbered: bool) -> bool:
    """`A: …, B: …`, `(a) …, (b) …`, and where plants were numbered before also `B leaves …`."""
    item = items[i]
    if item.end - item.start > 3 or i + 1 >= len(items) or item.kinds & (v.LIMIT | v.STATE):
        return False
    before, after = items[i - 1] if i else None, items[i + 1]
    if before is not None and before.entry.text == "(" and after.entry.text == ")":
        return i + 2 < len(items) and not items[i + 2].kinds & v.LIMIT
    if item.end - item.start > 1 or item.kinds & (v.ORGAN | v.PHOTO | v.LABEL):
        return False
    starts = before is None or bool(before.kinds & (v.LIMIT | v.AND))
    numbered = numbered and not item.kinds & v.THE
    follows = v.COLON | v.COMMA | ((v.ORGAN | v.STATE | v.DEGREE) if numbered else 0)
    return starts and (bool(after.kinds & follows) or after.entry.text in v.DASHES)


def in_letters(items: list[Item]) -> list[int]:
    """`leaves: A ringed, B plain, C spotted`; `plants A-D spotted, E-G plain`."""
    told = v.STATE | v.DEGREE | v.ORGAN | v.WITH
    found = []
    for i in range(len(items) - 1):
        behind = items[i + 1 + _is_letter(items[i + 1]) :]
        opens = not i or items[i - 1].kinds & (v.LIMIT | v.PLANTS)
        if opens and _is_letter(items[i]) and behind and behind[0].kinds & told:
            found.append(i)
    bracketed = [i for i in range(1, len(items) - 1) if _in_brackets(items, i)]
    if len(bracketed) > 1:
        return bracketed
    if len(found) < 2:
        return []
    first = found[0]
    lettered = items[first].entry.text == "a" or (first and items[first - 1].kinds & v.PLANTS)
    return found if lettered else []


def in_order(items: list[Item]) -> list[int]:
    """`first plant leaves plain, second leaves spotted`."""
    found = []
    for i, item in enumerate(items[:-1]):
        if item.entry.text in _ORDINALS and (not i or items[i - 1].kinds & (v.LIMIT | v.THE)):
            k = i + 1 + bool(items[i + 1].kinds & v.PLANTS)
            if k < len(items) and items[k].kinds & (v.ORGAN | v.WITH | v.COLON):
                found.append(i)
    return found if len(found) > 1 else []


def _in_brackets(items: list[Item], i: int) -> bool:
    """The bracket that closes `(i)`, `(ii)` before a state or an organ."""
    if items[i].entry.text != ")" or not items[i + 1].kinds & (v.STATE | v.ORGAN | v.NONE):
        return False
    opens = i - 1 if items[i - 1].entry.text == "(" else i - 2
    short = items[i].start - items[max(opens, 0)].end < 4
    return opens >= 0 and items[opens].entry.text == "(" and short


def _is_letter(item: Item) -> bool:
    return item.end - item.start == 1 and not item.kinds & (v.LIMIT | v.NUMBER | v.LABEL)


def counted_behind(items: list[Item], i: int) -> bool:
    """`spotted in most plants, plain in others`."""
    if i + 1 < len(items) and items[i + 1].entry.text.endswith("%"):
        return ends(items, i + 2)
    if _counted_by_label(items, i):
        return True
    i += i + 1 < len(items) and is_organ(items[i + 1])  # ringed leaves on two
    if i + 2 >= len(items) or not items[i + 1].kinds & v.ON:
        return False
    if items[i + 2].entry.text == "its" and i + 3 < len(items):
        return bool(items[i + 3].kinds & v.OTHER)  # on its neighbour
    k = counted_from(items, i + 1)
    if not k or items[k].value > YEAR:
        return False
    while k + 1 < len(items) and items[k + 1].kinds & (v.NUMBER | v.COUNT):
        k += 1  # in the other 4
    behind = items[k + 1].kinds if k + 1 < len(items) else v.LIMIT
    of_them = items[k + 1 : k + 2] and items[k + 1].entry.text == "of"
    return bool(behind & (v.PLANTS | v.LIMIT | v.AND) or of_them)


def _counted_by_label(items: list[Item], i: int) -> bool:
    """`Spotted leaves: 3 plants. Plain leaves: 4.`"""
    k = past(items, i + 1, v.ORGAN)
    if k + 1 >= len(items) or not items[k].kinds & v.COLON or not items[k + 1].value > 0:
        return False
    return ends(items, k + 2, v.PLANTS)


def counted_from(items: list[Item], k: int) -> int:
    """The count behind the preposition `k`: `in the others`, `on the leaves of the other`; or 0."""
    while k + 1 < len(items) and items[k].kinds & v.ON:
        if items[k + 1].kinds & v.COUNT:
            return k + 1
        k += 1
        while (
            k < len(items)
            and items[k].kinds & (v.THE | v.ORGAN)
            and not (items[k].kinds & (v.ON | v.COUNT))
        ):
            k += 1
        if k < len(items) and items[k].kinds & v.COUNT:
            return k
    return 0


def counts_plants(items: list[Item], i: int) -> bool:
    """`5 with spotted leaves`, `others plain`; not `a few spots`, `some leaves spotted`."""
    if items[i].entry.text in THE_OTHERS and (_of_heights(items, i) or _of_its_leaves(items, i)):
        return False
    j = i + 1
    passed = _BETWEEN_COUNT_AND_STATE | (v.WORD if items[i].entry.text in THE_OTHERS else 0)
    while (
        j < len(items)
        and items[j].kinds & passed
        and not items[j].kinds & (v.STATE | v.LIMIT | v.WITH)
    ):
        j += 1
    if j >= len(items):
        return False
    kinds = items[j].kinds
    if kinds & (v.WITH | v.NOT | v.ADJECTIVE):
        return True
    if is_compound(items, j) and any(m.kinds & v.PLANTS for m in items[i:j]):
        return True
    if kinds & v.NONE and ends(items, j + 1):
        return True  # the rest none
    if not kinds & v.STATE or kinds & v.LIMIT:
        return False
    k = j + 1
    if k < len(items) and items[k].kinds & v.ADJECTIVE:
        return True  # others spot-leaved
    roles = {sense.role for sense in items[j].entry.senses.values()}
    if roles <= {"sign", "beside"}:
        return ends(items, j + 1) and items[i].entry.text in THE_OTHERS
    if k < len(items) and is_organ(items[k]):
        return j > i + 1 and any(m.kinds & v.PLANTS for m in items[i:j])
    return True
