"""Every state that a remark mentions, with what stands around it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from crossproof.parse.remarks.certainty.answers import settle
from crossproof.parse.remarks.certainty.doubt import weight_of
from crossproof.parse.remarks.certainty.hearsay import hearsay, quoted
from crossproof.parse.remarks.certainty.sight import unseen
from crossproof.parse.remarks.certainty.sought import merely_looked_for, outcome_of
from crossproof.parse.remarks.certainty.struck import retracting, struck, take_back
from crossproof.parse.remarks.certainty.superseded import by_years, names_what_is_said, supersede
from crossproof.parse.remarks.certainty.topic import Kinds, is_named_in_passing, is_topic, topics_of
from crossproof.parse.remarks.certainty.unplaced import without_rivals
from crossproof.parse.remarks.organ import blemishes
from crossproof.parse.remarks.organ.answered import denied_elsewhere
from crossproof.parse.remarks.organ.around import around
from crossproof.parse.remarks.organ.attach import attach
from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.organ.between import between_poles, between_two
from crossproof.parse.remarks.organ.blanks import is_unanswered
from crossproof.parse.remarks.organ.denial import only_tells_kind
from crossproof.parse.remarks.organ.governed import only_spoken_of
from crossproof.parse.remarks.organ.meant import state_of
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.plants import whose
from crossproof.parse.remarks.plants.contrasts import (
    left_out,
    same_as_theirs,
    with_and_without,
)
from crossproof.parse.remarks.plants.counted import counted_behind
from crossproof.parse.remarks.plants.distributed import of_both_sorts, some_lack
from crossproof.parse.remarks.plants.exceptions import excepts
from crossproof.parse.remarks.plants.joined import part
from crossproof.parse.remarks.plants.places import by_place
from crossproof.parse.remarks.plants.populations import groups, read_plants
from crossproof.parse.remarks.plants.recorded import of_this_record
from crossproof.parse.remarks.plants.shares import by_share, may_share
from crossproof.parse.remarks.plants.single import as_one
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, all_kinds, stretch_start
from crossproof.parse.remarks.text.vocabulary import Scale, Vocabulary

_COUNTED = v.COUNT | v.PLANTS | v.COLON | v.BREAK | v.RECORD


def mentions(items: list[Item], vocabulary: Vocabulary) -> tuple[list[Mention], tuple[str, ...]]:
    """Return the states mentioned of the recorded plant, and the characters nobody examined."""
    present = all_kinds(items)
    if not present & (v.STATE | v.UNSEEN | v.NOT):
        return [], ()
    if present & v.NONE:
        present |= retracting(items)
    states = [i for i, m in enumerate(items) if m.kinds & v.STATE and not excepts(items, i)]
    attached = {i: attach(items, i) for i in states}

    def organ_of(i: int) -> int | None:
        at = attached.get(i)
        return None if at is None else at.organ

    apart = read_plants(items, attached) if None in attached.values() else set()
    killed, unexamined = unseen(items, organ_of) if present & (v.UNSEEN | v.NOT) else (set(), {})
    if not states and not (present & v.NONE and present & v.ORGAN):
        return [], tuple(sorted(unexamined))
    if present & (v.STRUCK | v.READ):
        killed |= struck(items)
    places = _Places(items, present, killed, unexamined, apart)
    found: list[Mention] = []
    for i in states:
        at = attached[i]
        if at is not None and places.counts(i, at):
            found.extend(_mentions_of(items, i, at, places, vocabulary))
    found = _settled(items, _refined(items, found), present, vocabulary)
    found.extend(_implied(items, found, attached, places, vocabulary))
    if may_share(items, present):
        found.extend(by_share(items, found, vocabulary))
    if present & v.RECORD:
        found = of_this_record(items, found, places.numbers)
    if len(found) > 1 and present & (v.TO | v.AND | v.OR | v.VARIED):
        part(items, found, vocabulary)
    if present & v.NUMBER:
        by_years(items, found)
    as_one(items, found, present)
    unread = places.topical | {i for i in states if attached[i] is None}
    loose = [i for i in sorted(unread) if places.is_ours(i)]
    return without_rivals(items, found, loose, vocabulary.scales), tuple(sorted(unexamined))


def _settled(
    items: list[Item], found: list[Mention], present: int, vocabulary: Vocabulary
) -> list[Mention]:
    """The mentions, after what was superseded, taken back or asked and answered."""
    if present & v.ACTUALLY:
        supersede(items, found)
    if present & v.RETRACTS:
        take_back(items, found)
    quoted(items, found)
    if present & v.SAYS:
        found = [m for m in found if not names_what_is_said(items, m, found)]
    settle(items, found, vocabulary)
    return found


def _implied(
    items: list[Item],
    found: list[Mention],
    attached: dict[int, Attachment | None],
    places: _Places,
    vocabulary: Vocabulary,
) -> list[Mention]:
    """States that no word of their own stands for."""
    implied: list[Mention] = []
    if places.present & (v.NOT | v.NONE | v.SET_APART):
        implied = left_out(items, found, places.numbers, vocabulary)
        if not implied:
            implied.extend(some_lack(items, found, vocabulary))
        implied.extend(by_place(items, [*found, *implied], vocabulary))
        implied = [m for m in implied if not places.is_of_named(m.item)]
    if places.present & v.VARIED:
        implied.extend(of_both_sorts(items, found, vocabulary))
    if places.present & v.AMONG:
        implied.extend(between_poles(items, vocabulary.scales))
    if places.present & v.OWN and any(places.another):
        implied.extend(same_as_theirs(items, attached, places.another, vocabulary))
    return implied


class _Places:
    """Which items speak of the recorded plant, of which one, and on whose word."""

    def __init__(
        self,
        items: list[Item],
        present: int,
        killed: set[int],
        unexamined: dict[str, int],
        apart: set[int],
    ) -> None:
        nothing = [False] * len(items)
        self.items = items
        self.present = present
        self.kinds = Kinds(present, topics_of(items))
        self.topical: set[int] = set()
        self.killed = killed
        self.unexamined = unexamined
        self.apart = apart
        self.another = whose.of_another(items) if present & whose.LEADS_AWAY else nothing
        self.said = hearsay(items) if present & (v.SAYS | v.WRONG) else nothing
        self.numbers = [0] * len(items)
        if present & _COUNTED or any(item.counted for item in items):
            self.numbers = groups(items)
        self.blemishes = bool(present & blemishes.SPEAKS_OF)

    def counts(self, i: int, at: Attachment) -> bool:
        """Whether the state word `i` is about the recorded plant, and was looked at."""
        if i in self.killed or self.another[i]:
            return False
        if only_spoken_of(self.items, i, at) or is_topic(self.items, i, at, self.kinds):
            self.topical.add(i)
            return False
        elsewhere = at.organ >= 0 and self.another[at.organ]
        return not elsewhere or _own_again(self.items, at.organ, i) or _in_ours(self.items, i)

    def is_ours(self, i: int) -> bool:
        """Whether the state word `i` was neither struck out nor said of another plant."""
        return i not in self.killed and not self.another[i]

    def is_of_named(self, i: int) -> bool:
        """Whether item `i` speaks of another plant that its sentence names."""
        sentence = self.items[i].sentence
        return self.another[i] and any(
            m.kinds & (v.SPECIES | v.OTHER) and m.sentence == sentence for m in self.items[:i]
        )

    def plant(self, i: int) -> int:
        """The number of the plant that state word `i` is about."""
        if i in self.apart and not any(self.numbers):
            return -10 - i
        return self.numbers[i]


def _mentions_of(
    items: list[Item], i: int, at: Attachment, places: _Places, vocabulary: Vocabulary
) -> Iterator[Mention]:
    """What the state word `i` mentions: one state; two in `with and without spots`."""
    scale = vocabulary.scales[at.character]
    marks = at.sense.state != scale.absent
    if marks and places.blemishes and blemishes.blemished(items, i):
        return
    mention = _mention(items, i, at, scale)
    if mention is None or _out_of_sight(items, i, mention, places.unexamined, vocabulary):
        return
    mention.plant, mention.said, mention.role = places.plant(i), places.said[i], at.sense.role
    yield mention
    if twin := with_and_without(items, mention, at):
        yield twin
    for hosted, scale in vocabulary.scales.items():
        if scale.unless[0] == at.character and (sense := items[i].entry.senses.get(hosted)):
            yield replace(mention, character=hosted, state=sense.state)


def _mention(items: list[Item], i: int, at: Attachment, scale: Scale) -> Mention | None:
    in_passing = at.sense.role == "sign" and is_named_in_passing(items, i)
    if in_passing or is_unanswered(items, i, at) or denied_elsewhere(items, i, at):
        return None
    scope = around(items, i, at)
    only_kind = only_tells_kind(items, i, at, scope, scale)
    state = "" if only_kind else state_of(items, i, at, scope, scale)
    if not state:
        return None
    if between_two(items, i):
        state = scale.slightly.get(state, state)
    weight = weight_of(items, i, scope)
    if merely_looked_for(items, i, scope):
        outcome = outcome_of(items, i)
        if outcome is None:
            weight = "questioned"
        else:
            scope.last = outcome[1]
            if not outcome[0]:
                state = scale.denied.get(state, "")
                if not state:
                    return None
    if scope.degree & v.NEARLY and state == "marked":
        weight = "faint" if weight == "stated" else weight
    first, last = min(i, scope.first), max(i, scope.last)
    if at.organ >= 0 and items[at.organ].sentence == items[i].sentence:
        between = items[min(at.organ, i) : max(at.organ, i)]
        if not any(item.kinds & v.BUT for item in between):
            first, last = min(first, at.organ), max(last, at.organ)
    return Mention(at.character, state, weight, items[first].start, items[last].end, i)


def _own_again(items: list[Item], organ: int, i: int) -> bool:
    return organ < i and any(item.kinds & v.OWN for item in items[organ:i])


def _in_ours(items: list[Item], i: int) -> bool:
    """`stem solid in the fuchsii next to it, hollow in this`."""
    on, own = (*(m.kinds for m in items[i + 1 : i + 3]), 0, 0)[:2]
    return bool(on & v.ON and own & v.OWN)


def _out_of_sight(
    items: list[Item], i: int, m: Mention, unexamined: dict[str, int], vocabulary: Vocabulary
) -> bool:
    """`leaves blackened, spots not visible`: no spots seen, but none could be."""
    said_at = unexamined.get(m.character, i)
    if m.state != vocabulary.scales[m.character].absent:
        return False
    if any(n.kinds & v.FORM for n in items[i + 1 : i + 3]) and _behind_blemish(items, i):
        return True
    if said_at >= i:
        return False
    between = items[said_at:i]
    return items[said_at].sentence == items[i].sentence and not any(
        item.kinds & v.BUT for item in between
    )


def _behind_blemish(items: list[Item], i: int) -> bool:
    """`covered in rust so spots not visible`, but not `after rain; unspotted, see photo`."""
    for item in reversed(items[:i]):
        if item.kinds & v.HARD & ~v.BUT:
            return False
        if item.kinds & v.BLEMISH:
            return True
    return False


def _refined(items: list[Item], found: list[Mention]) -> list[Mention]:
    """`tiny spots`, `spots hollow`: the word beside the sign says which spots they are."""
    replaced: set[int] = set()
    for m in found:
        here = items[stretch_start(items, m.item) : m.item]
        of_others = bool(here and here[-1].kinds & v.COUNT)  # rings, a few filled in
        of_others = of_others or counted_behind(items, m.item)
        apart = any(k.kinds & (v.COUNT | v.ELSEWHERE) for k in here)
        sizes = items[m.item].entry.text.endswith(" ones") and items[m.item - 1].kinds & v.COMMA
        if sizes:
            replaced.add(id(m))  # rings, large ones
        if sizes or m.role != "beside" or m.weight == "questioned" or of_others:
            continue
        near = [
            s
            for s in found
            if (s.role, s.character) == ("sign", m.character)
            and items[s.item].clause == items[m.item].clause
            and not (apart and items[s.item].phrase < items[m.item].phrase)  # …, elsewhere round
        ]
        if near:
            sign = min(near, key=lambda s: abs(s.item - m.item))
            if sign.item > m.item:
                m.plant = sign.plant  # solid leaf blotches on others
            replaced.add(id(sign))
    return [m for m in found if id(m) not in replaced]
