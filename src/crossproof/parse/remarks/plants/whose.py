"""Of which plant a remark speaks: the plant recorded, or its neighbours."""

from __future__ import annotations

from dataclasses import dataclass

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, all_kinds, stretch_start

_ANOTHER = v.SPECIES | v.OTHER | v.PARENTS_BOTH | v.PARENTS_ONE | v.PARENTS_NONE
LEADS_AWAY = _ANOTHER | v.THAN | v.ELSEWHERE | v.COUNT | v.DISOWNS
_BESIDE = frozenset({"about", "around", "round", "with", "by", "behind", "under", "over"})
_AROUND_NAME = v.THE | v.COUNT | v.NUMBER | v.DEGREE | v.NOT | v.HEDGE
_LEADS_BACK = frozenset(
    {
        "than",
        "differing from",
        "different from",
        "differs from",
        "distinct from",
        "told apart from",
        "told from",
        "distinguished from",
        "separated from",
        "can't be",
        "cannot be",
        "can not be",
    }
)
_PLANTS = ("plants", "spikes", "specimens", "individuals")
_THE_OTHERS = frozenset(
    {"others"} | {f"{the}other {plants}" for the in ("", "the ") for plants in _PLANTS}
)
_COMPARED = frozenset({"for comparison", "by way of comparison", "to compare"})
_DESCRIBES = v.STATE | v.DEGREE | v.AND | v.OR


@dataclass(slots=True)
class _Voice:
    """Whose plant is spoken of: `own`, another `subject`, or another for a `region` (a phrase)."""

    who: str = "own"
    said: bool = False  # whether a state was said of the other plant
    near: bool = False  # whether it was called a neighbour
    leads_back: bool = False  # whether `with`, `and`, `in` after its name lead back to ours

    def ours(self) -> None:
        self.who, self.said = "own", False


def of_another(items: list[Item]) -> list[bool]:
    """For each item, whether it speaks of a plant that is not the record's."""
    marks = [False] * len(items)
    if not all_kinds(items) & LEADS_AWAY:
        return marks
    voice = _Voice()
    for i, item in enumerate(items):
        if item.kinds & v.LIMIT:
            relative = i + 1 < len(items) and _goes_on(items[i + 1], voice)
            relative = relative or _is_counted(items, i - 1) or _of_them(items, i, voice)
            if voice.who == "own" or not (relative and item.kinds & v.COMMA):
                _at_break(voice, item, i > 0 and bool(items[i - 1].kinds & (v.SPECIES | v.OTHER)))
        elif item.kinds & v.OWN or item.entry.text == "but for":
            theirs = _beside_ours(items, i) or _has_its(items, i)
            if voice.who == "own" or not theirs:
                voice.ours()
        elif item.kinds & v.DISOWNS:
            _disown(items, i, marks)
        elif _names_ours(items, i, voice):
            continue
        elif not _at_contrast(items, i, voice, marks):
            if item.kinds & _ANOTHER and not (item.kinds & v.STATE and _follows_organ(items, i)):
                _at_name(items, i, voice, marks)
            elif item.kinds & v.STATE:
                voice.said = True
        marks[i] = marks[i] or voice.who != "own"
    return marks


def _goes_on(item: Item, voice: _Voice) -> bool:
    """`the fuchsii, whose leaves …`, `a companion, D. fuchsii, had …`: still that plant."""
    subject = voice.who == "subject" and (item.kinds & v.WITH or item.lead & v.BE)
    return bool(item.lead & v.RELATIVE or subject)


def _is_counted(items: list[Item], i: int) -> bool:
    """`fuchsii x 3, spotted leaves; …`."""
    if i < 2 or not items[i].kinds & v.NUMBER or not items[i - 1].kinds & v.CROSS:
        return False
    return bool(items[i - 2].kinds & v.SPECIES)


def _has_its(items: list[Item], i: int) -> bool:
    """`only the maculata had its stem tested`: the stem is that plant's."""
    return items[i].entry.text == "its" and i > 0 and bool(items[i - 1].kinds & v.WITH)


def _of_them(items: list[Item], i: int, voice: _Voice) -> bool:
    """`fuchsii near by, solid stems all of them`."""
    if voice.who != "subject":
        return False
    phrase = [m for m in items[i + 1 :] if m.phrase == items[i].phrase + 1]
    return any(m.kinds & v.THEY and phrase[k - 1].kinds & v.ON for k, m in enumerate(phrase) if k)


def _beside_ours(items: list[Item], i: int) -> bool:
    """`the fuchsii beside it were …`: ours only says where they stood."""
    return i > 0 and (bool(items[i - 1].kinds & v.AMONG) or items[i - 1].entry.text in _BESIDE)


def _disown(items: list[Item], i: int, marks: list[bool]) -> None:
    """`the spotted leaves are not its own`: marks the stretch, unless it goes on to ours."""
    if any(item.kinds & v.OWN for item in items[i + 1 : i + 3]):
        return
    j = i - bool(i and items[i - 1].kinds & (v.BUT | v.COMMA))  # … but that's another plant
    phrase = items[j - 1].phrase if j else 0
    while j and items[j - 1].phrase == phrase:
        j -= 1
        marks[j] = True


def _at_break(voice: _Voice, item: Item, named: bool) -> None:
    """A full stop brings us back to our plant; weaker breaks do where nothing holds us."""
    kinds = item.kinds
    if kinds & v.COMMA or (kinds & v.ASK and item.prefix):
        if voice.who == "region" or not voice.said:
            voice.who = "own"
        return
    if named and item.entry.text == "(":
        voice.who = voice.who if voice.who == "own" else "subject"  # 20 fuchsii (leaves marked)
        return
    holds = (kinds & v.COLON and voice.near) or (kinds & v.BUT and voice.said)
    if voice.who == "region" or not (item.entry.text == "(" or holds):
        voice.ours()


def _at_contrast(items: list[Item], i: int, voice: _Voice, marks: list[bool]) -> bool:
    """`plants nearby`, `others`, `than fuchsii`, and the way back from there."""
    item = items[i]
    if item.kinds & v.ELSEWHERE and _plants_elsewhere(items, i, marks):
        voice.who, voice.said = "subject", True
    elif item.entry.text in _COMPARED and voice.who != "own":
        voice.who, voice.said = "subject", True  # cut a fuchsii for comparison, solid
    elif item.entry.text in _THE_OTHERS and not _told_apart(items, i):
        voice.who, voice.said = "subject", False
    elif item.kinds & v.THAN or (item.kinds & (v.LIKE | v.AMONG) and _names_another(items, i)):
        voice.who = "region"
        voice.leads_back = bool(item.kinds & v.LIKE) or item.entry.text in _LEADS_BACK
    elif voice.who == "region" and voice.leads_back and _turns_back(items, i):
        voice.who, voice.leads_back = "own", False
    else:
        return False
    return True


def _names_ours(items: list[Item], i: int, voice: _Voice) -> bool:
    """A name that is no other plant's: `fuchsii-like`, `both this and the fuchsii`."""
    kinds = items[i].kinds
    if not kinds & _ANOTHER:
        return False
    if kinds & v.SPECIES and i + 1 < len(items) and items[i + 1].kinds & v.LIKE:
        return True
    if _on_a_plant(items, i) or _both_ours(items, i):
        return True
    return voice.who == "own" and _with_own(items, i)


def _at_name(items: list[Item], i: int, voice: _Voice, marks: list[bool]) -> None:
    if _is_formula(items, i) or voice.who != "own":
        return
    if items[i].lead & v.BE and _is_named(items, i):
        j = i
        while j and items[j - 1].phrase == items[i].phrase:
            j -= 1
            marks[j] = True
    if items[i].kinds & v.OTHER and i + 1 < len(items) and items[i + 1].kinds & v.OWN:
        return
    voice.who = _shift(items, i, marks)
    voice.said = _placed_by_ours(items, i)
    voice.who = "subject" if voice.said else voice.who
    beside = items[i + 1].kinds & v.AMONG if i + 1 < len(items) else 0  # fuchsii alongside: …
    voice.near = bool(items[i].kinds & v.OTHER or beside)


def _is_named(items: list[Item], i: int) -> bool:
    """`the spotted-leaved plant on the left is fuchsii`: what stands before is of that plant."""
    here = [m for m in items[:i] if m.phrase == items[i].phrase]
    return any(m.kinds & v.PLANTS for m in here) and not any(
        m.kinds & (v.OWN | v.NOT | v.LIKE) for m in here
    )


def _placed_by_ours(items: list[Item], i: int) -> bool:
    """`near it a praetermissa, stem hollow, …`: the whole sentence is about that plant."""
    here = [m for m in items[:i] if m.sentence == items[i].sentence]
    return len(here) > 1 and bool(here[0].kinds & v.AMONG and here[1].kinds & v.OWN)


def _plants_elsewhere(items: list[Item], i: int, marks: list[bool]) -> bool:
    """`ring-spotted plants nearby`: marks the stretch, where it is about plants."""
    first = stretch_start(items, i)
    while first and items[first - 1].clause == items[i].clause and items[first - 1].kinds & v.BREAK:
        first -= 1
    stretch = items[first:i]
    if not any(m.kinds & v.MANY for m in stretch) or any(m.kinds & v.OWN for m in stretch):
        return False
    marks[first:i] = [True] * (i - first)
    return True


def _told_apart(items: list[Item], i: int) -> bool:
    """Whether other recorded plants were spoken of before: `some plain, others spotted`."""
    return any(
        m.kinds & (v.COUNT | v.STATE | v.VARIED) and m.sentence == items[i].sentence
        for m in items[:i]
    )


def _both_ours(items: list[Item], i: int) -> bool:
    """`ringed on one, plain on its neighbour, both the hybrid`."""
    if not items[i].kinds & v.OTHER or items[i].kinds & v.SPECIES:
        return False
    here = [m for m in items[i + 1 :] if m.sentence == items[i].sentence]
    both = next((k for k, m in enumerate(here) if m.entry.text == "both"), len(here))
    return any(m.kinds & v.OWN for m in here[both : both + 5])


def _on_a_plant(items: list[Item], i: int) -> bool:
    """`fuchsii flowers on a plant with unspotted leaves`: only the flowers are of that kind."""
    behind = items[i + 1 : i + 5]
    flowers = len(behind) == 4 and behind[0].kinds & v.FLOWER and behind[1].entry.text == "on"
    return bool(flowers and behind[2].entry.text == "a" and behind[3].kinds & v.PLANTS)


def _with_own(items: list[Item], i: int) -> bool:
    j = i - 1
    while j > 0 and items[j].kinds & v.THE and not items[j].kinds & v.AND:
        j -= 1
    return j > 0 and bool(items[j].kinds & v.AND) and bool(items[j - 1].kinds & v.OWN)


def _turns_back(items: list[Item], i: int) -> bool:
    """`like a big fuchsii with a hollow stem`, `taller than fuchsii and ringed`: ours again."""
    after_name = bool(items[i - 1].kinds & _ANOTHER)
    turns = items[i].kinds & (v.WITH | v.AND) or items[i].entry.text in ("in", "by", "on")
    return after_name and bool(turns)


def _follows_organ(items: list[Item], i: int) -> bool:
    j = i - 1
    while j >= 0 and items[j].kinds & (v.NOT | v.DEGREE | v.WORD) and not items[j].kinds & v.LIMIT:
        j -= 1
    return j >= 0 and bool(items[j].kinds & v.ORGAN)


def _names_another(items: list[Item], i: int) -> bool:
    if i and items[i - 1].kinds & v.SPECIES and items[i].kinds & v.LIKE:
        return False  # fuchsii-like
    reach = 1 if items[i].entry.text == "as" else 5
    for item in items[i + 1 : i + 1 + reach]:
        if item.kinds & _ANOTHER:
            return True
        if item.kinds & v.LIMIT or (item.kinds & v.OWN and items[i].kinds & v.AMONG):
            return False
    return False


def _is_formula(items: list[Item], i: int) -> bool:
    """A cross of two names is this plant: `fuchsii x praetermissa`."""
    return any(
        items[k].kinds & v.CROSS
        and not (k + 1 < len(items) and items[k + 1].kinds & v.NUMBER)  # fuchsii x 3
        for k in (i - 1, i + 1, i - 2)
        if 0 <= k < len(items) and not any(m.kinds & v.LIMIT for m in items[min(k, i) : max(k, i)])
    )


def _shift(items: list[Item], i: int, marks: list[bool]) -> str:
    """What naming another plant at item `i` does; marks what it takes with it backwards."""
    j = i - 1
    while j >= 0 and items[j].kinds & _AROUND_NAME and not items[j].kinds & (v.STATE | v.LIMIT):
        j -= 1
    if j < 0 or items[j].kinds & (v.LIMIT | v.AND | v.TRAP):
        return "subject"
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
        if items[k].kinds & v.ORGAN and not items[k].kinds & v.ADJECTIVE:
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
