"""Of which plant a remark speaks: the plant recorded, or its neighbours."""

from __future__ import annotations

from dataclasses import dataclass

from crossproof.parse.remarks.plants.counted import is_twin
from crossproof.parse.remarks.plants.named import (
    ANOTHER,
    both_ours,
    follows_organ,
    is_formula,
    is_heading,
    joined_with_ours,
    names_all_before,
    names_another,
    names_what_stands_before,
    only_flowers_of,
    opens_sentence,
    placed_by_ours,
    shift,
    told_apart_behind,
)
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, all_kinds, stretch_start

LEADS_AWAY = ANOTHER | v.THAN | v.ELSEWHERE | v.COUNT | v.DISOWNS | v.AMONG
_BESIDE = frozenset({"about", "around", "round", "with", "by", "behind", "under", "over"})
_LEADS_BACK = frozenset(
    {
        "than",
        "differing from",
        "different from",
        "differs from",
        "distinct from",
        "compared with",
        "compared to",
        "as compared with",
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
            relative = relative or _so_stemmed(items, i, voice) or _after_aside(items, i, voice)
            if voice.who == "own" or not (relative and item.kinds & v.COMMA):
                _at_break(voice, item, i > 0 and bool(items[i - 1].kinds & (v.SPECIES | v.OTHER)))
        elif _comes_back(items, i, voice):
            theirs = _beside_ours(items, i) or _has_its(items, i)
            if voice.who == "own" or not theirs:
                voice.ours()
        elif item.kinds & v.DISOWNS:
            _disown(items, i, marks)
        elif _names_ours(items, i, voice):
            continue
        elif not _at_contrast(items, i, voice, marks):
            if item.kinds & ANOTHER and not (item.kinds & v.STATE and follows_organ(items, i)):
                _at_name(items, i, voice, marks)
            elif item.kinds & v.STATE:
                voice.said = True
        marks[i] = marks[i] or voice.who != "own"
    _mark_named_behind(items, marks)
    return marks


def _mark_named_behind(items: list[Item], marks: list[bool]) -> None:
    for i in range(1, len(items)):
        if names_all_before(items, i):
            for k in range(i):
                marks[k] = marks[k] or items[k].sentence == items[i].sentence


def _comes_back(items: list[Item], i: int, voice: _Voice) -> bool:
    """`this one`, `but for its …`, `taken for a fuchsii until …`; not `in this flush`."""
    item = items[i]
    if item.entry.text == "this" and i + 1 < len(items) and items[i + 1].kinds == v.WORD:
        return False
    found = item.kinds & v.ACTUALLY and voice.who == "region"
    return bool(item.kinds & v.OWN or found or item.entry.text == "but for")


def _goes_on(item: Item, voice: _Voice) -> bool:
    """`the fuchsii, whose leaves …`, `a companion, D. fuchsii, had …`: still that plant."""
    subject = voice.who == "subject" and (item.kinds & v.WITH or item.lead & v.BE)
    return bool(item.lead & v.RELATIVE or subject)


def _after_aside(items: list[Item], i: int, voice: _Voice) -> bool:
    """`marsh orchids, as everyone knows, have …`: the second comma leads back to that plant."""
    phrase = items[i].phrase + 1
    behind = next((k for k in range(i + 1, len(items)) if items[k].phrase != phrase), len(items))
    if behind >= len(items) or not items[behind - 1].kinds & v.COMMA:
        return False
    told = v.STATE | v.ORGAN | v.OWN | v.COUNT | ANOTHER
    return _goes_on(items[behind], voice) and not any(m.kinds & told for m in items[i:behind])


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


def _so_stemmed(items: list[Item], i: int, voice: _Voice) -> bool:
    """`fuchsii 5 m off, solid-stemmed; the hybrid …`: of that plant, since ours comes later."""
    state, organ = (*(m.kinds for m in items[i + 1 : i + 3]), 0, 0)[:2]
    if voice.who != "subject" or not (state & v.STATE and organ & v.ADJECTIVE):
        return False
    return any(m.kinds & v.OWN and m.sentence == items[i].sentence for m in items[i + 3 :])


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
    elif (item.kinds & v.AMONG or item.entry.text == "not") and _crowd(items, i, marks):
        return True
    elif item.entry.text in _THE_OTHERS and not _told_apart(items, i):
        voice.who, voice.said = "subject", False
    elif item.kinds & v.THAN and _counts_on(items, i):
        return False
    elif item.kinds & v.THAN or (item.kinds & (v.LIKE | v.AMONG) and names_another(items, i)):
        voice.who = "region"
        voice.leads_back = bool(item.kinds & v.LIKE) or item.entry.text in _LEADS_BACK
    elif voice.who == "region" and voice.leads_back and _turns_back(items, i):
        voice.who, voice.leads_back = "own", False
    else:
        return False
    return True


def _crowd(items: list[Item], i: int, marks: list[bool]) -> bool:
    """`among the plain-leaved throng`, `not the dotty-leaved dwarf`: marks how they are leaved."""
    the, state, organ = (*(m.kinds for m in items[i + 1 : i + 4]), 0, 0, 0)[:3]
    if not (the & v.THE and state & v.STATE and organ & v.ADJECTIVE):
        return False
    marks[i + 2] = marks[i + 3] = True
    return True


def _counts_on(items: list[Item], i: int) -> bool:
    """`fewer than 1 in 20`, `more than half`: no comparison with other plants."""
    behind = items[i + 1 : i + 7]
    counted = behind and behind[0].kinds & (v.COUNT | v.NUMBER)
    with_spots = len(behind) > 1 and behind[0].kinds & v.WITH and behind[1].kinds & v.STATE
    counted = counted or with_spots  # more with plain leaves than with spotted
    return bool(counted) and not any(m.kinds & ANOTHER for m in behind)


def _names_ours(items: list[Item], i: int, voice: _Voice) -> bool:
    """A name that is no other plant's: `fuchsii-like`, `both this and the fuchsii`."""
    kinds = items[i].kinds
    if not kinds & ANOTHER:
        return False
    if kinds & v.SPECIES and i + 1 < len(items) and items[i + 1].kinds & v.LIKE:
        return True
    if only_flowers_of(items, i) or both_ours(items, i) or is_twin(items, i):
        return True
    return voice.who == "own" and joined_with_ours(items, i)


def _at_name(items: list[Item], i: int, voice: _Voice, marks: list[bool]) -> None:
    if is_formula(items, i) or voice.who != "own":
        return
    counted = i > 0 and items[i - 1].kinds & (v.COUNT | v.THE) and items[i - 1].lead & v.BE
    if (items[i].lead & v.BE or counted) and names_what_stands_before(items, i):
        j = i
        while j and items[j - 1].phrase == items[i].phrase:
            j -= 1
            marks[j] = True
    if items[i].kinds & v.OTHER and i + 1 < len(items) and items[i + 1].kinds & v.OWN:
        return
    voice.who = shift(items, i, marks)
    voice.said = placed_by_ours(items, i)
    voice.who = "subject" if voice.said else voice.who
    behind = items[i + 1].kinds if i + 1 < len(items) else 0  # fuchsii alongside: …
    named = bool((items[i].kinds | behind) & v.OTHER) or is_heading(items, i)
    voice.near = named or bool(behind & (v.AMONG | v.ELSEWHERE))
    held = named or told_apart_behind(items, i)
    if voice.who == "subject" and held and opens_sentence(items, i):
        voice.said = True  # all that this sentence says is said of that plant


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


def _turns_back(items: list[Item], i: int) -> bool:
    """`like a big fuchsii with a hollow stem`, `taller than fuchsii and ringed`: ours again."""
    after_name = bool(items[i - 1].kinds & ANOTHER)
    by_it = i + 1 < len(items) and items[i + 1].entry.text == "it"  # the fuchsii by it
    turns = items[i].kinds & (v.WITH | v.AND) or items[i].entry.text in ("in", "by", "on")
    turns = turns and not by_it
    organ = items[i].kinds & v.THE and i + 1 < len(items) and items[i + 1].kinds & v.ORGAN
    turns = turns or organ  # compared with fuchsii the leaf marks …
    return after_name and bool(turns)
