"""States that a contrast gives: `5 spotted, 6 without`, `lip spotted, leaves not`, `plain to ringed`."""

from __future__ import annotations

from dataclasses import replace

from crossproof.parse.remarks import vocabulary as v
from crossproof.parse.remarks.items import Item
from crossproof.parse.remarks.mention import Mention
from crossproof.parse.remarks.organs import Attachment
from crossproof.parse.remarks.vocabulary import Vocabulary


def with_and_without(items: list[Item], m: Mention, at: Attachment) -> Mention | None:
    """`plants with and without spots` are two kinds of plant."""
    j = m.item - 1
    while j > 0 and items[j].kinds & (v.ORGAN | v.DEGREE) and not items[j].kinds & v.NOT:
        j -= 1
    texts = {items[k].kinds & (v.WITH | v.NOT) and k for k in (j, j - 2) if k >= 0}
    joined = j > 1 and items[j - 1].kinds & v.AND and len(texts - {0}) == 2
    if not joined or m.state == at.sense.state:
        return None
    return replace(m, state=at.sense.state, plant=m.plant - 50)


def left_out(
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
        k = i + 2 if i + 1 < size and items[i + 1].entry.text == "so" else i + 1
        ends = k >= size or bool(items[k].kinds & v.LIMIT)
        organ, first, last = i - 1, i - 1, k - 1
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


def part(items: list[Item], found: list[Mention], vocabulary: Vocabulary) -> None:
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
        if (any(i.kinds & v.TO for i in between) and absent) or (
            any(i.kinds & v.AND for i in between) and (many or varied) and absent
        ):
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
