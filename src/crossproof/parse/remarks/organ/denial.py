"""What stands before a state word: `no`, `without`, `hardly any`, `nowhere on the leaves`."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import Attachment, is_sign
from crossproof.parse.remarks.organ.scope import (
    EVERY,
    HARDLY,
    LACKS,
    WITHOUT,
    Scope,
    in_list,
    one_letter,
    unpunctuated,
)
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, back, ends, is_organ, phrase_before
from crossproof.parse.remarks.text.vocabulary import Scale

_HEADS = frozenset({"nowhere", "nothing"})
_RATHER = frozenset({"rather than", "instead of"})
_NEVER = frozenset({"at no stage", "at no point", "at no time", "on no occasion"})
_IT_IS = frozenset({"it's", "its"})
_THEY = _IT_IS | {"it", "they", "these", "those", "this", "that"}
_SUBJECT = v.ORGAN | v.PLANTS | v.COUNT | v.THE | v.ON | v.OWN | v.WITH | v.THEY
_NEITHER_NOR = 4  # items before the verb: `neither this nor that`
_BEARS = v.WITH | v.THE | v.ORGAN | v.DEGREE | v.COUNT
NOR = frozenset({"nor", "nec", "neque"})
_PASSED = (
    v.PLANTS | v.DEGREE | v.HEDGE | v.THE | v.COUNT | v.ON | v.LOOKED | v.SEE | v.WITH | v.OWN
    | v.YES
)  # fmt: skip


def deny_before(items: list[Item], i: int, at: Attachment, scope: Scope) -> None:
    """Read denial and degree before the state word `items[i]` into `scope`."""
    listed = in_list(items, i)
    if (head := _denied_from_afar(items, i, at)) >= 0:
        scope.denied, scope.first = True, head
        return
    words = 0
    organ_passed = had = False
    for j in range(i - 1, -1, -1):
        item = items[j]
        if _of_another_thought(items, j, i, at) or (not listed and _told_before(items, j, at)):
            return
        if item.kinds & (v.NOT | v.NONE) and not item.kinds & v.STATE:
            _deny(items, j, scope)
            return
        if item.entry.text in NOR:
            scope.denied = True
            return
        had = had or bool(item.kinds & v.WITH)  # the nearly mown plant had plain leaves
        if _is_degree(item, at.character) and not (
            (had and words) or _grades_nothing(items, j, at)
        ):
            scope.degree |= item.kinds & v.DEGREE
            scope.first = j
        elif _passed_over(items, j, i):
            continue
        elif item.kinds & v.ORGAN:
            if _stops_at_organ(items, j, at, organ_passed):
                return
            organ_passed = not items[j - 1].kinds & v.OR
        elif item.kinds & v.WORD and not item.kinds & v.AND and not words:
            words += 1
        elif not (_lets_denial_through(item, listed) or (items[i].lead & v.BE and is_sign(item))):
            return


def only_tells_kind(items: list[Item], i: int, at: Attachment, scope: Scope, scale: Scale) -> bool:
    """`smudges rather than spots`, `blotches, not spots`: which they are, not that none is."""
    if not scope.denied or at.sense.role != "sign" or scope.first >= i:
        return False
    said = items[scope.first - 1].entry.senses.get(at.character) if scope.first else None
    if said is not None and said.state == scale.denied.get(at.sense.state):
        return False  # pith instead of a hole
    first = items[scope.first]
    if said is not None and said.role == "sign" and first.entry.text in LACKS | WITHOUT:
        return True  # leaf spots lack any pattern, … without rings
    set_apart = first.entry.text == "not" and items[scope.first - 1].kinds & (v.COMMA | v.AND)
    return first.entry.text in _RATHER or bool(scope.first and set_apart)


def _grades_nothing(items: list[Item], j: int, at: Attachment) -> bool:
    """`not hollow, just solid`; `as solid as a wee poker`; `the hybrid near the gate had …`."""
    if items[j].entry.text == "as" and items[j - 1].kinds & v.ORGAN:
        return True  # nobody could describe the leaves as plain
    if items[j].kinds & v.ON and items[j + 1].kinds & v.THE:
        return True
    if items[j].entry.text == "just":
        return _denied_before(items, j, at)
    return bool(items[j].kinds & v.SIZE and j > 1 and items[j - 2].kinds & v.LIKE)


def _denied_before(items: list[Item], j: int, at: Attachment) -> bool:
    """Whether another state of the same character was denied before the comma before item `j`."""
    if not j or not items[j - 1].kinds & v.COMMA:
        return False
    here = [k for k in range(1, j) if items[k].sentence == items[j].sentence]
    return any(items[k - 1].kinds & v.NOT and at.character in items[k].entry.senses for k in here)


def _passed_over(items: list[Item], j: int, i: int) -> bool:
    """`no spike had spots`, `no leopard rings`, `no to leaf spots`."""
    before = items[j - 1] if j else None
    if before is not None and before.entry.text in ("no", "n") and items[j].entry.text == "to":
        return True
    counted = before is not None and before.kinds & (v.NOT | v.NONE)
    return bool(counted and items[j].kinds & v.PLANTS) or _names_the_same(items[j], items[i])


def _stops_at_organ(items: list[Item], j: int, at: Attachment, passed: bool) -> bool:
    """Whether a denial before organ `j` is of that organ only; not in `neither leaves nor lip`."""
    own = j == at.organ or at.character in items[j].entry.organs
    listed = j and items[j - 1].kinds & v.OR
    return not listed and (passed or not own)


def _denies_whole_clause(items: list[Item], i: int, at: Attachment) -> int:
    """The first word of `nowhere on the leaves did anyone find a spot`; -1 where there is none."""
    if not is_sign(items[i]):
        return -1
    first = i
    while first and items[first - 1].clause == items[i].clause:
        if items[first - 1].kinds & v.HARD:
            break
        first -= 1
    behind = items[first + 1].kinds if first + 1 < i else 0
    organs = [m for m in items[first:i] if m.kinds & v.ORGAN and m.phrase < items[i].phrase]
    if organs and not any(at.character in m.entry.organs for m in organs):
        return -1  # nothing on the leaves of any, a hole down every stem
    head = items[first].entry.text  # at no stage, from March to seed, did a spot appear
    heads = head in _NEVER or (head in _HEADS and behind & (v.ON | v.SEE))
    return first if heads else -1


def _denied_from_afar(items: list[Item], i: int, at: Attachment) -> int:
    """The denial of the whole sentence, or of its verb before an aside; -1 without one."""
    if (head := _denies_whole_clause(items, i, at)) >= 0:
        return head
    if not i or not items[i - 1].kinds & _BEARS:
        return -1
    return max(_denied_over_aside(items, i), _neither_plant(items, i))


def _neither_plant(items: list[Item], i: int) -> int:
    """`neither this nor the fuchsii beside it had a leaf spot`."""
    k = back(items, i, _BEARS | v.STATE, v.WITH | v.LIMIT, first=0)
    if not items[k].kinds & v.WITH:
        return -1
    here = [n for n in range(k) if items[n].phrase == items[i].phrase]
    if len(here) < _NEITHER_NOR or items[here[0]].entry.text != "neither":
        return -1
    plants = v.OWN | v.SPECIES | v.OTHER
    nor = any(items[n].entry.text == "nor" for n in here)
    named = any(items[n].kinds & plants for n in here[1:3])
    return here[0] if nor and named else -1


def _denied_over_aside(items: list[Item], i: int) -> int:
    """The `does not` of `it does not, as its mother does, have leaf spots`; -1 without one."""
    k = back(items, i - 1, _BEARS, v.LIMIT, first=0)
    if k < 1 or not items[k].kinds & v.COMMA or not items[k + 1].kinds & v.WITH:
        return -1
    phrase = items[k].phrase
    while k > 0 and items[k - 1].phrase == phrase:
        k -= 1
    if k < 2 or not items[k].kinds & (v.LIKE | v.THAN) or not items[k - 1].kinds & v.COMMA:
        return -1
    return k - 2 if items[k - 2].kinds & v.NOT else -1


def _of_another_thought(items: list[Item], j: int, i: int, at: Attachment) -> bool:
    """Whether no denial before item `j` reaches the state word: `no spots/hollow stem`."""
    if items[j].entry.text == "/":
        sense = items[j - 1].entry.senses.get(at.character)
        apart = items[j - 1].end < items[j].start  # bracts not spotted / spots on the leaves
        return sense is None or sense.role == "beside" or (apart and _names_organ(items, j))
    if items[j].entry.text in WITHOUT and items[j + 1].entry.text in EVERY:
        return True  # some without all hollow stems
    if not items[j].kinds & v.NONE:
        return False
    return _is_answer(items, j) or _some_only(items, j, i) or _objects(items, j, i)


def _objects(items: list[Item], j: int, i: int) -> bool:
    """`took it for dirt but no they are spots`: the `no` is to what was thought."""
    they = items[j + 1]
    named = they.lead & v.BE or they.entry.text in _THEY
    said = items[i - 1].entry.text in _IT_IS or any(m.lead & v.BE for m in items[j + 1 : i + 1])
    return items[j].entry.text == "no" and bool(named and said)


def _told_before(items: list[Item], j: int, at: Attachment) -> bool:
    """`stem not hollow  leaves plain`: the denial is of the state it stands before."""
    if not items[j].kinds & v.STATE or is_sign(items[j]):
        return False
    k = back(items, j - 1, v.NOT | v.DEGREE, v.LIMIT)
    told = (
        k >= 0
        and is_organ(items[k])
        and not items[k].entry.organs.isdisjoint(items[j].entry.senses)
    )
    return told and at.character not in items[k].entry.organs


def _names_organ(items: list[Item], j: int) -> bool:
    return any(map(is_organ, phrase_before(items, j)))


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
    outer = outer_denial(items, j)
    scope.denied = outer == j
    scope.first = outer
    if j and items[j - 1].kinds & v.NEARLY and not items[j - 1].kinds & v.LIMIT:
        scope.denied, scope.degree, scope.first = False, scope.degree | v.SLIGHT, j - 1  # almost no


def outer_denial(items: list[Item], j: int) -> int:
    """The denial that takes back the one at item `j`: `not without`, `no leaf on it without`."""
    k = j - 1
    if k >= 0 and items[k].kinds & v.NOT and not items[k].kinds & v.LIMIT:
        return k
    if not items[j].kinds & v.NOT or items[j].entry.text in ("nor", "no"):
        return j
    subject = False
    closes = v.LIMIT | v.STATE | v.NOT
    while k >= 0 and items[k].kinds & (_SUBJECT | v.WORD) and not items[k].kinds & closes:
        subject = subject or bool(items[k].kinds & (v.ORGAN | v.PLANTS | v.THEY))
        k -= 1
    if k < 0 or items[k].kinds & v.LIMIT or items[k + 1].entry.text in _THEY:
        return j  # no they weren't
    outer = items[k].kinds & (v.NOT | v.NONE) and not one_letter(items[k])  # 3 dotted n 2 not
    outer = outer or items[k].entry.text in HARDLY
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
    if item.entry.text == "as":
        return True  # nobody could describe the leaves as plain
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
    if j and one_letter(items[j]) and items[j - 1].kinds & (v.ASK | v.COLON | v.STATE):
        return True
    if j and items[j - 1].kinds & v.STATE and unpunctuated(items):
        return True
    return ends(items, j + 1) and j > 0 and not items[j].kinds & v.NOT


def _counts_sign(items: list[Item], k: int) -> bool:
    """`leaves: 0 spots`, not `hollow: 0 spots: 3`."""
    behind = items[k : k + 2]
    return bool(behind) and is_sign(behind[0]) and not behind[-1].kinds & v.COLON
