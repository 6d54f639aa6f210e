"""What stands behind a state word: `spots: none`, `hollow: Y`, `gives slightly`."""

from __future__ import annotations

from itertools import takewhile

from crossproof.parse.remarks.organ.attachment import Attachment, is_sign
from crossproof.parse.remarks.organ.reply import finds_none, replied
from crossproof.parse.remarks.organ.scope import (
    HARDLY,
    Scope,
    in_list,
    one_letter,
)
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, past

_ANSWERS = frozenset({"yes", "no", "none", "nil", "0", "absent", "present"})
_NOT_THERE = frozenset({"there were none", "there was none", "had none", "have none", "has none"})
_JUST = HARDLY | {"just", "only just"}
_IT = frozenset({"it", "its", "it's", "if", "if only"})
_BEFORE_SIZE = v.THE | v.ONLY | v.MUCH | v.TRULY
_PASSED_BEHIND = (
    v.ON | v.THE | v.DEGREE | v.SEE | v.COUNT | v.YES | v.EXAMINE | v.WITH | v.PLANTS | v.OWN
    | v.THEY
)  # fmt: skip


def answered_behind(items: list[Item], i: int, at: Attachment, scope: Scope) -> bool | None:
    """An answer or a denial behind the word: `spots: none`, `spots not seen`, `hollow: Y`."""
    colon = False
    words = 0
    listed = at.sense.role == "sign" and in_list(items, i)
    for j in range(i + 1, len(items)):
        kinds = items[j].kinds
        if (listed and kinds & (v.OR | v.STATE) and not kinds & (v.LIMIT | v.NOT)) or (
            kinds & v.TO and j + 1 < len(items) and items[j + 1].kinds & v.THE
        ):
            continue  # spots/rings/bars: none; gives to the fingers a bit
        if _opens_range(items, j):
            return None
        if reply := replied(items, i, j, at, colon):
            scope.last, scope.degree = reply.last, scope.degree | reply.degree
            return reply.denied
        if kinds & v.NOT and not kinds & v.AFTER:
            return _turned_round(items, i, j, at, scope)
        if _opens_answer(items, j):
            colon = True
        elif grade := _grade_behind(items, i, j):
            scope.degree |= grade
            scope.last = max(scope.last, j)
        elif kinds & v.ORGAN:
            if j != at.organ and at.character not in items[j].entry.organs:
                return None
        elif kinds & v.WORD and not kinds & v.ON and not colon and words < 2:
            words += 1
        elif colon or not kinds & _PASSED_BEHIND or kinds & v.LIMIT:
            _degree_behind_comma(items, j, at, scope)
            return None
    return None


def none_at_last(items: list[Item], i: int) -> int:
    """`leaf marks: on being asked again she is certain there were none`: that `none`, or 0."""
    if i + 1 >= len(items) or not items[i + 1].kinds & v.COLON or not is_sign(items[i]):
        return 0
    j = i + 2
    while j < len(items) and not items[j].kinds & (v.LIMIT | v.STATE | v.ORGAN):
        j += 1
    return j - 1 if items[j - 1].entry.text in _NOT_THERE and ends(items, j) else 0


def denied_elsewhere(items: list[Item], i: int, at: Attachment) -> bool:
    """`spots neither on bracts nor lip`: nothing is said of what they may be on."""
    if at.organ >= 0 or i + 1 >= len(items) or not items[i + 1].kinds & v.NOT:
        return False
    named = _denied_on(items, i + 1)
    turns = any(m.entry.text == "but on" and m.phrase == items[i].phrase for m in items[i:])
    return bool(named) and not turns and not any(at.character in m.entry.organs for m in named)


def _denied_on(items: list[Item], j: int) -> list[Item]:
    """The organs of `not on leaves (but on bracts)`, `neither on bracts nor leaves`."""
    if j + 1 >= len(items) or not items[j + 1].kinds & v.ON:
        return []
    named = takewhile(lambda m: not m.kinds & (v.LIMIT | v.ACTUALLY | v.STATE), items[j + 1 :])
    return [m for m in named if m.kinds & v.ORGAN]


def _turned_round(items: list[Item], i: int, j: int, at: Attachment, scope: Scope) -> bool | None:
    """`unspotted it is not`, `spots not on leaves`: the denial at item `j` stands last."""
    if j == i + 1 and any(at.character in m.entry.organs for m in _denied_on(items, j)):
        scope.last = j + 1
        return True
    if j != i + 2 or not items[j - 1].kinds & (v.OWN | v.THEY) or not ends(items, j + 1):
        return None
    scope.last = j
    return True


def _opens_range(items: list[Item], j: int) -> bool:
    """`spotting from none to heavy`: no answer but one end of a range."""
    to = bool(items[j + 1].kinds & v.TO) if j + 1 < len(items) else False
    return to and bool(items[j].kinds & v.NONE and items[j - 1].kinds & v.VARIED)


def _opens_answer(items: list[Item], j: int) -> bool:
    """A colon or dash, or a bracket around one letter: `spots (N)`."""
    item = items[j]
    if item.kinds & v.COMMA:  # leaf spots, yes; stem cavity, no; leaf spots, none found
        return _answers_alone(items, j + 1) and _is_heading(items, j) and not _raised(items, j)
    if item.kinds & v.COLON or (item.kinds & v.BREAK and item.entry.text in v.DASHES):
        return True
    return item.entry.text == "(" and j + 1 < len(items) and one_letter(items[j + 1])


def _answers_alone(items: list[Item], k: int) -> bool:
    """`yes`, `none found`, `not seen`, `never found any`: nothing else stands there."""
    if ends(items, k):
        return False
    last = past(items, k + 1, v.SEE | v.FORM | v.THE, v.STATE | v.ORGAN)
    alone = items[k].entry.text in _ANSWERS or finds_none(items[k])
    fits = alone if last == k + 1 else items[k].kinds & (v.NOT | v.NONE)
    return bool(fits) and ends(items, last)


def _raised(items: list[Item], j: int) -> bool:
    """`dots on the upper side, none below`: said of another side."""
    behind = items[j + 2].lead if j + 2 < len(items) else 0
    here = [m for m in items[: j + 1] if m.phrase == items[j].phrase]
    return bool(behind & v.HEIGHTS) or any(m.lead & v.HEIGHTS for m in here)


def _is_heading(items: list[Item], j: int) -> bool:
    """Whether only an organ and its sign stand before item `j`: `cavity of stem, nil`."""
    before = [m for m in items[:j] if m.clause == items[j].clause and not m.kinds & v.HARD]
    return all(m.kinds & (v.ORGAN | v.STATE | v.ON | v.THE) for m in before)


def _grade_behind(items: list[Item], i: int, j: int) -> int:
    """The degree that follows the word: `gives slightly`, `hollow in the lower part only`."""
    kinds = items[j].kinds
    behind = items[j + 1].kinds if j + 1 < len(items) else 0
    if behind & v.STATE and items[j].entry.text.startswith("but "):
        return 0  # stem solid but small spots on the leaves
    if (
        items[j].entry.text.startswith("from ")
        and items[j + 1 : j + 2]
        and items[j + 1].kinds & v.TO
    ):
        return 0  # from the ground to the bracts
    passed = v.ONLY | v.DEGREE | v.TO | v.THE | (v.ON | v.ORGAN if is_sign(items[i]) else 0)
    straight = all(m.kinds & passed for m in items[i + 1 : j])
    if kinds & v.AFTER and not kinds & v.STATE and (straight or kinds & v.NEARLY):
        return kinds & v.DEGREE
    just = items[j].entry.text in _JUST and ends(items, j + 1)
    if j == i + 1 and not kinds & v.STATE and (just or items[j].entry.text == "enough"):
        return kinds & v.DEGREE
    counted = j + 1 < len(items) and items[j + 1].kinds & v.COUNT
    except_part = kinds & v.EXCEPT and not counted
    there = items[j - 1].kinds & (v.ORGAN | v.ON | v.WORD)
    only_there = kinds & v.ONLY and (there or items[j].lead & v.HEIGHTS)
    return v.AFTER if except_part or only_there else 0


def _not_large(items: list[Item], k: int) -> bool:
    """`(a hole, but) not a big one`, `nothing wide`."""
    if k + 1 >= len(items) or not items[k].kinds & v.NOT or not items[k + 1].kinds & v.LARGE:
        return False
    return ends(items, past(items, k + 2, v.COUNT))


def _degree_behind_comma(items: list[Item], j: int, at: Attachment, scope: Scope) -> None:
    """`hollow, but only slightly`, `a hole, but a very small one`: a degree on its own behind."""
    k = j + 1
    while k < len(items) and items[k].kinds & (v.COMMA | v.BUT | v.WORD) and k < j + 3:
        k += 1
    k += k < len(items) and items[k].entry.text in _IT
    k = past(items, k, _BEFORE_SIZE, v.SIZE | v.AFTER)
    fitting = v.AFTER | v.SIZE if at.sense.role == "sign" else v.AFTER  # a cavity, narrow
    if k < len(items) and items[k].entry.text.startswith("not "):
        fitting |= v.NEARLY  # squashy but not quite
    # a hole; a very small one
    one = any(m.entry.text.endswith("one") for m in items[k : k + 2])
    if one and at.attributive:
        return  # hollow stem, a narrow one
    joins = items[j].kinds & (v.COMMA | v.BUT | (v.BREAK if one else 0))
    if joins and at.sense.role == "sign" and _not_large(items, k):
        scope.degree, scope.last = scope.degree | v.SIZE, k + 1
        return
    turns = k < len(items) and items[k].entry.text.startswith("but ")
    if k < len(items) and items[k].kinds & fitting and (joins or turns):
        last = ends(items, k + 1, v.ON | v.THE)
        if last:
            scope.degree |= items[k].kinds & v.DEGREE
            scope.last = k
