"""Which organ a state word speaks of."""

from __future__ import annotations

from collections.abc import Mapping

from crossproof.parse.remarks.organ.attachment import (
    Attachment,
    close,
    group,
    group_behind,
    is_sign,
    known,
    sign_near,
)
from crossproof.parse.remarks.organ.carried import carried, told_before
from crossproof.parse.remarks.organ.scope import EVERY
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, is_organ, past, sets_apart, stops
from crossproof.parse.remarks.text.vocabulary import Sense

_BETWEEN_ORGAN_AND_STATE = (
    v.DEGREE | v.NOT | v.NONE | v.YES | v.HEDGE | v.WITH | v.COUNT | v.THE | v.OWN | v.SEE
    | v.EXAMINE | v.SUPPOSE | v.NUMBER | v.LIKE | v.UNSURE | v.ACTUALLY | v.ONLY | v.ADVERB
)  # fmt: skip
_BEFORE_ORGAN = v.DEGREE | v.COUNT | v.HEDGE | v.NUMBER
_AFTER_SIGN = (
    v.WITH | v.DEGREE | v.SEE | v.YES | v.NONE | v.HEDGE | v.STATE | v.WORD | v.COUNT | v.ONLY
    | v.THE
)  # fmt: skip
_AFTER_ON = (
    v.THE | v.DEGREE | v.COUNT | v.WORD | v.ON | v.OWN | v.NUMBER | v.EXAMINE | v.STATE | v.TO
    | v.VARIED
)  # fmt: skip
_INTRODUCES = v.NOT | v.NONE | v.DEGREE | v.WITH | v.COUNT | v.THE | v.STATE | v.SEE
_DEEPEST = 8


def attach(items: list[Item], i: int, depth: int = 0) -> Attachment | None:
    """Attach the state word `items[i]` to its organ; None where it speaks of something else.

    A sign may in turn stand by a sign (`depth`), but no recorder piles up more than a few.
    """
    if depth > _DEEPEST:
        return None
    at = _attached(items, i, depth)
    if at is None or not items[i].kinds & v.LOOSE:
        return at
    if at.organ < 0:
        return at if at.sense.role == "beside" or _introduced(items, i) else None
    return at if close(items, i, at.organ) else None


def _introduced(items: list[Item], i: int) -> bool:
    """`no mark`, `slight give`, `give: none`: a loose word without its organ; not `Mark says`."""
    before = items[i - 1].kinds if i else 0
    after = items[i + 1].kinds if i + 1 < len(items) else 0
    return bool(before & _INTRODUCES or after & (v.NONE | v.COLON))


def _attached(items: list[Item], i: int, depth: int) -> Attachment | None:
    item = items[i]
    senses = item.entry.senses
    for character, sense in senses.items():
        if sense.role == "whole":
            return Attachment(character, sense, -1)
    if is_a_place(items, i):
        return None
    beside, of_others = _beside_next_sign(items, i, depth)
    if beside and not (items[i + 1].kinds & v.AND or items[i + 1].entry.text[:4] == "but "):
        return beside
    before, blocked = _just_before(items, i, depth)
    if beside:  # stem hollow and spots on the leaves; flowers open and spots on the leaves
        host = None if before and before.character == beside.character else before
        return host or (None if blocked else told_before(items, i, beside.character) or beside)
    if before is not None:
        return _rather_than_beside(items, i, before)
    if blocked or of_others:
        return None
    longer = {c: s for c, s in senses.items() if s.role != "short"}
    return _found_behind(items, i, longer) if longer else _just_after(items, i)[0]


def _rather_than_beside(items: list[Item], i: int, before: Attachment) -> Attachment:
    """`no spots on the leaves, no hollow in the stem`: an organ behind outweighs a sign before."""
    if before.sense.role != "beside" or len(items[i].entry.senses) < 2:
        return before
    after = _just_after(items, i)[0] or _by_preposition(items, i)[0]
    return after if after is not None and after.character != before.character else before


def _found_behind(items: list[Item], i: int, senses: Mapping[str, Sense]) -> Attachment | None:
    """The organ behind the word, by a preposition, or carried from before."""
    compound = i + 1 < len(items) and items[i + 1].kinds & v.ADJECTIVE  # spot-leaved
    if compound or any(sense.role != "sign" for sense in senses.values()):
        after, blocked = _just_after(items, i)
        if after is not None or blocked:
            return after
    after, blocked = _by_preposition(items, i)
    if after is not None or blocked:
        return after
    if items[i + 1 : i + 2] and items[i + 1].kinds & v.COLON:
        labelled, blocked = _labels_organs(items, i, senses)
        if labelled is not None or blocked:
            return labelled
    if items[i].soft and not any(sign_near(items, i, character) for character in senses):
        return None
    return carried(items, i)


def _labels_organs(
    items: list[Item], i: int, senses: Mapping[str, Sense]
) -> tuple[Attachment | None, bool]:
    """`Marked: leaves, bracts.`; and whether other organs are labelled: `Spots: on lip only`."""
    first = past(items, i + 2, v.ON | v.THE)
    if first >= len(items) or not items[first].kinds & v.ORGAN:
        return None, False
    for k in group_behind(items, first):
        if not _speaks_of_next(items, k):
            for character in senses:
                if character in items[k].entry.organs:
                    return Attachment(character, senses[character], k), False
    return None, not any(c in items[first].entry.organs for c in senses)


_PLACED = frozenset({"in", "at", "from", "near", "down", "by", "over", "around", "under", "along"})


def is_a_place(items: list[Item], i: int) -> bool:
    """`in a (small) hollow`, `near the bar`: a place, unless an organ follows."""
    if items[i].lead & v.BE:
        return False
    j = i - 1
    while j >= 0 and items[j].kinds & (v.DEGREE | v.WORD) and j > i - 3:
        if items[j].entry.text in ("a small", "a slight"):
            break
        j -= 1
    if j < 1 or items[j - 1].entry.text not in _PLACED:
        return False
    if not items[j].kinds & v.THE and items[j].entry.text not in ("a small", "a slight"):
        return False
    rest = items[i + 1 : i + 4]
    return not any(m.kinds & (v.ORGAN | v.STATE) for m in rest if m.phrase == items[i].phrase)


def _beside_next_sign(items: list[Item], i: int, depth: int) -> tuple[Attachment | None, bool]:
    """`hollow spots`, `solid dark marks`: the word describes the sign that follows.

    And whether that sign is of another organ: `lip with solid spots`.
    """
    for j in range(i + 1, min(i + 5, len(items))):
        kinds = items[j].kinds
        for character, sense in items[j].entry.senses.items():
            mine = items[i].entry.senses.get(character)
            if sense.role == "sign" and mine is not None and mine.role == "beside":
                host = attach(items, j, depth + 1)
                if host is None or host.character != character:
                    return None, all(m.kinds & v.DEGREE for m in items[i + 1 : j])
                if items[i + 1].kinds & v.ORGAN and character not in items[i + 1].entry.organs:
                    return None, False  # hollow stem and dark spots on the leaves
                return Attachment(character, mine, host.organ), False
        own = kinds & v.ORGAN and items[i].entry.senses.keys() & items[j].entry.organs
        if own and j == i + 1:
            continue  # solid leaf spots
        if not kinds & (v.DEGREE | v.STATE | v.AND | v.COUNT) or kinds & (v.ORGAN | v.LIMIT):
            break
    return None, False


def _just_before(items: list[Item], i: int, depth: int) -> tuple[Attachment | None, bool]:
    """`leaves (clearly, not, with) spotted`: the organ stands right before its state."""
    for j in range(i - 1, -1, -1):
        other = items[j]
        if other.kinds & v.ORGAN:
            if other.kinds & v.ADJECTIVE:
                return None, False
            for k in group(items, j):
                if found := known(items, i, k):
                    return found, False
            return None, _is_of_that(items, i, j)
        if other.kinds & v.STATE and not other.kinds & (v.LIMIT | v.EXCEPT):
            if is_sign(other) and (found := known(items, i, j)):
                host = attach(items, j, depth + 1)
                return (
                    (Attachment(found.character, found.sense, host.organ), False)
                    if host
                    else (None, True)
                )
            return None, False
        if other.kinds & (v.YES | v.NONE) and _answers_before(items, j):
            return None, False
        if other.kinds & v.THEY:
            return _by_pronoun(items, i, j), False
        if not _passed_over(items, i, j) and (
            not other.kinds & _BETWEEN_ORGAN_AND_STATE or other.kinds & v.LIMIT
        ):
            return None, _labels_another(items, i, j) and _is_of_that(items, i, j)
    return None, False


def _is_of_that(items: list[Item], i: int, j: int) -> bool:
    """`lip unmarked, dark spots on the leaves`: said of the lip before it, and of no more.

    So are `lip with rings, spots on the leaves` and `flowers open and six leaves`.
    """
    signs = is_sign(items[i]) and i > 0 and items[i - 1].kinds & (v.WITH | v.NOT)
    said = any(s.role not in ("sign", "short") for s in items[i].entry.senses.values())
    near = all(m.kinds & (v.DEGREE | v.WITH | v.NOT) for m in items[j + 1 : i])
    return bool(said or signs) and near and stops(items, i + 1, v.AND)


def _labels_another(items: list[Item], i: int, j: int) -> bool:
    """Whether item `j` is the mark of `lip: spotted`, `lip - spotted`."""
    label = j > 0 and sets_apart(items[j]) and is_organ(items[j - 1])
    return label and not any(known(items, i, k) for k in group(items, j - 1))


def _passed_over(items: list[Item], i: int, j: int) -> bool:
    """Whether item `j` only joins the state word `i` to its organ: a measure, a label's colon."""
    if _is_measure(items[j]):
        return True  # stem 6 mm thick and hollow
    organ = j - 1 - (j > 1 and _is_measure(items[j - 1]))
    if not j or not items[organ].kinds & v.ORGAN:
        return False
    labelled = sets_apart(items[j])
    return (labelled and _is_short(items[i])) or _behind_dropped(items, i, j, organ)


def _is_measure(item: Item) -> bool:
    return item.kinds == v.WORD and item.value >= 0


def _behind_dropped(items: list[Item], i: int, j: int, organ: int) -> bool:
    """`leaves (green) and unmarked`: an adjective of no consequence stood before the `and`."""
    if not items[j].kinds & v.AND or items[organ].kinds & v.ADJECTIVE:
        return False
    roles = {
        items[i].entry.senses[c].role
        for c in items[organ].entry.organs
        if c in items[i].entry.senses
    }
    return bool(roles & {"word", "alone", "certain"})


def _answers_before(items: list[Item], j: int) -> bool:
    """`rings N hollow Y`: the letter answers what stands before it, and ends that."""
    return len(items[j].entry.text) == 1 and j > 0 and bool(items[j - 1].kinds & v.STATE)


def _by_pronoun(items: list[Item], i: int, j: int) -> Attachment | None:
    """`went back to the leaves: they are plain`: the organ or sign named last before `they`."""
    for k in range(j - 1, -1, -1):
        if items[j].sentence - items[k].sentence > 1:
            return None
        if is_organ(items[k]):
            return known(items, i, k)
    return None


def _is_short(item: Item) -> bool:
    return any(sense.role == "short" for sense in item.entry.senses.values())


def _just_after(items: list[Item], i: int) -> tuple[Attachment | None, bool]:
    """`spotted leaves`, `solid, pith-filled stem`: the organ follows its state."""
    crossed = False
    for j in range(i + 1, min(i + 8, len(items))):
        if items[j].kinds & v.ORGAN:
            for k in group_behind(items, j):
                listed = crossed or k > j
                if (found := known(items, i, k, True)) and not (listed and _new_pair(items, k)):
                    return found, False
            return None, not crossed and not _speaks_of_next(items, j)
        crossed = crossed or bool(items[j].kinds & (v.COMMA | v.AND | v.OR))
        if not _leads_to_organ(items, i, j, crossed):
            return None, False
    return None, False


def _leads_to_organ(items: list[Item], i: int, j: int, crossed: bool) -> bool:
    """Whether item `j` may stand between the state word `items[i]` and its organ behind it."""
    kinds = items[j].kinds
    if kinds & (v.COMMA | v.AND | v.OR):
        if j + 1 >= len(items):
            return True
        begins = kinds & v.COMMA and items[j + 1].entry.text in EVERY  # lip spotted, all leaves …
        if items[j + 1].kinds & v.COUNT and is_organ(items[min(j + 2, len(items) - 1)]):
            return False  # lip spotted, six leaves
        return not begins and bool(items[j + 1].kinds & (v.STATE | _BEFORE_ORGAN))
    if kinds & v.STATE:
        return bool(set(items[j].entry.senses) & set(items[i].entry.senses))
    if kinds & v.WORD:
        return not crossed and not any(item.kinds & v.WORD for item in items[i + 1 : j])
    if kinds & v.THE:
        return not items[i].soft and not crossed
    return bool(kinds & _BEFORE_ORGAN) and not kinds & v.HARD


def _speaks_of_next(items: list[Item], j: int) -> bool:
    """Whether organ `j` begins a pair of its own, unpunctuated: `leaf: spotted stem: hollow`."""
    k = j + 1
    while k < len(items) and items[k].kinds & (v.DEGREE | v.NOT | v.COLON | v.WITH):
        if items[k].kinds & v.COLON:
            return True
        k += 1
    return k < len(items) and any(c in items[k].entry.senses for c in items[j].entry.organs)


def _new_pair(items: list[Item], j: int) -> bool:
    """Whether organ `j` has a state of its own behind it: `spotted, stem solid`."""
    return (
        j + 1 < len(items)
        and bool(items[j + 1].kinds & v.STATE)
        and any(c in items[j + 1].entry.senses for c in items[j].entry.organs)
        and not bool(items[j - 1].kinds & v.STATE)
    )


def _begins_state(items: list[Item], j: int) -> bool:
    """`rings and (ordinary) spots`."""
    kinds = items[j].kinds
    if (kinds == v.WORD or kinds & v.COUNT) and j + 1 < len(items):
        return is_sign(items[j + 1])
    return bool(kinds & (v.STATE | v.DEGREE) and not kinds & v.ORGAN)


def _by_preposition(items: list[Item], i: int) -> tuple[Attachment | None, bool]:
    """`spots (seen) on the lower leaves`."""
    j, size = i + 1, len(items)
    words = 0
    if j + 1 < size and items[j].kinds & v.COMMA and items[j + 1].entry.text == "on":
        j += 1
    while j < size and not items[j].kinds & v.ON:
        kinds = items[j].kinds
        listed = (
            bool(kinds & (v.COMMA | v.OR | v.AND)) and j + 1 < size and _begins_state(items, j + 1)
        )
        words += bool(kinds & v.WORD)
        if words > 2 or (not kinds & _AFTER_SIGN and not listed) or kinds & (v.HARD | v.ORGAN):
            return None, False
        j += 1
    if j >= size:
        return None, False
    for k in range(j + 1, min(j + 7, size)):
        other = items[k]
        if other.kinds & v.ORGAN:
            for m in group_behind(items, k):
                if found := known(items, i, m, True):
                    return Attachment(found.character, found.sense, m), False
            return None, True
        if other.kinds & (v.SPECIES | v.OTHER):
            return None, False
        if not other.kinds & _AFTER_ON or other.kinds & v.LIMIT:
            return None, False
    return None, False
