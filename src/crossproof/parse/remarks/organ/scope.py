"""What stands around a state word and changes it: denial, degree, doubt, not having looked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from crossproof.parse.remarks.organ.attachment import Attachment, is_sign
from crossproof.parse.remarks.organ.graded import degree_behind, is_throughout
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.items import Item

_HARDLY = frozenset({"hardly", "scarcely", "barely", "hardly any", "scarcely any"})
_HEIGHTS = v.LOW | v.MIDDLE | v.HIGH
_HEADS = frozenset({"nowhere", "nothing"})
_ANSWERS = frozenset({"yes", "no", "none", "nil", "absent", "present"})
_JUST = _HARDLY | {"just", "only just"}
_SUBJECT = v.ORGAN | v.PLANTS | v.COUNT | v.THE | v.ON | v.OWN | v.WITH
_NOR = ("nor", "nec", "neque")
_DASHES = ("-", "–", "—")
_PASSED_BEHIND = v.ON | v.THE | v.DEGREE | v.SEE | v.COUNT | v.YES | v.EXAMINE | v.WITH
_PASSED = (
    v.PLANTS | v.DEGREE | v.HEDGE | v.THE | v.COUNT | v.ON | v.LOOKED | v.SEE | v.WITH | v.OWN
    | v.YES
)  # fmt: skip


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
    if 0 < i < len(items) - 1 and items[i - 1].kinds & v.ONLY and items[i + 1].kinds & v.ON:
        scope.degree |= v.AFTER  # only hollow at the base
    denied = _after(items, i, at, scope)
    if denied is not None:
        scope.denied = denied
    if last := degree_behind(items, i):  # hollow, but only just; not hollow but only slightly so
        scope.denied, scope.last = False, last
        scope.degree |= items[last].kinds & v.DEGREE
    if scope.denied and not is_sign(items[i]) and is_throughout(items, i):
        scope.denied, scope.degree, scope.last = False, scope.degree | v.NEARLY, i + 1
    return scope


def _before(items: list[Item], i: int, at: Attachment, scope: Scope) -> None:
    listed = _in_list(items, i)
    if (head := _denies_whole_clause(items, i)) >= 0:
        scope.denied, scope.first = True, head
        return
    words = 0
    organ_passed = False
    for j in range(i - 1, -1, -1):
        item = items[j]
        if _of_another_thought(items, j, i, at):
            return
        if item.kinds & (v.NOT | v.NONE) and not item.kinds & v.STATE:
            _deny(items, j, scope)
            return
        if item.entry.text in _NOR:
            scope.denied = True
            return
        if _is_degree(item, at.character):
            scope.degree |= item.kinds & v.DEGREE
            scope.first = j
        elif _passed_over(items, j, i):
            continue
        elif item.kinds & v.ORGAN:
            if _stops_at_organ(items, j, at, organ_passed):
                return
            organ_passed = not items[j - 1].kinds & v.OR
        elif item.kinds & v.WORD and not words:
            words += 1
        elif not (_lets_denial_through(item, listed) or (items[i].lead & v.BE and is_sign(item))):
            return


def _passed_over(items: list[Item], j: int, i: int) -> bool:
    """`no spike had spots`, `no leopard rings`, `no to leaf spots`."""
    before = items[j - 1] if j else None
    if before is not None and before.entry.text == "no" and items[j].entry.text == "to":
        return True
    counted = before is not None and before.kinds & (v.NOT | v.NONE)
    return bool(counted and items[j].kinds & v.PLANTS) or _names_the_same(items[j], items[i])


def _stops_at_organ(items: list[Item], j: int, at: Attachment, passed: bool) -> bool:
    """Whether a denial before organ `j` is of that organ only; not in `neither leaves nor lip`."""
    own = j == at.organ or at.character in items[j].entry.organs
    listed = j and items[j - 1].kinds & v.OR
    return not listed and (passed or not own)


def _denies_whole_clause(items: list[Item], i: int) -> int:
    """The first word of `nowhere on the leaves did anyone find a spot`; -1 where there is none."""
    if not is_sign(items[i]):
        return -1
    first = i
    while first and items[first - 1].clause == items[i].clause:
        if items[first - 1].kinds & v.HARD:
            break
        first -= 1
    behind = items[first + 1].kinds if first + 1 < i else 0
    heads = items[first].entry.text in _HEADS and behind & (v.ON | v.SEE)
    return first if heads else -1


def _of_another_thought(items: list[Item], j: int, i: int, at: Attachment) -> bool:
    """Whether no denial before item `j` reaches the state word: `no spots/hollow stem`."""
    if items[j].entry.text == "/":
        return at.character not in items[j - 1].entry.senses
    return bool(items[j].kinds & v.NONE) and (_is_answer(items, j) or _some_only(items, j, i))


def _some_only(items: list[Item], j: int, i: int) -> bool:
    """`none of the leaf spots are rings`: there are spots, and they are none of these."""
    behind = items[i + 1] if i + 1 < len(items) else items[i]
    told = behind.lead & v.BE and behind.kinds & v.STATE and is_sign(items[i])
    return bool(told) and items[j + 1].entry.text == "of"


def _deny(items: list[Item], j: int, scope: Scope) -> None:
    """Take the denial at item `j`; two in a row (`not without spots`) affirm."""
    if j + 1 < len(items) and items[j + 1].kinds & (v.PHOTO | v.UNSEEN):
        return
    if items[j].entry.text == "neither":
        scope.degree &= ~v.LARGE  # neither solid spots nor rings
    outer = _outer_denial(items, j)
    scope.denied = outer == j
    scope.first = outer
    if j and items[j - 1].kinds & v.NEARLY and not items[j - 1].kinds & v.LIMIT:
        scope.denied, scope.degree, scope.first = False, scope.degree | v.SLIGHT, j - 1  # almost no


def _outer_denial(items: list[Item], j: int) -> int:
    """The denial that takes back the one at item `j`: `not without`, `no leaf without`."""
    k = j - 1
    if k >= 0 and items[k].kinds & v.NOT and not items[k].kinds & v.LIMIT:
        return k
    if not items[j].kinds & v.NOT or items[j].entry.text in ("nor", "no"):
        return j
    subject = False
    ends = v.LIMIT | v.STATE | v.NOT
    while k >= 0 and items[k].kinds & _SUBJECT and not items[k].kinds & ends:
        subject = subject or bool(items[k].kinds & (v.ORGAN | v.PLANTS))
        k -= 1
    if k < 0 or items[k].kinds & v.LIMIT:
        return j
    outer = items[k].kinds & (v.NOT | v.NONE) or items[k].entry.text in _HARDLY
    return k if outer and (subject or items[k].kinds & v.NONE) else j


def _names_the_same(item: Item, sign: Item) -> bool:
    theirs = sign.entry.senses
    return any(c in theirs and theirs[c].state == s.state for c, s in item.entry.senses.items())


def _is_degree(item: Item, character: str) -> bool:
    kinds = item.kinds
    if not kinds & v.DEGREE or kinds & v.LIMIT:
        return False
    sense = item.entry.senses.get(character)
    return sense is None or sense.role == "beside"


def _lets_denial_through(item: Item, listed: bool) -> bool:
    """Whether a denial before `item` reaches beyond it: `no spots, rings or bars`."""
    if item.kinds & (v.OR | v.AND | v.COMMA):
        return listed
    if item.kinds & v.STATE:
        return (
            listed
            or bool(item.kinds & v.WITH)
            or any(sense.role == "beside" for sense in item.entry.senses.values())
        )
    return bool(item.kinds & _PASSED) and not item.kinds & v.LIMIT


def _is_answer(items: list[Item], j: int) -> bool:
    """`… : none.`: the word answers what stands before it."""
    if items[j].entry.text == "0" and _counts_sign(items, j + 1):
        return False
    if j and _one_letter(items[j]) and items[j - 1].kinds & (v.ASK | v.COLON | v.STATE):
        return True
    if j and items[j - 1].kinds & v.STATE and _unpunctuated(items):
        return True
    after = j + 1 >= len(items) or bool(items[j + 1].kinds & v.LIMIT)
    return after and j > 0 and not items[j].kinds & v.NOT


def _counts_sign(items: list[Item], k: int) -> bool:
    """`leaves: 0 spots`, not `hollow: 0 spots: 3`."""
    behind = items[k : k + 2]
    return bool(behind) and is_sign(behind[0]) and not behind[-1].kinds & v.COLON


def _unpunctuated(items: list[Item]) -> bool:
    """`SPOTS NO CAVITY YES`: labels and answers without a mark between them."""
    return any(
        items[k].entry.text == "yes" and items[k - 1].kinds & v.STATE for k in range(1, len(items))
    )


def _in_list(items: list[Item], i: int) -> bool:
    """Whether item `i` stands in a list of states held together by `or` (`no A, B or C`)."""
    joined = False
    link = v.COMMA | v.OR | v.AND
    for step in (1, -1):
        j = i
        while (k := _linked(items, j, step, link)) >= 0:
            joined |= any(m.kinds & v.OR for m in items[min(j, k) : max(j, k)])
            j = k
    return joined


def _linked(items: list[Item], j: int, step: int, link: int) -> int:
    """The state joined to that at item `j`: `a dot or (a) mark`; -1 where none is."""
    k = j + step
    crossed = 0
    while 0 <= k < len(items) and items[k].kinds & (link | v.THE) and abs(k - j) < 4:
        crossed |= items[k].kinds & link
        k += step
    found = crossed and 0 <= k < len(items) and items[k].kinds & v.STATE
    return k if found else -1


def _after(items: list[Item], i: int, at: Attachment, scope: Scope) -> bool | None:
    """An answer or a denial behind the word: `spots: none`, `spots not seen`, `hollow: Y`."""
    colon = False
    words = 0
    listed = at.sense.role == "sign" and _in_list(items, i)
    for j in range(i + 1, len(items)):
        kinds = items[j].kinds
        if (listed and kinds & (v.OR | v.STATE) and not kinds & (v.LIMIT | v.NOT)) or (
            kinds & v.TO and j + 1 < len(items) and items[j + 1].kinds & v.THE
        ):
            continue  # spots/rings/bars: none; gives to the fingers a bit
        if _opens_range(items, j):
            return None
        if answer := _answer(items, i, j, at, colon):
            scope.last, scope.degree = answer.last, scope.degree | answer.degree
            return answer.denied
        if kinds & v.NOT and not kinds & v.AFTER:
            return None
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


def _opens_range(items: list[Item], j: int) -> bool:
    """`spotting from none to heavy`: no answer but one end of a range."""
    to = bool(items[j + 1].kinds & v.TO) if j + 1 < len(items) else False
    return to and bool(items[j].kinds & v.NONE and items[j - 1].kinds & v.VARIED)


class _Answer(NamedTuple):
    denied: bool
    last: int
    degree: int = 0


def _answer(items: list[Item], i: int, j: int, at: Attachment, colon: bool) -> _Answer | None:
    """What item `j` answers to the state word `items[i]`, if it does."""
    kinds = items[j].kinds
    after = items[j + 1].kinds if j + 1 < len(items) else v.LIMIT
    last = bool(after & v.LIMIT) or items[j + 1].entry.text == "/"
    sign = at.sense.role == "sign"
    open_to_none = colon or sign or _one_letter(items[j]) or (last and j == i + 1)
    if kinds & v.NONE and open_to_none:
        if items[j - 1].kinds & (v.NEARLY | v.SLIGHT) and j - 1 > i:
            return _Answer(False, i)  # almost absent
        free = last or _one_letter(items[j]) or (j == i + 1 and _unpunctuated(items))
        free = free or not after & (v.STATE | v.PHOTO | v.ORGAN)
        if free and (colon or not kinds & v.STATE):
            return _Answer(True, j)
    if kinds & v.YES and (colon or _one_letter(items[j])):
        return _Answer(False, j)
    if colon and last and kinds & (v.SLIGHT | v.AFTER) and not kinds & v.STATE:
        return _Answer(False, j, kinds & v.DEGREE)
    if last and (kinds & v.SIZE or (colon and kinds & (v.LARGE | v.COUNT))):
        return _Answer(False, j, kinds & v.SIZE)
    denies = kinds & v.NOT and not kinds & v.AFTER
    if denies and sign and after & v.LARGE and _ends(items, j + 2):
        return _Answer(False, j + 1, v.SIZE)  # a hole, not large
    seen = denies and after & (v.SEE | v.YES)
    if seen and sign and not _in_photo(items, j + 2):
        return _Answer(True, j + 1)
    return None


def _ends(items: list[Item], j: int) -> bool:
    return j >= len(items) or bool(items[j].kinds & v.LIMIT)


def _in_photo(items: list[Item], j: int) -> bool:
    """`the spots don't show in the photo`: that is no denial of the spots."""
    behind = items[j : j + 4]
    return bool(behind and behind[0].kinds & v.ON and any(m.kinds & v.PHOTO for m in behind))


def _opens_answer(items: list[Item], j: int) -> bool:
    """A colon or dash, or a bracket around one letter: `spots (N)`."""
    item = items[j]
    if item.kinds & v.COMMA:  # leaf spots, yes; stem cavity, no
        answered = j + 1 < len(items) and items[j + 1].entry.text in _ANSWERS
        return answered and _ends(items, j + 2) and _is_heading(items, j) and not _raised(items, j)
    if item.kinds & v.COLON or (item.kinds & v.BREAK and item.entry.text in _DASHES):
        return True
    return item.entry.text == "(" and j + 1 < len(items) and _one_letter(items[j + 1])


def _raised(items: list[Item], j: int) -> bool:
    """`dots on the upper side, none below`: said of another side."""
    behind = items[j + 2].lead if j + 2 < len(items) else 0
    here = [m for m in items[: j + 1] if m.phrase == items[j].phrase]
    return bool(behind & _HEIGHTS) or any(m.lead & _HEIGHTS for m in here)


def _is_heading(items: list[Item], j: int) -> bool:
    """Whether only an organ and its sign stand before item `j`: `cavity of stem, nil`."""
    before = [m for m in items[:j] if m.clause == items[j].clause and not m.kinds & v.HARD]
    return all(m.kinds & (v.ORGAN | v.STATE | v.ON | v.THE) for m in before)


def _grade_behind(items: list[Item], i: int, j: int) -> int:
    """The degree that follows the word: `gives slightly`, `hollow in the lower part only`."""
    kinds = items[j].kinds
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
    if j == i + 1 and not kinds & v.STATE:
        ends = j + 1 >= len(items) or items[j + 1].kinds & v.LIMIT
        if items[j].entry.text == "enough" or (items[j].entry.text in _JUST and ends):
            return kinds & v.DEGREE
    counted = j + 1 < len(items) and items[j + 1].kinds & v.COUNT
    except_part = kinds & v.EXCEPT and not counted
    there = items[j - 1].kinds & (v.ORGAN | v.ON | v.WORD)
    only_there = kinds & v.ONLY and (there or items[j].lead & (v.LOW | v.MIDDLE | v.HIGH))
    return v.AFTER if except_part or only_there else 0


def _one_letter(item: Item) -> bool:
    return len(item.entry.text) == 1


def _degree_behind_comma(items: list[Item], j: int, at: Attachment, scope: Scope) -> None:
    """`hollow, but only slightly`: a degree word on its own behind a comma."""
    k = j + 1
    while k < len(items) and items[k].kinds & (v.COMMA | v.BUT | v.WORD) and k < j + 3:
        k += 1
    fitting = v.AFTER | v.SIZE if at.sense.role == "sign" else v.AFTER  # a cavity, narrow
    if k < len(items) and items[k].entry.text.startswith("not "):
        fitting |= v.NEARLY  # squashy but not quite
    joins = items[j].kinds & (v.COMMA | v.BUT)
    turns = k < len(items) and items[k].entry.text.startswith("but ")
    if k < len(items) and items[k].kinds & fitting and (joins or turns):
        last = k + 1 >= len(items) or bool(items[k + 1].kinds & (v.LIMIT | v.ON | v.THE))
        if last:
            scope.degree |= items[k].kinds & v.DEGREE
            scope.last = k
