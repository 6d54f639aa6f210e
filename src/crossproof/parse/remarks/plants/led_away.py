"""What leads a remark away to another plant, and back: `plants nearby`, `than fuchsii`."""

from __future__ import annotations

from dataclasses import dataclass

from crossproof.parse.remarks.plants.held import (
    counts_on,
    crowd,
    is_counted_heading,
    is_lettered_name,
    names_ground,
    neighbour_with,
    not_ours,
    opens_elsewhere,
    plants_elsewhere,
)
from crossproof.parse.remarks.plants.named import (
    ANOTHER,
    came_from,
    is_done_to,
    is_formula,
    is_heading,
    names_another,
    names_what_stands_before,
    opens_sentence,
    placed_by_ours,
    shift,
    singled_out,
    stands_alone,
    told_apart_behind,
    turned_out,
)
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, stretch_start

# Behind these the other plant is told of further: `unlike the fuchsii by the stile, whose …`.
_TELLS_ON = frozenset(
    {
        "unlike", "cf", "contrast the", "not like", "in contrast to", "in contrast with",
        "contrast with", "contrasting with", "as opposed to", "as against", "versus", "vs",
        "with those of", "opposed to", "not to be confused with",
    }
)  # fmt: skip
_PLANTS = ("plants", "spikes", "specimens", "individuals")
_THE_OTHERS = frozenset(
    {"others"} | {f"{the}other {plants}" for the in ("", "the ") for plants in _PLANTS}
)
_THE_OTHER_ONE = frozenset({"the other", "the other one"})
_COMPARED = frozenset({"for comparison", "by way of comparison", "to compare"})


@dataclass(slots=True)
class Voice:
    """Whose plant is spoken of: `own`, another `subject`, or another for a `region` (a phrase)."""

    who: str = "own"
    said: bool = False  # whether a state was said of the other plant
    near: bool = False  # whether it was called a neighbour
    leads_back: bool = False  # whether `with`, `and`, `in` after its name lead back to ours
    compared: int = -1  # the sentence that likened ours to it

    def ours(self) -> None:
        self.who, self.said = "own", False


def at_contrast(items: list[Item], i: int, voice: Voice, marks: list[bool]) -> bool:
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
    elif voice.who == "region" and (
        (voice.leads_back and _turns_back(items, i)) or _is_its_organ(items, i)
    ):
        voice.who, voice.leads_back = "own", False
    else:
        return False
    return True


def at_name(items: list[Item], i: int, voice: Voice, marks: list[bool]) -> None:
    if is_formula(items, i) or voice.who != "own":
        return
    counted = i > 0 and items[i - 1].kinds & (v.COUNT | v.THE) and items[i - 1].lead & v.BE
    counted = counted or turned_out(items, i) or came_from(items, i)
    if (items[i].lead & v.BE or counted) and names_what_stands_before(items, i):
        j = i
        while j and items[j - 1].phrase == items[i].phrase:
            j -= 1
            marks[j] = True
    after = items[i + 1 : i + 2]
    next_is_ours = any(m.kinds & v.OWN and not m.lead & v.HEIGHTS for m in after)
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


def _at_likeness(items: list[Item], i: int, voice: Voice, marks: list[bool]) -> None:
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


def _at_not(items: list[Item], i: int, voice: Voice, marks: list[bool]) -> bool:
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


def _is_its_organ(items: list[Item], i: int) -> bool:
    """`unlike the fuchsii around it the stem is hollow`: the organ, its article first, is ours."""
    if i + 2 >= len(items) or not items[i].kinds & v.THE or not items[i + 1].kinds & v.ORGAN:
        return False
    first, before, behind = items[stretch_start(items, i)], items[i - 1], items[i + 2]
    says = behind.lead & v.BE or behind.kinds & (v.WITH | v.NOT)
    placed = before.kinds & (ANOTHER | v.OWN | v.WORD)
    return first.entry.text in _TELLS_ON and bool(says and placed)


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
