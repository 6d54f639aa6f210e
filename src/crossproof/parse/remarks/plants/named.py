"""What stands around the name of another plant, and what it is said of."""

from __future__ import annotations

from itertools import pairwise

from crossproof.parse.remarks.organ.scope import LACKS
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import (
    Item,
    back,
    ends,
    is_organ,
    past,
    phrase_before,
    sentence_before,
)

ANOTHER = v.SPECIES | v.OTHER | v.PARENTS_BOTH | v.PARENTS_ONE | v.PARENTS_NONE
_STEMS = frozenset({"stems", "stalks"})
_AROUND_NAME = v.THE | v.COUNT | v.NUMBER | v.DEGREE | v.NOT | v.HEDGE
_BEFORE_NAME = _AROUND_NAME | v.PLAIN | ANOTHER | v.EXAMINE
_TURNED_OUT = (
    "turned out",
    "proved",
    "may have been",
    "might have been",
    "must have been",
    "may be",
)
_INHERITS = ("ha", "inherit", "share", "combin")  # `has`, `having`; not `showed her a hogweed's`
_LACKS = LACKS | {"lacking", "without"}
_DESCRIBES = v.STATE | v.DEGREE | v.AND | v.OR


def told_apart_behind(items: list[Item], i: int) -> bool:
    """`both parents close by, one spotted, one plain`."""
    here = [m for m in items[i:] if m.phrase == items[i].phrase + 1]
    return bool(items[i].kinds & v.PARENTS_BOTH and here and here[0].kinds & v.COUNT)


def opens_sentence(items: list[Item], i: int) -> bool:
    """Whether a sentence begins with the name at item `i`, and does not come back to ours."""
    here = [m for m in items if m.sentence == items[i].sentence]
    before = here[: here.index(items[i])]
    if len(before) == 1 and before[0].kinds == v.WORD:
        before = []  # control fuchsii: …
    if before and before[0].kinds & v.EXAMINE:
        before = [m for m in before[1:] if m.entry.text != "of"]  # cut one of the fuchsii: solid
    if any(m.kinds & (v.NOT | v.HEDGE) or m.kinds & ~_BEFORE_NAME for m in before):
        return False
    return not any(m.kinds & v.OWN for m in here[here.index(items[i]) + 1 :])


def is_heading(items: list[Item], i: int) -> bool:
    """`control fuchsii from the bank: solid stem, …`, `checked one of the fuchsii, solid`."""
    here = [m for m in items[i : i + 7] if m.sentence == items[i].sentence]
    colon = next((k for k, m in enumerate(here) if m.kinds & v.LIMIT), 0)
    examined = sentence_before(items, i)[:1]
    heads = here[colon].entry.text == ":" or any(m.kinds & v.EXAMINE for m in examined)
    return colon > 0 and heads and opens_sentence(items, i)


def names_what_stands_before(items: list[Item], i: int) -> bool:
    """`the spotted-leaved plant on the left is fuchsii`: what stands before is of that plant."""
    here = phrase_before(items, i)
    herb = items[i].kinds & v.OTHER and ends(items, i + 1)  # the spotted leaves were lungwort
    theirs = herb or items[i].entry.text.endswith("'s") or turned_out(items, i)
    told = v.PLANTS | (v.ORGAN if theirs else 0)
    return any(m.kinds & told for m in here) and not any(
        m.kinds & (v.OWN | v.NOT | v.LIKE) for m in here
    )


def turned_out(items: list[Item], i: int) -> bool:
    """`that hollow stem turned out to be hogweed`."""
    k = back(items, i - 1, v.THE, first=0)
    return k > 0 and items[k].entry.text.startswith(_TURNED_OUT)


def came_from(items: list[Item], i: int) -> bool:
    """`the spotted leaf in the envelope is from (a fuchsii)`: one leaf, and whose it was."""
    if i < 2 or i >= len(items) or items[i - 1].entry.text != "from" or items[i].kinds & v.OWN:
        return False
    here = [m for m in items[: i - 1] if m.phrase == items[i].phrase]
    return any(
        a.kinds & v.STATE and b.entry.text in ("leaf", "blade", "one") for a, b in pairwise(here)
    )


def inherits_from(items: list[Item], i: int) -> bool:
    """`has its fuchsii parent's leaf spots (and its mother's stem)`: ours has them too."""
    owner = items[i + 1 : i + 2] if items[i].kinds & v.SPECIES else []  # its fuchsii parent's
    if not any(m.entry.text.endswith("'s") and m.kinds & ANOTHER for m in (items[i], *owner)):
        return False
    here = phrase_before(items, i)
    has = [m for m in here if m.kinds & v.WITH and m.entry.text.startswith(_INHERITS)]
    return bool(has) and not any(m.kinds & (v.NOT | v.NONE) for m in here)


def stands_alone(items: list[Item], i: int) -> bool:
    """`the other one was hollow-stemmed`: other than ours, where no plant was told of before."""
    told = v.STATE | v.ORGAN | v.COUNT | v.PLANTS | v.OWN | v.VARIED
    return not any(m.kinds & told for m in items[:i])


def singled_out(items: list[Item], i: int) -> bool:
    """`only one in the whole field of southern marsh with …`: that one is ours."""
    here = sentence_before(items, i)
    first = next((k for k, m in enumerate(here) if not m.kinds & v.THE or m.kinds & v.COUNT), 0)
    only = any(m.kinds & v.ONLY for m in here[: first + 1])
    return only and any(m.kinds & v.COUNT and m.entry.text.endswith("one") for m in here[:3])


def placed_by_ours(items: list[Item], i: int) -> bool:
    """`near it a praetermissa, stem hollow, …`: the whole sentence is about that plant."""
    here = sentence_before(items, i)
    return len(here) > 1 and bool(here[0].kinds & v.AMONG and here[1].kinds & v.OWN)


def both_ours(items: list[Item], i: int) -> bool:
    """`ringed on one, plain on its neighbour, both the hybrid`."""
    if not items[i].kinds & v.OTHER or items[i].kinds & v.SPECIES:
        return False
    here = [m for m in items[i + 1 :] if m.sentence == items[i].sentence]
    both = next((k for k, m in enumerate(here) if m.entry.text == "both"), len(here))
    return any(m.kinds & v.OWN for m in here[both : both + 5])


def only_flowers_of(items: list[Item], i: int) -> bool:
    """`fuchsii flowers on a plant with unspotted leaves`: only the flowers are of that kind."""
    behind = items[i + 1 : i + 5]
    flowers = len(behind) == 4 and behind[0].kinds & v.FLOWER and behind[1].entry.text == "on"
    return bool(flowers and behind[2].entry.text == "a" and behind[3].kinds & v.PLANTS)


def joined_with_ours(items: list[Item], i: int) -> bool:
    j = back(items, i - 1, v.THE, v.AND, first=0)
    joins = v.AND | (v.OR if items[j].entry.text == "nor" else 0)
    return j > 0 and bool(items[j].kinds & joins) and bool(items[j - 1].kinds & v.OWN)


_BEFORE_EPITHET = v.NOT | v.NONE | v.DEGREE | v.WORD | v.OR | v.STATE | v.VARIED


def follows_organ(items: list[Item], i: int) -> bool:
    """`folia (utrinque, immaculata vel) maculata`: the epithet is a state of the organ before."""
    for j in range(i - 1, -1, -1):
        kinds = items[j].kinds
        if kinds & v.ORGAN:
            return True
        if kinds & v.LIMIT:
            behind = items[j + 1]  # immaculata, rarius …; erecta, angusta, haud …
            goes_on = behind.kinds & v.VARIED or behind.entry.text == "haud" or behind.entry.topic
            passed = kinds & v.COMMA and goes_on
        else:
            passed = kinds & _BEFORE_EPITHET or items[j].entry.text == "et"
        if not passed:
            return False
    return False


def names_another(items: list[Item], i: int) -> bool:
    if i and items[i - 1].kinds & v.SPECIES and items[i].kinds & v.LIKE:
        return False  # fuchsii-like
    reach = 1 if items[i].entry.text == "as" else 5
    for item in items[i + 1 : i + 1 + reach]:
        if item.kinds & ANOTHER:
            return True
        if item.kinds & v.LIMIT or (item.kinds & v.OWN and items[i].kinds & v.AMONG):
            return False
    return False


def is_formula(items: list[Item], i: int) -> bool:
    """A cross of two names is this plant: `fuchsii x praetermissa`."""
    return any(
        items[k].kinds & v.CROSS
        and not (k + 1 < len(items) and items[k + 1].kinds & v.NUMBER)  # fuchsii x 3
        for k in (i - 1, i + 1, i - 2)
        if 0 <= k < len(items) and not any(m.kinds & v.LIMIT for m in items[min(k, i) : max(k, i)])
    )


def shift(items: list[Item], i: int, marks: list[bool]) -> str:
    """What naming another plant at item `i` does; marks what it takes with it backwards."""
    j = back(items, i - 1, _AROUND_NAME, v.STATE | v.LIMIT)
    if _begins_there(items, i, j):
        return "subject"
    if items[j].kinds & v.WORD and items[j - 1].kinds & (v.ON | v.WORD):
        of = j - 1 - bool(items[j - 1].kinds & v.WORD)
        j = of if of >= 0 and items[of].entry.text == "of" else j  # of last year's hogweed
    before = items[j]
    if before.kinds & v.ON and before.entry.text in ("of", "on", "in"):
        k = j if j and not items[j - 1].kinds & (v.HEDGE | v.EXAMINE | v.SPEAKS) else -1  # think of
        if before.entry.text == "of" and _has_the(items, k):
            return "own"  # has the solid stem of fuchsii
        while k >= 0 and items[k].phrase == items[i].phrase and not items[k].kinds & v.HARD:
            marks[k] = True
            k -= 1
        return "region"
    k = i - 1
    while k >= 0 and items[k].kinds & (_DESCRIBES | v.ADJECTIVE) and not items[k].kinds & v.LIMIT:
        if is_organ(items[k]):
            break
        k -= 1
    if k < 0 or not items[k].kinds & v.ORGAN:
        for m in range(k + 1, i):
            marks[m] = True
        if k < 0 or items[k].kinds & v.LIMIT:
            return "subject"
    return "region"


def _begins_there(items: list[Item], i: int, j: int) -> bool:
    """Whether a sentence or a list begins with the name at item `i`; `j` stands before it."""
    if j < 0 or items[j].kinds & (v.LIMIT | v.AND | v.TRAP):
        return True
    of = j - bool(j and items[j].kinds == v.WORD)  # a stand of giant hogweed
    if items[of].entry.text == "of":
        return _opens_clump(items, of)
    opens = items[j].kinds == v.WORD and (not j or items[j - 1].kinds & v.STOP)
    if opens and any(m.kinds != v.WORD or m.value >= 0 for m in items[i + 1 : i + 2]):
        return True  # nearest fuchsii 20 m off; not `against fuchsii blood`
    return bool(items[i].kinds & v.OTHER) and _opens_unknown(items, j)


def _opens_unknown(items: list[Item], j: int) -> bool:
    """`(Giant) hogweed: …`, `cut (a) hemlock by mistake`: at most two words begin the sentence."""
    k = j
    while k >= 0 and j - k < 2 and _may_open(items[k]):
        k -= 1
    if 0 <= k < j and items[k].kinds & v.OWN and items[k].kinds & v.THE:
        k -= 1  # its likely parent
    return k < j and (k < 0 or bool(items[k].kinds & (v.STOP | v.BREAK)))


def is_done_to(items: list[Item], i: int) -> bool:
    """`pulled the sedge aside: …`: what follows is what that laid bare."""
    return i > 1 and items[i - 1].kinds & v.THE != 0 and items[i - 2].kinds == v.WORD


def _may_open(item: Item) -> bool:
    return item.kinds in (v.WORD, v.WORD | v.ADVERB, v.EXAMINE, v.EXAMINE | v.PLAIN)


def _opens_clump(items: list[Item], of: int) -> bool:
    """`a stand of hogweed, its stems …`, `cut one of the fuchsii: solid`: it begins with them."""
    here = [m for m in items[:of] if m.sentence == items[of].sentence]
    told = v.THE | v.PLANTS | v.COUNT | v.NUMBER | v.LARGE | v.SIZE | v.EXAMINE
    counted = any(m.kinds & (v.PLANTS | v.EXAMINE) for m in here)
    return counted and all(m.kinds & told for m in here)


def _has_the(items: list[Item], k: int) -> bool:
    """Whether what stands before item `k` of its stretch is what our plant has."""
    while k > 0 and not items[k].kinds & v.WITH:
        if items[k].phrase != items[k - 1].phrase and not items[k].kinds & v.BUT:
            break  # has the leaves of fuchsii but the stem of incarnata
        if items[k].entry.text in _LACKS:
            break
        k -= 1
    has = items[k].kinds & v.WITH or items[k].entry.text in _LACKS
    return bool(has and k + 1 < len(items) and items[k + 1].kinds & v.THE)


def names_all_before(items: list[Item], i: int) -> bool:
    """`(there's a spotty-leaved one too) but that's just common spotted`."""
    if not items[i].kinds & v.SPECIES or not ends(items, i + 1):
        return False
    k = back(items, i - 1, v.ONLY | v.SLIGHT | v.THE | v.WORD, v.LIMIT, first=0)
    turned = items[k].entry.text in ("but", "though")
    here = [m for m in items[:k] if m.sentence == items[i].sentence]
    return k > 0 and turned and not any(m.kinds & v.OWN for m in here)


def stands_by_ours(items: list[Item], i: int) -> bool:
    """`dock crowding its foot, every leaf spotted`: the subject is the dock, and ours is none.

    So in `hemlock over it - hollow stems everywhere`: of one plant there would be one.
    """
    here, every = phrase_before(items, i), any(m.entry.text == "leaf" for m in items[i + 1 : i + 3])
    herb = here and here[0].kinds & v.OTHER and not here[0].kinds & v.THE
    organ = items[past(items, i + 1, v.STATE | v.WORD) :][:1]
    stems = any(m.entry.text in _STEMS for m in organ) and items[i + 1].kinds & v.STATE
    ours = ("its", "it" if every or stems else "its")
    return bool(herb) and any(m.entry.text in ours for m in here)
