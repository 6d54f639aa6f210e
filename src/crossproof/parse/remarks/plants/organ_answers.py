"""States that a word behind an organ gives it: `lip spotted, leaves not`, `all but the leaves`."""

from __future__ import annotations

from crossproof.parse.remarks.organ.attachment import is_sign
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.organ.reply import finds_none
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, back, ends, is_organ, past, sentence_before
from crossproof.parse.remarks.text.vocabulary import Scale, Sense, Vocabulary

_SHORT = 3  # items before the state: `nothing`, `no part`
_NOTHING = frozenset({"nothing", "none", "nowhere"})
_SIDES = frozenset({"either", "both", "each"})
_TOLD = v.STATE | v.NONE | v.UNSEEN | v.SPECIES | v.OTHER | v.PHOTO
_WHOLE = ("everything", "everywhere", "all parts", "every part", "all over")


def set_apart(items: list[Item], i: int, vocabulary: Vocabulary) -> Mention | None:
    """`flowers spotted, unlike the leaves`; `everything spotted but the leaves`."""
    kinds = items[i].kinds
    if kinds & v.AGAIN or (kinds & v.YES and not kinds & v.STATE):
        after_comma = kinds & v.YES and i and items[i - 1].kinds & v.LIMIT
        return _same_of_organ(items, i, vocabulary) or (
            _some_on(items, i, vocabulary) if after_comma else None
        )
    if kinds & v.BUT and (given := _some_on(items, i + 1, vocabulary)):
        return given
    only = _of_nothing_else(items, i)
    if items[i].entry.text != "unlike" and not only and not _of_everything(items, i):
        return None
    organ = past(items, i + 1, v.THE | v.ON)
    if organ >= len(items) or not ends(items, organ + 1):
        return None
    return _said_of(items, i, organ, (i, organ), vocabulary, same=only)


def _of_nothing_else(items: list[Item], i: int) -> bool:
    """`nothing spotted but (the leaves)`, `no part marked except (…)`."""
    if i < 2 or not items[i].kinds & (v.BUT | v.EXCEPT) or not items[i - 1].kinds & v.STATE:
        return False
    here = [m for m in items[: i - 1] if m.sentence == items[i].sentence]
    none = [k for k, m in enumerate(here) if m.kinds & v.NOT]
    return none == [0] and here[0].entry.text.startswith("no") and len(here) < _SHORT


def has_them(items: list[Item], i: int) -> Mention | None:
    """`sepals without spots, leaves with (plenty)`; `lip not spotted but the leaves are`."""
    if not i or not items[i - 1].kinds & v.ORGAN:
        return None
    if i > 1 and not items[i - 2].kinds & (v.LIMIT | v.AND | v.THE):
        return None
    for j in range(i - 2, 0, -1):
        if items[i].sentence - items[j].sentence > 1:
            break
        for character in sorted(items[i - 1].entry.organs & items[j].entry.senses.keys()):
            sense = items[j].entry.senses[character]
            has = items[i].kinds & v.WITH
            if sense.role == ("sign" if has else "word") and _denied(items, j):
                start, end = items[i - 1].start, items[i if has else i - 1].end
                return Mention(character, sense.state, "stated", start, end, i - 1)
    return None


def _some_on(items: list[Item], k: int, vocabulary: Vocabulary) -> Mention | None:
    """`no spots on the stem, but plenty on the leaves`."""
    if k + 1 >= len(items) or not items[k].kinds & (v.COUNT | v.YES) or items[k].kinds & v.STATE:
        return None
    organ = k + 1
    if not items[organ].kinds & v.ON:
        return None
    organ = past(items, organ, v.ON | v.THE)
    if organ >= len(items) or not items[organ].kinds & v.ORGAN or not ends(items, organ + 1):
        return None
    return _said_of(items, k, organ, (k, organ), vocabulary, same=True)


def _of_everything(items: list[Item], i: int) -> bool:
    """Whether what stands before item `i` of its sentence is said of the whole plant."""
    return any(
        m.entry.text.startswith(_WHOLE) and m.sentence == items[i].sentence for m in items[:i]
    )


def _same_of_organ(items: list[Item], i: int, vocabulary: Vocabulary) -> Mention | None:
    """`lip hardly spotted, leaves very much so`; `bracts spotted, leaves the same`."""
    if i < 2 or not ends(items, i + 1) or not items[i - 2].kinds & v.LIMIT:
        return None
    if items[i].kinds & v.YES and not items[i].entry.text.endswith(("so", "indeed", "definitely")):
        return None
    return _said_of(items, i - 1, i - 1, (i - 1, i), vocabulary, same=True)


def denied_of_organ(items: list[Item], i: int, vocabulary: Vocabulary) -> Mention | None:
    """`lip spotted, leaves not any`; `spots on the lip, none on the leaves`; `on the leaf, no`."""
    size = len(items)
    before = _organ_right_before(items, i)
    if items[before].kinds & v.ORGAN and not items[before].kinds & v.EXAMINE:
        k = i + 2 if i + 1 < size and items[i + 1].entry.text in ("so", "any") else i + 1
        if not ends(items, k) or _explained(items, k):
            return None
        return _said_of(items, before, before, (before, k - 1), vocabulary, same=False)
    if i + 1 < size and items[i + 1].kinds & v.ORGAN and _lacks(items[i]):
        return None  # there weren't any leaves
    if i + 1 >= size or not items[i + 1].kinds & (v.ON | v.THE | v.ORGAN):
        return None
    organ = i + 1
    while organ < size and _before_organ(items[organ]):
        organ += 1
    if ends(items, organ):
        return _nothing_on_it(items, i, vocabulary)
    if items[organ].kinds & (v.ORGAN | v.EXAMINE) != v.ORGAN:
        return None
    if organ + 1 < size and items[organ + 1].kinds & v.STATE:
        return None  # lip unmarked, no sign of leaf spots
    if finds_none(items[i]) and not any(m.kinds & v.ON for m in items[i:organ]):
        return None  # never saw the leaves
    said = _said_of(items, i, organ, (i, organ), vocabulary, same=False)
    return said or _nothing_on(items, i, organ, vocabulary)


def _explained(items: list[Item], k: int) -> bool:
    """`the stems agreed, the leaves did not, being spotted in five`: no denial of a state."""
    behind = items[k + 1 : k + 2]
    told = bool(behind) and behind[0].kinds & v.STATE and behind[0].lead & v.BE
    return bool(told and items[k].kinds & v.COMMA)


def _before_organ(item: Item) -> bool:
    """`nothing on either side of the leaves`, `none on them`."""
    return bool(item.kinds & (v.THE | v.ON | v.DEGREE | v.THEY)) or item.entry.text in _SIDES


def _nothing_on_it(items: list[Item], i: int, vocabulary: Vocabulary) -> Mention | None:
    """`turned over the leaves: nothing on either side`: on the organ before, and no more told."""
    here = sentence_before(items, i)
    organ = next((k for k in range(i - 1, -1, -1) if is_organ(items[k])), i)
    if not here or items[organ].sentence != items[i].sentence:
        return None
    if any(m.kinds & _TOLD or m.entry.topic & ~v.DESCRIBES for m in here):
        return None  # two cards about leaves, nothing on them
    k = past(items, i + 1, v.ON | v.THEY | v.VARIED | v.COUNT)
    return _none_on(items, i, organ, k, vocabulary) if here[-1].kinds & v.LIMIT else None


def _nothing_on(items: list[Item], i: int, organ: int, vocabulary: Vocabulary) -> Mention | None:
    """`Nothing on the leaves (of any).`: all that is said of them."""
    last = organ + 1
    if last + 1 < len(items) and items[last].entry.text in ("of", "on", "in"):
        every = items[last + 1].entry.text in ("any", "all", "either", "each", "any of them")
        last += 2 if every else 0
    opens = not i or items[i - 1].kinds & (v.LIMIT | v.AND | v.BUT)
    return _none_on(items, i, organ, last, vocabulary) if opens else None


def _none_on(
    items: list[Item], i: int, organ: int, last: int, vocabulary: Vocabulary
) -> Mention | None:
    """What `nothing on` it says of the organ, where no more stands behind: `last` is the mark."""
    if items[i].entry.text not in _NOTHING or items[i + 1].entry.text != "on":
        return None
    if not ends(items, last) or (last < len(items) and items[last].kinds & (v.ASK | v.COLON)):
        return None
    for character in sorted(items[organ].entry.organs):
        absent = vocabulary.scales[character].absent
        if absent:
            span = items[i].start, items[last - 1].end
            return Mention(character, absent, "stated", *span, organ)
    return None


def _lacks(item: Item) -> bool:
    """`no leaves`, `none of the leaves`: not `not the leaves`."""
    return not item.kinds & v.NOT or item.entry.text == "no"


def _organ_right_before(items: list[Item], i: int) -> int:
    """Where the organ of a denial stands: `leaves (of this one) not`; `on the leaf, no`."""
    if i > 2 and items[i - 1].kinds & v.OWN and items[i - 2].entry.text in ("of", "on"):
        return i - 3
    if i > 2 and items[i - 1].kinds & v.COMMA and items[i - 2].kinds & v.ORGAN:
        k = back(items, i - 3, v.THE, first=0)
        if items[k].kinds & v.ON and (not k or items[k - 1].kinds & v.LIMIT):
            return i - 2
    return i - 1


def _said_of(
    items: list[Item],
    before: int,
    organ: int,
    span: tuple[int, int],
    vocabulary: Vocabulary,
    *,
    same: bool,
) -> Mention | None:
    """The state named last before item `before`, or its opposite, as one of the organ `organ`."""
    first, last = span
    for j in range(before - 1, -1, -1):
        if items[j].sentence != items[first].sentence:
            break
        if items[j].kinds & v.ORGAN and items[organ].entry.organs & items[j].entry.organs:
            return None
        for character in sorted(items[organ].entry.organs):
            sense = items[j].entry.senses.get(character)
            if sense is None or sense.role == "beside":
                continue
            scale = vocabulary.scales[character]
            if items[j].kinds & v.LOOSE and not _marks_organ(items, j, sense, scale):
                continue
            one_phrase = items[j].phrase == items[organ].phrase
            apart = items[before].kinds & v.EXCEPT or _of_its_own(items, j)
            apart = apart or _placed(items, j, before)
            if one_phrase and not apart and not _lacked(items, j, organ):
                continue
            if sense.state == scale.absent and items[first].entry.text in _NOTHING:
                continue  # stem unspotted; nothing on the leaves
            opposite = scale.denied.get(sense.state, "")
            if not opposite and items[first].kinds & v.NONE:
                opposite = scale.absent  # rings on the lip, none on the leaves
            state = sense.state if same else opposite
            if not same and items[before].entry.text == "unlike" and _denied(items, j):
                state = sense.state
            if state:
                start, end = items[first].start, items[last].end
                return Mention(character, state, "stated", start, end, organ)
    return None


def _marks_organ(items: list[Item], j: int, sense: Sense, scale: Scale) -> bool:
    """`lip (boldly) marked`: right behind the organ even a loose word is of marks."""
    k = back(items, j - 1, v.DEGREE, v.STATE, first=0)
    return sense.role == "word" and sense.state != scale.absent and is_organ(items[k])


def _lacked(items: list[Item], j: int, organ: int) -> bool:
    """`flowers have the spots its leaves are without`, `the marks (that) the leaves lack`."""
    between = items[j + 1 : organ]
    return is_sign(items[j]) and all(m.kinds & v.THE for m in between)


def _placed(items: list[Item], j: int, before: int) -> bool:
    """`spots on the lip and none on any leaf`: the first organ has them."""
    on_organ = any(m.kinds & v.ORGAN for m in items[j + 2 : before - 1])
    return is_sign(items[j]) and bool(items[before - 1].kinds & v.AND) and on_organ


def _of_its_own(items: list[Item], j: int) -> bool:
    """`although the bracts were spotted the leaves were not`: the spots have an organ before."""
    return bool(items[j].lead & v.BE and items[j - 1].kinds & v.ORGAN)


def _denied(items: list[Item], j: int) -> bool:
    return any(m.kinds & v.NOT for m in items[max(j - 2, 0) : j])
