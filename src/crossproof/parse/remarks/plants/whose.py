"""Of which plant a remark speaks: the plant recorded, or its neighbours."""

from __future__ import annotations

from dataclasses import dataclass

from crossproof.parse.remarks.plants.counted import is_twin
from crossproof.parse.remarks.plants.held import (
    at_its_foot,
    beside_ours,
    counts_on,
    crowd,
    has_its,
    held_over,
    is_counted,
    is_counted_heading,
    is_lettered_name,
    is_object,
    names_ground,
    neighbour_with,
    not_ours,
    opens_elsewhere,
    plants_elsewhere,
)
from crossproof.parse.remarks.plants.named import (
    ANOTHER,
    both_ours,
    came_from,
    follows_organ,
    inherits_from,
    is_done_to,
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
    singled_out,
    stands_alone,
    told_apart_behind,
    turned_out,
)
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, all_kinds, phrase_before, stretch_start

LEADS_AWAY = ANOTHER | v.THAN | v.ELSEWHERE | v.COUNT | v.DISOWNS | v.AMONG
# Behind these the other plant is told of further: `unlike the fuchsii by the stile, whose …`.
_TELLS_ON = frozenset(
    {
        "unlike", "cf", "not like", "in contrast to", "in contrast with", "contrasting with",
        "as opposed to", "as against", "versus", "vs", "with those of", "opposed to",
        "not to be confused with",
    }
)  # fmt: skip
_PLANTS = ("plants", "spikes", "specimens", "individuals")
_THE_OTHERS = frozenset(
    {"others"} | {f"{the}other {plants}" for the in ("", "the ") for plants in _PLANTS}
)
_THE_OTHER_ONE = frozenset({"the other", "the other one"})
_COMPARED = frozenset({"for comparison", "by way of comparison", "to compare"})


@dataclass(slots=True)
class _Voice:
    """Whose plant is spoken of: `own`, another `subject`, or another for a `region` (a phrase)."""

    who: str = "own"
    said: bool = False  # whether a state was said of the other plant
    near: bool = False  # whether it was called a neighbour
    leads_back: bool = False  # whether `with`, `and`, `in` after its name lead back to ours
    compared: int = -1  # the sentence that likened ours to it

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
            if voice.who == "own" or not (item.kinds & v.COMMA and _holds_on(items, i, voice)):
                _at_break(voice, item, i > 0 and bool(items[i - 1].kinds & (v.SPECIES | v.OTHER)))
        elif _comes_back(items, i, voice):
            if voice.who == "own" or not _only_says_which(items, i, voice):
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


def _holds_on(items: list[Item], i: int, voice: _Voice) -> bool:
    """Whether what stands behind the comma `i` is still said of the other plant."""
    if i + 1 < len(items) and _goes_on(items[i + 1], voice):
        return True
    if is_counted(items, i - 1) or _of_them(items, i, voice) or _so_stemmed(items, i, voice):
        return True
    if _after_aside(items, i, voice):
        return True
    return held_over(items, i, unlike=voice.who == "region")


def _only_says_which(items: list[Item], i: int, voice: _Voice) -> bool:
    """Whether ours, at item `i`, only says which other plant: `the fuchsii beside it was …`."""
    if beside_ours(items, i) or has_its(items, i) or at_its_foot(items, i):
        return True
    if i and not_ours(items, i - 1):
        return True
    if i and items[i - 1].kinds & ANOTHER and items[i - 1].entry.text.endswith("'s"):
        return True  # my neighbour's hybrid
    return voice.who == "subject" and not voice.said and is_object(items, i)


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


def _of_them(items: list[Item], i: int, voice: _Voice) -> bool:
    """`fuchsii near by, solid stems all of them`; `with fuchsii, stems of those solid`."""
    phrase = [m for m in items[i + 1 :] if m.phrase == items[i].phrase + 1]
    theirs = [m.kinds & v.THEY or m.entry.text == "those" for m in phrase]
    return any(them and phrase[k - 1].kinds & v.ON for k, them in enumerate(theirs) if k)


def _so_stemmed(items: list[Item], i: int, voice: _Voice) -> bool:
    """`fuchsii 5 m off, solid, …`; `…, solid-stemmed; the hybrid …`: since ours comes later."""
    state, organ = (*(m.kinds for m in items[i + 1 : i + 3]), v.LIMIT, v.LIMIT)[:2]
    if voice.who != "subject" or not (state & v.STATE and organ & (v.ADJECTIVE | v.LIMIT)):
        return False
    later = any(m.kinds & v.OWN and m.sentence == items[i].sentence for m in items[i + 3 :])
    return later or bool(organ & v.LIMIT)


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
    if item.kinds & (v.PLANTS | v.COUNT | v.WORD) and neighbour_with(items, i):
        voice.who = "region"
    elif item.kinds & v.ELSEWHERE and opens_elsewhere(items, i):
        voice.who, voice.said = "subject", False
    elif item.kinds & v.ELSEWHERE and plants_elsewhere(items, i, marks):
        voice.who, voice.said = "subject", True
    elif item.entry.text in _COMPARED and voice.who != "own":
        voice.who, voice.said = "subject", True  # cut a fuchsii for comparison, solid
    elif item.entry.text == "not":
        return _at_not(items, i, voice, marks)
    elif item.kinds & v.AMONG and crowd(items, i, marks):
        return True
    elif _is_the_other(items, i):
        voice.who, voice.said = "subject", item.entry.text in _THE_OTHER_ONE
    elif item.kinds & v.THAN and counts_on(items, i):
        return False
    elif item.kinds & v.THAN or (item.kinds & (v.LIKE | v.AMONG) and names_another(items, i)):
        _at_likeness(items, i, voice, marks)
    elif voice.who == "region" and voice.leads_back and _turns_back(items, i):
        voice.who, voice.leads_back = "own", False
    else:
        return False
    return True


def _names_ours(items: list[Item], i: int, voice: _Voice) -> bool:
    """A name that is no other plant's: `fuchsii-like`, `both this and the fuchsii`."""
    kinds = items[i].kinds
    if not kinds & ANOTHER:
        return False
    if kinds & v.SPECIES and i + 1 < len(items) and items[i + 1].kinds & v.LIKE:
        return True
    if voice.who == "own" and inherits_from(items, i):
        return True
    if only_flowers_of(items, i) or both_ours(items, i) or is_twin(items, i):
        return True
    if _is_counted_before(items, i):
        return True
    return voice.who == "own" and joined_with_ours(items, i)


def _is_counted_before(items: list[Item], i: int) -> bool:
    """`one plain, the other six with spots on theirs`: of plants that were counted."""
    here = phrase_before(items, i)
    return items[i].entry.text == "theirs" and any(m.kinds & v.COUNT for m in here)


def _at_name(items: list[Item], i: int, voice: _Voice, marks: list[bool]) -> None:
    if is_formula(items, i) or voice.who != "own":
        return
    counted = i > 0 and items[i - 1].kinds & (v.COUNT | v.THE) and items[i - 1].lead & v.BE
    counted = counted or turned_out(items, i) or came_from(items, i)
    if (items[i].lead & v.BE or counted) and names_what_stands_before(items, i):
        j = i
        while j and items[j - 1].phrase == items[i].phrase:
            j -= 1
            marks[j] = True
    next_is_ours = i + 1 < len(items) and items[i + 1].kinds & v.OWN
    if items[i].kinds & v.OTHER and next_is_ours and not items[i].entry.text.endswith("'s"):
        return
    voice.who = shift(items, i, marks)
    listed = is_counted_heading(items, i) or is_lettered_name(items, i)
    voice.said = placed_by_ours(items, i) or listed
    voice.who = "subject" if voice.said else voice.who
    if voice.who == "region" and voice.compared == items[i].sentence:
        voice.leads_back = True  # agrees with fuchsii in …, and with incarnata in …
    if voice.who == "region" and singled_out(items, i):
        voice.leads_back = True
    behind = items[i + 1].kinds if i + 1 < len(items) else 0  # fuchsii alongside: …
    named = bool((items[i].kinds | behind) & v.OTHER) or is_heading(items, i)
    voice.near = named or bool(behind & (v.AMONG | v.ELSEWHERE))
    voice.near = voice.near and not is_done_to(items, i)
    held = named or told_apart_behind(items, i)
    if voice.who == "subject" and held and opens_sentence(items, i):
        voice.said = True  # all that this sentence says is said of that plant


def _at_likeness(items: list[Item], i: int, voice: _Voice, marks: list[bool]) -> None:
    """`than the fuchsii`, `like a fuchsii`, `from a fuchsii`: ours is held against it."""
    item = items[i]
    if item.entry.text == "from" and came_from(items, i + 1):
        first = stretch_start(items, i)
        marks[first:i] = [True] * (i - first)
    voice.who = "region"
    likens = item.kinds & (v.LIKE | v.THAN) and item.entry.text not in _TELLS_ON
    voice.leads_back = bool(likens)
    if voice.leads_back:
        voice.compared = item.sentence
    voice.leads_back = voice.compared == item.sentence  # …, and from fuchsii in having …
    voice.leads_back = voice.leads_back or singled_out(items, i)


def _at_not(items: list[Item], i: int, voice: _Voice, marks: list[bool]) -> bool:
    """`not the dotty-leaved dwarf`; `the one by the gate, not this, had …`."""
    if not not_ours(items, i):
        return crowd(items, i, marks)
    first = stretch_start(items, i - 1)
    marks[first:i] = [True] * (i - first)
    voice.who, voice.said = "subject", True
    return True


def _is_the_other(items: list[Item], i: int) -> bool:
    """`others had …`, `the other one was …`: of no plant recorded, unless some were told of."""
    if items[i].entry.text in _THE_OTHER_ONE:
        return stands_alone(items, i)
    return items[i].entry.text in _THE_OTHERS and not _told_apart(items, i)


def _told_apart(items: list[Item], i: int) -> bool:
    """Whether other recorded plants were spoken of before: `some plain, others spotted`."""
    return any(
        m.kinds & (v.COUNT | v.STATE | v.VARIED) and m.sentence == items[i].sentence
        for m in items[:i]
    )


def _turns_back(items: list[Item], i: int) -> bool:
    """`like a big fuchsii with a hollow stem`, `taller than fuchsii and ringed`: ours again."""
    after_name = bool(items[i - 1].kinds & ANOTHER)
    if items[i].entry.text in ("in", "by") and i + 1 < len(items):
        after_name = after_name or names_ground(items, i)
    by_it = i + 1 < len(items) and items[i + 1].entry.text == "it"  # the fuchsii by it
    turns = items[i].kinds & (v.WITH | v.AND) or items[i].entry.text in ("in", "by", "on")
    turns = turns and not by_it
    organ = items[i].kinds & v.THE and i + 1 < len(items) and items[i + 1].kinds & v.ORGAN
    turns = turns or organ  # compared with fuchsii the leaf marks …
    return after_name and bool(turns)
