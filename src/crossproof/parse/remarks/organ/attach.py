"""Which organ a state word speaks of."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import (
    Attachment,
    close,
    group,
    is_sign,
    known,
)
from crossproof.parse.remarks.organ.behind import by_preposition, found_behind, just_after
from crossproof.parse.remarks.organ.carried import told_before
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, is_organ, sets_apart, stops

_BETWEEN_ORGAN_AND_STATE = (
    v.DEGREE | v.NOT | v.NONE | v.YES | v.HEDGE | v.WITH | v.COUNT | v.THE | v.OWN | v.SEE
    | v.EXAMINE | v.SUPPOSE | v.NUMBER | v.LIKE | v.UNSURE | v.ACTUALLY | v.ONLY | v.ADVERB
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
    if beside and not (
        items[i + 1].kinds & (v.AND | v.COUNT) or items[i + 1].entry.text[:4] == "but "
    ):
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
    return found_behind(items, i, longer) if longer else just_after(items, i)[0]


def _rather_than_beside(items: list[Item], i: int, before: Attachment) -> Attachment:
    """`no spots on the leaves, no hollow in the stem`: an organ behind outweighs a sign before."""
    if before.sense.role != "beside" or len(items[i].entry.senses) < 2:
        return before
    after = just_after(items, i)[0] or by_preposition(items, i)[0]
    return after if after is not None and after.character != before.character else before


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
