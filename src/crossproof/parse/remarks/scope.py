"""What stands around a state word and changes it: denial, degree, doubt, not having looked."""

from __future__ import annotations

from dataclasses import dataclass

from crossproof.model import Weight
from crossproof.parse.remarks import vocabulary as v
from crossproof.parse.remarks.items import Item
from crossproof.parse.remarks.organs import Attachment
from crossproof.parse.remarks.vocabulary import Scale

_PASSED = v.DEGREE | v.HEDGE | v.THE | v.COUNT | v.ON | v.LOOKED | v.SEE | v.WITH | v.OWN | v.YES


_GUESSES = frozenset({"could be", "might be", "may be", "may have been", "might have been"})


@dataclass(slots=True)
class Scope:
    """What was found around one state word."""

    denied: bool = False
    degree: int = 0  # kinds of the degree words
    first: int = 0  # item where the words begin
    last: int = 0  # item where they end


def around(items: list[Item], i: int, at: Attachment) -> Scope:
    """Read denial and degree before and after the state word `items[i]`."""
    # `pale pink` of petals and `faint` of a scent are states in their own right, not faint ones.
    own = at.sense.role in ("word", "whole")
    scope = Scope(degree=0 if own else items[i].kinds & v.FAINT, first=i, last=i)
    _before(items, i, at, scope)
    denied = _after(items, i, at, scope)
    if denied is not None:
        scope.denied = denied
    return scope


def _before(items: list[Item], i: int, at: Attachment, scope: Scope) -> None:
    listed = _in_list(items, i)
    words = 0
    organ_passed = False
    for j in range(i - 1, -1, -1):
        kinds = items[j].kinds
        if kinds & v.NONE and _is_answer(items, j):
            return
        if kinds & (v.NOT | v.NONE) and not kinds & v.STATE:
            if j + 1 < len(items) and items[j + 1].kinds & (v.PHOTO | v.UNSEEN):
                return
            scope.denied = not scope.denied
            scope.first = j
            if j and items[j - 1].kinds & v.NOT and items[j - 1].kinds & v.LIMIT == 0:
                scope.denied = not scope.denied
                scope.first = j - 1
            return
        other = at.character not in items[j].entry.senses
        if kinds & v.DEGREE and not kinds & v.LIMIT and (other or not kinds & v.STATE):
            scope.degree |= kinds & v.DEGREE
            scope.first = min(scope.first, j)
        elif kinds & v.ORGAN:
            if organ_passed or not (j == at.organ or at.character in items[j].entry.organs):
                return
            organ_passed = True
        elif kinds & v.OR and not kinds & v.LIMIT:
            if items[j].entry.text in ("nor", "nec", "neque"):
                scope.denied = True
                return
            if not listed:
                return
        elif kinds & v.STATE and not kinds & v.LIMIT:
            if not listed and "beside" not in {s.role for s in items[j].entry.senses.values()}:
                return
        elif kinds & (v.COMMA | v.AND):
            if not listed:
                return
        elif kinds & v.WORD:
            words += 1
            if words > 1:
                return
        elif not kinds & _PASSED or kinds & v.LIMIT:
            return


def _is_answer(items: list[Item], j: int) -> bool:
    """`… : none.`: the word answers what stands before it."""
    if j and _one_letter(items[j]) and items[j - 1].kinds & (v.ASK | v.COLON):
        return True
    after = j + 1 >= len(items) or bool(items[j + 1].kinds & v.LIMIT)
    return after and j > 0 and not items[j].kinds & v.NOT


def _in_list(items: list[Item], i: int) -> bool:
    """Whether item `i` stands in a list of states held together by `or` (`no A, B or C`)."""
    j = i
    joined = False
    link = v.COMMA | v.OR | v.AND
    size = len(items)
    while j + 2 < size and items[j + 1].kinds & link and items[j + 2].kinds & v.STATE:
        joined |= bool(items[j + 1].kinds & v.OR)
        j += 2
    j = i
    while j - 2 >= 0 and items[j - 1].kinds & link and items[j - 2].kinds & v.STATE:
        joined |= bool(items[j - 1].kinds & v.OR)
        j -= 2
    return joined


def _after(items: list[Item], i: int, at: Attachment, scope: Scope) -> bool | None:
    """An answer or a denial behind the word: `spots: none`, `spots not seen`, `hollow: Y`."""
    sign = at.sense.role == "sign"
    colon = False
    words = 0
    size = len(items)
    for j in range(i + 1, size):
        kinds = items[j].kinds
        last = j + 1 >= size or bool(items[j + 1].kinds & v.LIMIT)
        if kinds & v.NONE and (colon or sign or _one_letter(items[j]) or (last and j == i + 1)):
            followed = j + 1 < size and bool(items[j + 1].kinds & (v.STATE | v.PHOTO | v.ORGAN))
            if items[j - 1].kinds & (v.NEARLY | v.SLIGHT) and j - 1 > i:
                return False  # almost absent
            if (last or not followed) and not (not colon and kinds & v.STATE):
                scope.last = j
                return True
        if kinds & v.YES and (colon or _one_letter(items[j])):
            scope.last = j
            return False
        if (colon and kinds & (v.LARGE | v.COUNT) and last) or (kinds & v.SIZE and last):
            scope.last = j
            scope.degree |= kinds & v.SIZE
            return False
        if kinds & v.NOT and not kinds & v.AFTER:
            if sign and j + 1 < size and items[j + 1].kinds & v.SEE:
                scope.last = j + 1
                return True
            if sign and j + 1 < size and items[j + 1].kinds & v.YES:
                scope.last = j + 1
                return True
            return None
        if (
            kinds & v.COLON
            or (kinds & v.BREAK and items[j].entry.text in ("-", "–", "—"))
            or (items[j].entry.text == "(" and j + 1 < size and _one_letter(items[j + 1]))
        ):
            colon = True
        elif kinds & v.AFTER and not kinds & v.STATE and (j == i + 1 or kinds & v.NEARLY):
            scope.degree |= kinds & v.DEGREE
            scope.last = j
        elif (kinds & v.EXCEPT and not (j + 1 < size and items[j + 1].kinds & v.COUNT)) or (
            kinds & v.ONLY and items[j - 1].kinds & (v.ORGAN | v.ON | v.WORD)
        ):
            scope.degree |= v.AFTER
        elif kinds & v.ORGAN:
            if j != at.organ and at.character not in items[j].entry.organs:
                return None
        elif kinds & v.WORD and not colon:
            words += 1
            if words > 2:
                return None
        elif colon or kinds & v.LIMIT:
            return _degree_behind(items, j, scope)
        elif not kinds & (v.ON | v.THE | v.DEGREE | v.SEE | v.COUNT | v.YES | v.EXAMINE | v.WITH):
            return None
    return None


def _one_letter(item: Item) -> bool:
    return len(item.entry.text) == 1


def _degree_behind(items: list[Item], j: int, scope: Scope) -> None:
    """`hollow, but only slightly`: a degree word on its own behind a comma."""
    k = j + 1
    while k < len(items) and items[k].kinds & (v.COMMA | v.BUT | v.WORD) and k < j + 3:
        k += 1
    if k < len(items) and items[k].kinds & v.AFTER and items[j].kinds & (v.COMMA | v.BUT):
        last = k + 1 >= len(items) or bool(items[k + 1].kinds & (v.LIMIT | v.ON))
        if last:
            scope.degree |= items[k].kinds & v.DEGREE
            scope.last = k


def state_of(at: Attachment, scope: Scope, scale: Scale) -> str:
    """The state meant, after denial and degree; empty where the words don't say one."""
    state, degree = at.sense.state, scope.degree
    if at.attributive and degree & v.SIZE and not degree & (v.SLIGHT | v.AFTER):
        degree &= ~v.SIZE
    graded = scale.slightly.get(state, "")
    if scope.denied:
        if degree & v.LARGE and at.sense.role == "sign":
            return ""
        if degree & v.MUCH:
            return scale.nearly.get(state, "") if graded else state
        if degree & v.TRULY and graded:
            return scale.nearly.get(state, "")
        if degree & (v.SLIGHT | v.AFTER) and not graded and not degree & v.FAINT:
            return scale.denied.get(state, "")
        return scale.denied.get(state, "")
    if degree & v.NEARLY:
        return scale.nearly.get(state, state)
    if degree & (v.SLIGHT | v.AFTER | v.SIZE) and graded:
        return graded
    return state


def weight_of(items: list[Item], i: int, at: Attachment, scope: Scope) -> Weight:
    """How firmly the state word `items[i]` is said."""
    if _doubted(items, i, at):
        return "questioned"
    phrase = items[i].phrase
    j = i
    hedged = False
    while j >= 0 and items[j].phrase == phrase:
        hedged |= bool(items[j].kinds & v.HEDGE)
        j -= 1
    j = i + 1
    while j < len(items) and items[j].phrase == phrase:
        hedged |= bool(items[j].kinds & v.HEDGE)
        j += 1
    if scope.degree & v.FAINT and not scope.denied:
        return "faint"
    return "hedged" if hedged else "stated"


def _doubted(items: list[Item], i: int, at: Attachment) -> bool:
    """A question, an expectation, or words for not knowing."""
    size = len(items)
    phrase, clause, sentence = items[i].phrase, items[i].clause, items[i].sentence
    j = i - 1
    while j >= 0 and items[j].clause == clause:
        kinds = items[j].kinds
        if kinds & v.ASK:
            if items[j].prefix and all(k.kinds & (v.DEGREE | v.ORGAN) for k in items[j + 1 : i]):
                return True
            break
        if kinds & v.SUPPOSE and not _restarted(items, j, i):
            return not _corrects(items, j)
        if kinds & v.UNSURE and items[j].phrase == phrase:
            return True
        j -= 1
    guesses = [m for m in items if m.sentence == sentence and m.entry.text in _GUESSES]
    if len(guesses) > 1 or (guesses and any(m.entry.text == "if" for m in items)):
        return True
    j = i + 1
    while j < size and items[j].phrase == phrase:
        kinds = items[j].kinds
        if kinds & v.UNSURE:
            return True
        if kinds & v.ASK:
            return not items[j].prefix
        if kinds & v.SUPPOSE and items[j].entry.text == "or not":
            return True
        if kinds & v.LIMIT:
            break
        j += 1
    if j < size and items[j].kinds & v.BREAK and j + 1 < size and items[j + 1].kinds & v.ASK:
        return True
    if j < size and items[j].kinds & v.COMMA and items[j].sentence == sentence:
        return j + 1 < size and bool(items[j + 1].kinds & v.UNSURE)
    return False


def _corrects(items: list[Item], j: int) -> bool:
    """`card has solid; should be hollow`: no expectation but a correction."""
    return items[j].entry.text.startswith("should be") and any(m.kinds & v.SAYS for m in items[:j])


def _restarted(items: list[Item], j: int, i: int) -> bool:
    """Whether a comma and an organ of its own lie between: `check stem, leaves spotted`."""
    for k in range(j, i):
        if items[k].kinds & v.COMMA and k + 1 < len(items):
            if not items[k + 1].kinds & (v.OR | v.AND | v.STATE | v.BUT):
                return True
    return False
