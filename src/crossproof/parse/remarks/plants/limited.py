"""A count that a limiting word makes a share: `in 9 only`, `on no more than 5`, `in just three`."""

from __future__ import annotations

from crossproof.parse.remarks.plants.counted import is_leaf_spotted
from crossproof.parse.remarks.plants.single import of_counted_leaves
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.item import Item, ends

_WORDS = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven"),
    *("twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
    "twenty",
)
_TENS = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety", "hundred")
_NUMBERS = (
    {"0": 0}
    | {word: n for n, word in enumerate(_WORDS, start=1)}
    | dict(zip(_TENS, range(30, 101, 10), strict=True))
    | {
        "the pair": 2,
        "a pair": 2,
        "a dozen": 12,
        "dozen": 12,
        "a score": 20,
        "score": 20,
        "the score": 20,
    }
)
_AT_MOST = frozenset(general_words()["at_most"])
_ABOUT = frozenset(general_words()["so_many_or_so"])
_CONFINED = frozenset({"confined to", "restricted to", "limited to"})
_WHOLE = ("all", "both", "each", "every", "none", "any", "not", "otherwise")
_NEXT = 2  # letters between two words, if there is none: `, one had`, not `, every one had`
_MANY = 1000  # a greater number is a year
_TOTAL = frozenset(general_words()["in_all"])


def number_of(item: Item) -> int:
    """The number that an item writes in figures or words; -1 for none."""
    if item.value >= 0 or not item.kinds & (v.COUNT | v.NONE | v.NUMBER):
        return item.value
    return _NUMBERS.get(item.entry.text.removeprefix("no more than "), -1)


def opening(items: list[Item], first: int) -> int:
    """What stands before a share and its limits: `in (no more than) a fifth`; -1 for nothing."""
    k = first - 1
    while k >= 0 and (items[k].entry.text in _AT_MOST or items[k].entry.text in _ABOUT):
        fewer = items[k].kinds & v.THAN and k and items[k - 1].kinds == v.WORD
        k -= 1 + bool(fewer)
    return k


def limited(items: list[Item], i: int) -> int:
    """The last of `(spots) in just three`, `in 9 only`, `on only two plants`; or `i` - 1."""
    item = items[i]
    if not item.kinds & v.COUNT or item.entry.text.startswith(_WHOLE) or item.value > _MANY:
        return i - 1
    before = opening(items, i)
    if before < 0 or not items[before].kinds & v.ON or items[before].kinds & v.TOPIC:
        return i - 1
    last = i + (i + 1 < len(items) and bool(items[i + 1].kinds & v.PLANTS))
    only = last + 1 < len(items) and bool(items[last + 1].kinds & v.ONLY)
    at_most = any(m.entry.text in _AT_MOST for m in items[before:i])
    at_most = at_most or items[before].entry.text in _CONFINED or "no more than" in item.entry.text
    if not (only or at_most) or not ends(items, last + 1 + only, v.AND | v.ON):
        return i - 1
    raised = any(m.lead & v.HEIGHTS for m in items[before : last + 1])
    return i - 1 if raised or of_counted_leaves(items, i) else last


def of_the_total(items: list[Item], i: int) -> bool:
    """`Total 10; leaf spots 4`, `ten looked at; four had leaf spots`: fewer than all there were."""
    part = number_of(items[i])
    if part <= 0 or i < 2:
        return False
    opens = items[i - 1].kinds & (v.LIMIT | v.AND) and items[i].start - items[i - 1].end < _NEXT
    if opens and i + 1 < len(items) and items[i + 1].kinds & v.WITH:
        return not of_counted_leaves(items, i) and _of_a_total(items, i, part)
    if not ends(items, i + 1, v.PLANTS):
        return False
    on = items[i - 1].kinds & (v.ON | v.COLON)
    if not items[i - 1 - bool(on)].kinds & v.STATE or of_counted_leaves(items, i):
        return False
    if i + 2 < len(items) and items[i + 1].kinds & v.COMMA and number_of(items[i + 2]) >= 0:
        return False  # leaf spots: 4, 7, 2
    return _of_a_total(items, i - 1, part)


def _of_a_total(items: list[Item], i: int, part: int) -> bool:
    return any(part < number_of(items[k]) < _MANY and _is_total(items, k) for k in range(i - 1))


def _is_total(items: list[Item], k: int) -> bool:
    """`ten plants examined`, `total 10`, `seen: 7`: a number of plants, at the beginning."""
    before = items[k - 1 - (k > 1 and bool(items[k - 1].kinds & v.COLON))] if k else None
    if before is not None and before.entry.text in _TOTAL:
        return True
    if any(m.kinds & (v.STATE | v.ORGAN) for m in items[:k]):
        return False
    behind = items[k + 1 : k + 3]
    looked = v.EXAMINE | v.SEE
    if behind and behind[0].kinds & looked:
        return True
    return bool(behind and behind[0].kinds & v.PLANTS and ends(items, k + 2, looked | v.ON))


def state_of_so_many(items: list[Item], i: int) -> int:
    """The last of `4 leaf-spotted out of 10`, `nine plain-leaved of 14`; or `i`."""
    if number_of(items[i]) < 0 or i + 3 >= len(items):
        return i
    state, of = i + 1, i + 2
    if items[state].kinds & v.ORGAN and is_leaf_spotted(items, state):
        state, of = i + 2, i + 3
    elif items[of].kinds & v.ADJECTIVE:
        of += 1
    else:
        return i
    if not items[state].kinds & v.STATE or of + 1 >= len(items) or items[of].entry.text != "of":
        return i
    last = of + 1
    while last + 1 < len(items) and items[last].kinds & v.THE and number_of(items[last]) < 0:
        last += 1
    return last if number_of(items[last]) > number_of(items[i]) else i
