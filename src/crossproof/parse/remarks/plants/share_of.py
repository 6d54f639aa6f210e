"""A share of the plants, and the state that it counts: that behind it, or before it."""

from __future__ import annotations

from dataclasses import dataclass

from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.plants.counted import is_leaf_spotted
from crossproof.parse.remarks.plants.limited import opening
from crossproof.parse.remarks.plants.named_shares import MINORITY, NOT_EVERY, has_or_lacks
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, is_organ, past

_HAS = v.THEY | v.WITH | v.PLANTS | v.MANY | v.STATE | v.OWN | v.DEGREE | v.NONE


@dataclass(frozen=True, slots=True)
class Share:
    """From which item to which it is named, and how much it is of all: 0 none, 1 all."""

    first: int
    last: int
    of_all: float


def counted_by(items: list[Item], found: list[Mention], share: Share) -> Mention | None:
    """The mention that a share counts: behind it, or before it joined by `on` or `in`."""
    if inside := [m for m in found if share.first < m.item < share.last]:
        return inside[0]  # 4 leaf-spotted out of 10
    k = share.last + 1
    if k < len(items) and is_organ(items[k]) and not is_leaf_spotted(items, k):
        return None  # 3 of 5 leaves are those of one plant
    phrase, text = items[share.first].phrase, items[share.first].entry.text
    if text in NOT_EVERY and ends(items, past(items, k, v.THE | v.PLANTS | v.MANY | v.THEY)):
        return _last_before(items, found, share.first, _first_phrase(items, share.first))
    if text in MINORITY:
        return _last_before(items, found, share.first, phrase)
    on = opening(items, share.first)
    opens = items[on].kinds if on >= 0 else 0
    if opens & v.STATE:
        return next((m for m in found if m.item == on), None)  # leaf spots Y 11, N 6
    if opens & v.ORGAN and ends(items, k):  # spots on lvs 4/9
        return next((m for m in found if m.item < on and m.end >= items[on].end), None)
    if opens & (v.ON | v.COLON) and not opens & v.TOPIC and not _counts_behind(items, on, share):
        asked = on and items[on - 1].kinds & v.ASK
        phrase -= bool(opens & v.COLON or asked)  # leaf spots: 5/12 plants
        return _last_before(items, found, share.first, phrase)
    return _behind(items, found, share, on=bool(opens & v.ON))


def _behind(items: list[Item], found: list[Mention], share: Share, *, on: bool) -> Mention | None:
    """What plants so counted have: `3 of 8 with spots`; `in three of them the leaves …` (`on`)."""
    j = past(items, share.last + 1, v.ON | v.THE, v.WITH)
    if j + 1 < len(items) and items[j].kinds & v.COUNT and items[j + 1].kinds & v.WITH:
        j += 1  # all but one of the nine had
    if ends(items, j):
        return None
    has = is_leaf_spotted(items, j) if is_organ(items[j]) and not on else items[j].kinds & _HAS
    has = has or has_or_lacks(items[j]) or (on and is_organ(items[j]))
    phrase = items[share.first].phrase
    behind = [m for m in found if m.item >= j and items[m.item].phrase == phrase]
    if not has or not behind or any(m.kinds & v.RECORD for m in items[j : behind[0].item]):
        return None  # one of the three is recorded here, and its leaves …
    return behind[0]


def _last_before(
    items: list[Item], found: list[Mention], first: int, phrase: int
) -> Mention | None:
    before = [m for m in found if m.item < first and items[m.item].phrase == phrase]
    return before[-1] if before else None


def _first_phrase(items: list[Item], first: int) -> int:
    """The phrase before `…, but not all`."""
    turned = bool(items[first - 1].kinds & (v.BUT | v.COMMA))
    comma = first > 1 and bool(items[first - 2].kinds & v.COMMA)
    return items[first].phrase - turned - comma


def _counts_behind(items: list[Item], on: int, share: Share) -> bool:
    """`in some plants the leaves are spotted`, `bank: 0/4 spotted`: no state stands before."""
    opens = not on or bool(items[on - 1].kinds & (v.LIMIT | v.AND))
    if items[on].kinds & v.COLON:
        opens = not any(m.kinds & v.STATE and m.phrase == items[on].phrase for m in items[:on])
    return opens and not ends(items, share.last + 1)
