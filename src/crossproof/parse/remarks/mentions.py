"""Every state that a remark mentions, with what stands around it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from crossproof.model import Weight
from crossproof.parse.remarks import plants, scope
from crossproof.parse.remarks import vocabulary as v
from crossproof.parse.remarks.items import Item
from crossproof.parse.remarks.organs import Attachment, attach, only_states, without_organ
from crossproof.parse.remarks.vocabulary import Scale, Vocabulary


@dataclass(slots=True)
class Mention:
    """One state said of one character, and of which plant."""

    character: str
    state: str
    weight: Weight
    start: int
    end: int
    item: int
    plant: int = 0
    said: bool = False  # somebody's word, or a first impression
    role: str = ""


def mentions(items: list[Item], vocabulary: Vocabulary) -> tuple[list[Mention], tuple[str, ...]]:
    """Return the states mentioned of the recorded plant, and the characters nobody examined."""
    states = [i for i, item in enumerate(items) if item.kinds & v.STATE]
    attached = {i: attach(items, i) for i in states}

    def organ_of(i: int) -> int | None:
        at = attached.get(i)
        return None if at is None else at.organ

    apart = _read_plants(items, attached)
    killed, unexamined = plants.unseen(items, organ_of)
    if not states:
        return [], tuple(sorted(unexamined))
    another = plants.of_another(items)
    said = plants.hearsay(items)
    numbers = plants.groups(items)
    found: list[Mention] = []
    for i in states:
        at = attached[i]
        if at is None or i in killed or another[i] or _blemished(items, i):
            continue
        if at.organ >= 0 and another[at.organ] and not _own_again(items, at.organ, i):
            continue
        mention = _mention(items, i, at, vocabulary.scales[at.character])
        if mention is None or _out_of_sight(items, i, mention, unexamined, vocabulary):
            continue
        mention.plant, mention.said, mention.role = numbers[i], said[i], at.sense.role
        if i in apart and not any(numbers):
            mention.plant = -10 - i
        found.append(mention)
        if twin := _with_and_without(items, mention, at):
            found.append(twin)
        for hosted, scale in vocabulary.scales.items():
            if scale.unless[0] == at.character and (sense := items[i].entry.senses.get(hosted)):
                found.append(replace(mention, character=hosted, state=sense.state))
    found = _refined(items, found)
    _supersede(items, found)
    _answer_questions(items, found, vocabulary)
    found.extend(_left_out(items, found, numbers, vocabulary))
    _part(items, found, vocabulary)
    return found, tuple(sorted(unexamined))


def _read_plants(items: list[Item], attached: dict[int, Attachment | None]) -> set[int]:
    """Where some plants' state is plain to read, read the other plants' by the same character.

    Returns the state words that are read of other plants than the rest.
    """
    apart: set[int] = set()
    loose = {
        i: found
        for i, at in attached.items()
        if at is None and not items[i].soft and (found := without_organ(items, i))
    }
    for i, at in loose.items():
        rivals = (
            k
            for k, other in loose.items()
            if other.character == at.character and other.sense.state != at.sense.state
        )
        compared = i + 1 < len(items) and items[i + 1].kinds & v.THAN
        told_apart = any(
            (_counted(items, k) and _counted(items, i)) or _paired(items, i, k) for k in rivals
        )
        if compared or told_apart:
            attached[i] = at
            apart |= {i} if told_apart else set()
    for i, found in loose.items():
        alike = [
            a
            for k, a in attached.items()
            if a is not None
            and items[k].sentence == items[i].sentence
            and (
                items[k].clause == items[i].clause
                or _counted(items, i)
                or _counted_behind_brackets(items, i)
            )
        ]
        if any(
            a.sense.state != found.sense.state
            and (a.character == found.character or only_states(items, i))
            for a in alike
        ):
            attached[i] = found
            apart |= {i} if any(a.character == found.character for a in alike) else set()
    return apart


def _counted_behind_brackets(items: list[Item], i: int) -> bool:
    """`spotted (9)`."""
    return (
        i + 2 < len(items)
        and items[i + 1].entry.text == "("
        and bool(items[i + 2].kinds & v.NUMBER)
    )


def _paired(items: list[Item], i: int, k: int) -> bool:
    """`spotted and plain forms`."""
    first, last = min(i, k), max(i, k)
    joined = last - first == 2 and items[first + 1].kinds & v.AND
    return bool(joined) and last + 1 < len(items) and bool(items[last + 1].kinds & v.MANY)


def _counted(items: list[Item], i: int) -> bool:
    return i > 0 and bool(items[i - 1].kinds & v.COUNT)


def _mention(items: list[Item], i: int, at: Attachment, scale: Scale) -> Mention | None:
    if at.sense.role == "sign" and _is_topic(items, i):
        return None
    around = scope.around(items, i, at)
    state = scope.state_of(at, around, scale)
    if not state:
        return None
    weight = scope.weight_of(items, i, at, around)
    if _merely_looked_for(items, i, around):
        outcome = _outcome(items, i)
        if outcome is None:
            weight = "questioned"
        else:
            around.last = outcome[1]
            if not outcome[0]:
                state = scale.denied.get(state, "")
                if not state:
                    return None
    if around.degree & v.NEARLY and state == "marked":
        weight = "faint" if weight == "stated" else weight
    first, last = min(i, around.first), max(i, around.last)
    if at.organ >= 0 and items[at.organ].sentence == items[i].sentence:
        if all(not item.kinds & v.BUT for item in items[min(at.organ, i) : max(at.organ, i)]):
            first, last = min(first, at.organ), max(last, at.organ)
    return Mention(at.character, state, weight, items[first].start, items[last].end, i)


def _is_topic(items: list[Item], i: int) -> bool:
    """`variable in leaf marking` names the marks without saying that there are any."""
    j = i - 1
    while j > 0 and items[j].kinds & (v.ORGAN | v.THE):
        j -= 1
    return j > 0 and items[j].entry.text in ("in", "of") and bool(items[j - 1].kinds & v.VARIED)


def _blemished(items: list[Item], i: int) -> bool:
    """`splashed with mud`, `rust spots`: marks that are none of the leaf's own."""
    phrase = items[i].phrase
    j = i
    while j > 0 and items[j - 1].phrase == phrase and not items[j - 1].kinds & v.LIMIT:
        j -= 1
    while j < len(items) and items[j].phrase == phrase and not items[j].kinds & v.LIMIT:
        if items[j].kinds & v.BLEMISH and not (j and items[j - 1].kinds & v.NOT):
            return True
        j += 1
    return False


def _with_and_without(items: list[Item], m: Mention, at: Attachment) -> Mention | None:
    """`plants with and without spots` are two kinds of plant."""
    j = m.item - 1
    while j > 0 and items[j].kinds & (v.ORGAN | v.DEGREE) and not items[j].kinds & v.NOT:
        j -= 1
    texts = {items[k].kinds & (v.WITH | v.NOT) and k for k in (j, j - 2) if k >= 0}
    joined = j > 1 and items[j - 1].kinds & v.AND and len(texts - {0}) == 2
    if not joined or m.state == at.sense.state:
        return None
    return replace(m, state=at.sense.state, plant=m.plant - 50)


def _own_again(items: list[Item], organ: int, i: int) -> bool:
    return organ < i and any(item.kinds & v.OWN for item in items[organ:i])


def _supersede(items: list[Item], found: list[Mention]) -> None:
    """`in 1987 spotted, this year plain`: what was seen now outweighs what was said before."""
    for m in found:
        phrase = items[m.item].phrase
        now = any(
            items[j].kinds & v.ACTUALLY
            for j in range(m.item - 1, -1, -1)
            if items[j].phrase == phrase
        )
        if now:
            for earlier in found:
                if earlier.character == m.character and items[earlier.item].phrase < phrase:
                    earlier.said = True


def _out_of_sight(
    items: list[Item], i: int, m: Mention, unexamined: dict[str, int], vocabulary: Vocabulary
) -> bool:
    """`leaves blackened, spots not visible`: no spots seen, but none could be."""
    said_at = unexamined.get(m.character, i)
    if said_at >= i or m.state != vocabulary.scales[m.character].absent:
        return False
    between = items[said_at:i]
    return items[said_at].sentence == items[i].sentence and not any(
        item.kinds & v.BUT for item in between
    )


def _refined(items: list[Item], found: list[Mention]) -> list[Mention]:
    """`tiny spots`, `spots hollow`: the word beside the sign says which spots they are."""
    replaced: set[int] = set()
    for m in found:
        if m.role != "beside":
            continue
        near = [
            s
            for s in found
            if s.role == "sign"
            and s.character == m.character
            and items[s.item].clause == items[m.item].clause
        ]
        if near:
            replaced.add(id(min(near, key=lambda s: abs(s.item - m.item))))
    return [m for m in found if id(m) not in replaced]


def _merely_looked_for(items: list[Item], i: int, around: scope.Scope) -> bool:
    """`looked for spots` says nothing until it says what was found."""
    j = i - 1
    while j >= 0 and items[j].phrase == items[i].phrase:
        if items[j].kinds & v.LOOKED:
            return not around.denied and around.last == i
        j -= 1
    return False


def _outcome(items: list[Item], i: int) -> tuple[bool, int] | None:
    """What came of looking for item `i`, and the item that says so: `found none`, `found a few`."""
    for j in range(i + 1, min(i + 9, len(items))):
        kinds = items[j].kinds
        if items[j].sentence != items[i].sentence or kinds & v.STATE:
            return None
        if kinds & v.NONE or (
            kinds & v.NOT and j + 1 < len(items) and items[j + 1].kinds & (v.SEE | v.YES)
        ):
            return False, j
        if kinds & (v.COUNT | v.SIZE) and items[j - 1].kinds & (v.SEE | v.YES | v.COLON | v.BREAK):
            return True, j
    return None


def _answer_questions(items: list[Item], found: list[Mention], vocabulary: Vocabulary) -> None:
    """`hollow? no`: an answer straight behind a question settles it."""
    for mention in found:
        if mention.weight != "questioned":
            continue
        j = mention.item + 1
        while j < len(items) and not items[j].kinds & v.LIMIT:
            j += 1
        if j >= len(items) or not items[j].kinds & v.ASK:
            continue
        j += 1
        while j < len(items) and items[j].kinds & (v.BREAK | v.COLON):
            j += 1
        if j >= len(items):
            continue
        ends = j + 1 >= len(items) or bool(items[j + 1].kinds & v.LIMIT)
        ends = ends or len(items[j].entry.text) == 1
        if items[j].kinds & v.YES and (ends or items[j].entry.text in ("yes", "definitely")):
            mention.weight, mention.end = "stated", items[j].end
        elif items[j].kinds & v.NONE and ends:
            scale = vocabulary.scales[mention.character]
            if denied := scale.denied.get(mention.state, ""):
                mention.state, mention.weight, mention.end = denied, "stated", items[j].end


def _left_out(
    items: list[Item], found: list[Mention], numbers: list[int], vocabulary: Vocabulary
) -> list[Mention]:
    """States that only their denial stands for: `5 spotted, 6 without`, `from nil to rings`."""
    extra: list[Mention] = []
    size = len(items)
    for i, item in enumerate(items):
        # "all spotted except one"
        if item.kinds & v.EXCEPT and i + 1 < size and items[i + 1].kinds & v.COUNT:
            before = [m for m in found if m.item < i]
            ends = i + 2 >= size or bool(items[i + 2].kinds & (v.LIMIT | v.PLANTS))
            if not before:
                continue
            last = before[-1]
            for m in found:
                if m.item > i and m.character == last.character and m.role != "sign":
                    m.plant = -3
            if ends and (state := vocabulary.scales[last.character].denied.get(last.state, "")):
                extra.append(
                    Mention(last.character, state, "stated", item.start, items[i + 1].end, i, -3)
                )
    for i, item in enumerate(items):
        if not item.kinds & (v.NOT | v.NONE) or item.kinds & v.STATE:
            continue
        after = i + 1 >= size or bool(items[i + 1].kinds & v.LIMIT)
        if (
            not after
            and i + 2 < size
            and items[i + 1].kinds & v.ON
            and items[i + 2].kinds & v.COUNT
        ):
            before = [m for m in found if m.item < i]
            ends = i + 3 >= size or bool(items[i + 3].kinds & (v.LIMIT | v.PLANTS))
            if ends and before:
                last = before[-1]
                if state := vocabulary.scales[last.character].denied.get(last.state, ""):
                    extra.append(
                        Mention(
                            last.character, state, "stated", item.start, items[i + 2].end, i, -2
                        )
                    )
        elif after and i and items[i - 1].kinds & (v.COUNT | v.PLANTS | v.OWN | v.WITH):
            before = [m for m in found if m.item < i]
            if before and numbers[i] != numbers[before[-1].item]:
                last = before[-1]
                scale = vocabulary.scales[last.character]
                if state := scale.denied.get(last.state, ""):
                    start = items[i - 1].start
                    extra.append(
                        Mention(last.character, state, "stated", start, item.end, i, numbers[i])
                    )
        elif i and (denied := _denied_of_organ(items, i, vocabulary)):
            extra.append(denied)
        elif i and items[i - 1].kinds & v.VARIED and i + 1 < size and items[i + 1].kinds & v.TO:
            later = [m for m in found if m.item > i and items[m.item].phrase == item.phrase]
            if later and (state := vocabulary.scales[later[0].character].absent):
                extra.append(
                    Mention(later[0].character, state, "stated", item.start, item.end, i, -1)
                )
    return extra


def _denied_of_organ(items: list[Item], i: int, vocabulary: Vocabulary) -> Mention | None:
    """`lip spotted, leaves not`; `spots on the lip, none on the leaves`."""
    size = len(items)
    if items[i - 1].kinds & v.ORGAN and not items[i - 1].kinds & v.EXAMINE:
        ends = i + 1 >= size or bool(items[i + 1].kinds & v.LIMIT)
        organ, first, last = i - 1, i - 1, i
    elif i + 1 < size and items[i + 1].kinds & (v.ON | v.THE | v.ORGAN):
        organ = i + 1
        while organ < size and items[organ].kinds & (v.THE | v.ON | v.DEGREE):
            organ += 1
        ends = organ < size and items[organ].kinds & (v.ORGAN | v.EXAMINE) == v.ORGAN
        first, last = i, organ
    else:
        return None
    if not ends or not items[organ].entry.organs:
        return None
    for j in range(first - 1, -1, -1):
        if items[j].sentence != items[i].sentence:
            break
        for character, sense in items[j].entry.senses.items():
            if items[j].phrase == items[i].phrase or character not in items[organ].entry.organs:
                continue
            if state := vocabulary.scales[character].denied.get(sense.state, ""):
                return Mention(character, state, "stated", items[first].start, items[last].end, i)
    return None


def _part(items: list[Item], found: list[Mention], vocabulary: Vocabulary) -> None:
    """Plants that one list tells apart: `plain to spotted`, `spotted and unspotted plants`."""
    many = any(item.kinds & v.MANY for item in items)
    varied = any(item.kinds & v.VARIED for item in items)
    ordered = sorted(found, key=lambda m: m.item)
    for a, b in zip(ordered, ordered[1:], strict=False):
        if a.character != b.character or a.state == b.state:
            continue
        between = items[a.item + 1 : b.item]
        absent = vocabulary.scales[a.character].absent
        opposite = absent in (a.state, b.state) if absent else True
        if not opposite or any(
            i.kinds & (v.COMMA | v.HARD | v.ORGAN) and not i.kinds & v.ADJECTIVE for i in between
        ):
            continue
        if any(i.kinds & v.TO for i in between) and absent:
            b.plant = a.plant - 1 - len(found)
        elif any(i.kinds & v.AND for i in between) and (many or varied) and absent:
            b.plant = a.plant - 1 - len(found)
        elif any(i.kinds & v.OR for i in between) and "nor" not in {i.entry.text for i in between}:
            either = any(i.entry.text == "either" for i in items[: a.item])
            if (many or either) and absent:
                b.plant = a.plant - 1 - len(found)
            elif not _settled(items, a, b):
                a.weight = b.weight = "questioned"


def _settled(items: list[Item], a: Mention, b: Mention) -> bool:
    """Whether a denial or degree word makes sense of an `or`: `neither hollow or solid`."""
    phrase = items[a.item].phrase
    return (
        any(i.kinds & (v.NOT | v.SLIGHT) for i in items if i.phrase == phrase and i.start <= b.end)
        and items[b.item].phrase == phrase
    )
