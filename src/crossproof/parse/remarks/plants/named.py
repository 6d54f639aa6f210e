"""What stands around the name of another plant, and what it is said of."""

from __future__ import annotations

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, is_organ

ANOTHER = v.SPECIES | v.OTHER | v.PARENTS_BOTH | v.PARENTS_ONE | v.PARENTS_NONE
_AROUND_NAME = v.THE | v.COUNT | v.NUMBER | v.DEGREE | v.NOT | v.HEDGE
_BEFORE_NAME = _AROUND_NAME | v.PLAIN | ANOTHER | v.EXAMINE
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
    if any(m.kinds & (v.NOT | v.HEDGE) or m.kinds & ~_BEFORE_NAME for m in before):
        return False
    return not any(m.kinds & v.OWN for m in here[here.index(items[i]) + 1 :])


def is_heading(items: list[Item], i: int) -> bool:
    """`control fuchsii from the bank: solid stem, …`: a label with another plant's name."""
    here = [m for m in items[i : i + 7] if m.sentence == items[i].sentence]
    colon = next((k for k, m in enumerate(here) if m.kinds & v.LIMIT), 0)
    return colon > 0 and here[colon].entry.text == ":" and opens_sentence(items, i)


def names_what_stands_before(items: list[Item], i: int) -> bool:
    """`the spotted-leaved plant on the left is fuchsii`: what stands before is of that plant."""
    here = [m for m in items[:i] if m.phrase == items[i].phrase]
    herb = items[i].kinds & v.OTHER and ends(items, i + 1)  # the spotted leaves were lungwort
    told = v.PLANTS | (v.ORGAN if herb or items[i].entry.text.endswith("'s") else 0)
    return any(m.kinds & told for m in here) and not any(
        m.kinds & (v.OWN | v.NOT | v.LIKE) for m in here
    )


def placed_by_ours(items: list[Item], i: int) -> bool:
    """`near it a praetermissa, stem hollow, …`: the whole sentence is about that plant."""
    here = [m for m in items[:i] if m.sentence == items[i].sentence]
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
    j = i - 1
    while j > 0 and items[j].kinds & v.THE and not items[j].kinds & v.AND:
        j -= 1
    return j > 0 and bool(items[j].kinds & v.AND) and bool(items[j - 1].kinds & v.OWN)


def follows_organ(items: list[Item], i: int) -> bool:
    j = i - 1
    while j >= 0 and items[j].kinds & (v.NOT | v.DEGREE | v.WORD) and not items[j].kinds & v.LIMIT:
        j -= 1
    return j >= 0 and bool(items[j].kinds & v.ORGAN)


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
    j = i - 1
    while j >= 0 and items[j].kinds & _AROUND_NAME and not items[j].kinds & (v.STATE | v.LIMIT):
        j -= 1
    if j < 0 or items[j].kinds & (v.LIMIT | v.AND | v.TRAP):
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


def _has_the(items: list[Item], k: int) -> bool:
    """Whether what stands before item `k` of its stretch is what our plant has."""
    while k > 0 and items[k].phrase == items[k - 1].phrase and not items[k].kinds & v.WITH:
        k -= 1
    has = items[k].kinds & v.WITH or items[k].entry.text in ("lacks", "lacking", "without")
    return bool(has and k + 1 < len(items) and items[k + 1].kinds & v.THE)


def names_all_before(items: list[Item], i: int) -> bool:
    """`(there's a spotty-leaved one too) but that's just common spotted`."""
    if not items[i].kinds & v.SPECIES or not ends(items, i + 1):
        return False
    k = i - 1
    passed = v.ONLY | v.SLIGHT | v.THE | v.WORD
    while k > 0 and items[k].kinds & passed and not items[k].kinds & v.LIMIT:
        k -= 1
    turned = items[k].entry.text in ("but", "though")
    here = [m for m in items[:k] if m.sentence == items[i].sentence]
    return k > 0 and turned and not any(m.kinds & v.OWN for m in here)
