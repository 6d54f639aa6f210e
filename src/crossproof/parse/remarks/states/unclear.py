"""States better left unread: beside them stand words that may change them, and changed nothing.

The grammar knows many ways to put a thing, never all of them. Where one is missing, what it meant
to say is passed over, and a state is given that the remark denies, limits or tells of others. The
questions here find such places by the kinds of the words alone. They were chosen by what they find
in remarks that were new to earlier readers: of the states found there nine in ten were misread, of
all states one in fifty. A wrong reading is worse than none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossproof.model import Evidence
from crossproof.parse.remarks.organ.attachment import is_sign
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.organ.scope import EVERY
from crossproof.parse.remarks.plants.counted import YEAR
from crossproof.parse.remarks.plants.single import is_single, of_counted_leaves
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, all_kinds, is_organ, past, sets_apart
from crossproof.parse.remarks.text.vocabulary import Scale

_GROUPS = v.COUNT | v.PLANTS | v.MANY
_LIMITS = v.SLIGHT | v.AFTER
_OF_ANOTHER = v.OWN | v.OTHER | v.SPECIES | v.SAYS | v.STRUCK | v.SUPPOSE
_WHICH = v.RECORD | v.DISOWNS  # it is said which plant is meant
_BEFORE_COUNTED = v.SIZE | v.LARGE | v.FAINT | v.ON | v.THE | v.COUNT  # eight of the nine small
_LESS_THAN_ALL = v.ONLY | v.NOT | v.EXCEPT
_BY_ITSELF = ("word", "sign", "certain", "alone", "whole")  # roles that need no word beside


@dataclass(frozen=True, slots=True)
class _Given:
    """A state, and the first and last item of the words that it was read from."""

    items: list[Item]
    first: int
    last: int
    state: str
    scale: Scale

    @property
    def sentence(self) -> list[Item]:
        first, last = self.items[self.first].sentence, self.items[self.last].sentence
        return [m for m in self.items if first <= m.sentence <= last]

    @property
    def behind(self) -> list[Item]:
        """What follows in the sentence."""
        sentence = self.items[self.last].sentence
        return [m for m in self.items[self.last + 1 :] if m.sentence == sentence]

    @property
    def lies_between(self) -> bool:
        """Whether it is what two opposite states make together."""
        return any(gives == self.state for _, gives in self.scale.together)


def is_unclear(
    items: list[Item], told: Sequence[Evidence], found: Sequence[Mention], scale: Scale
) -> bool:
    """Whether what was told of one character, of all plants, had better not be believed.

    `told` rests on the mentions `found`.
    """
    if len({e.state for e in told}) != 1:
        return bool(told and scale.absent) and _is_of_no_plants(items, found)
    start, end = told[0].start, told[0].end
    first = next((k for k, m in enumerate(items) if m.end > start), 0)
    last = next((k for k in range(first, len(items)) if items[k].end >= end), first)
    one = _Given(items, first, last, told[0].state, scale)
    return (
        _is_joined_across_plants(one, found)
        or _is_of_some(one)
        or _is_limited(one)
        or _is_doubted(one)
    )


def _is_of_no_plants(items: list[Item], found: Sequence[Mention]) -> bool:
    """Different states, and nothing that may name different plants: of one perhaps, or of more."""
    phrases = {items[m.item].phrase for m in found}
    here = [m for m in items if m.phrase in phrases]
    named = any(m.kinds & (v.WORD | v.THAN) for m in here)
    several = named or any(m.kinds & (_GROUPS | v.VARIED) for m in items)
    return not several and len({m.plant for m in found}) == 1


def _is_joined_across_plants(one: _Given, found: Sequence[Mention]) -> bool:
    """Opposite states made one between, over words for another plant, or of another speaker."""
    if not one.lies_between or any(m.state == one.state for m in found):
        return False
    first, last = min(m.item for m in found), max(m.item for m in found)
    kinds = [m.kinds for m in one.items[first : last + 1] if m.entry.text != "it"]
    return any(k & _OF_ANOTHER for k in kinds) and not any(k & v.AMONG for k in kinds)


def _is_of_some(one: _Given) -> bool:
    """`some with rings, two with dots`: of two groups of plants the state of one was given."""
    if not one.scale.absent or one.state == one.scale.absent or is_single(one.items):
        return False
    here = one.sentence
    if any(
        (m.kinds & v.OWN and m.entry.text != "it") or m.entry.text.partition(" ")[0] in EVERY
        for m in here
    ):
        return False
    if all_kinds(one.items) & _WHICH or of_counted_leaves(one.items, one.last):
        return False
    behind = [m for m in one.behind if m.phrase == one.items[one.last].phrase]
    if _groups(behind) and any(m.kinds & _LESS_THAN_ALL for m in behind):
        return True  # spots on nine only
    return _groups(here) > 1 and _tells_another(one)


def _groups(here: list[Item]) -> int:
    """How many groups of plants are told of; counted leaves, spots and photos are none."""
    groups = 0
    for k, m in enumerate(here):
        if not m.kinds & _GROUPS or (k and here[k - 1].kinds & _GROUPS) or m.value >= YEAR:
            continue
        counted = here[past(here, k + 1, _BEFORE_COUNTED, but=v.ORGAN | v.PLANTS) :][:1]
        counts_parts = any(c.kinds & (v.ORGAN | v.PHOTO) or is_sign(c) for c in counted)
        of_plants = m.kinds & (v.PLANTS | v.MANY) or not counts_parts
        groups += bool(of_plants) and not m.entry.text.startswith("otherwise")
    return groups


def _tells_another(one: _Given) -> bool:
    """Whether the sentence tells of another state as well: of no marks, or of another sort."""
    scale, photos = one.scale, {m.phrase for m in one.items if m.kinds & v.PHOTO}
    first_sort = {*scale.one_plant[:1]}
    told_of = {*scale.one_plant}
    if one.state in first_sort:
        told_of.discard(scale.denied.get(scale.absent, ""))  # marked with rings
    read_from = one.items[one.first : one.last + 1]
    here = one.sentence
    for before, m in zip([here[0], *here], here, strict=False):
        senses = m.entry.senses.values()
        states = told_of & {s.state for s in senses if s.role in _BY_ITSELF}
        if scale.absent in states:
            return True
        if states and (one.state in first_sort) != bool(states & first_sort):
            return True
        nothing = m.kinds & v.NONE and m.entry.text != "0" and not sets_apart(before)
        if nothing and m not in read_from and m.phrase not in photos:
            return True
    return False


def _is_limited(one: _Given) -> bool:
    """`a cavity, no wider than a pin`: behind the state stands a word that makes it less.

    Nothing that the word could belong to stands behind it: `a little bent`, `a shade plant`.
    """
    less = one.scale.slightly.get(one.state, one.state)
    if less == one.state or not any(gives == less for _, gives in one.scale.together):
        return False
    phrase, before = one.items[one.last].phrase, one.items[one.last]
    behind = one.behind
    for k, m in enumerate(behind):
        if m.phrase > phrase + 1 or (m.phrase > phrase and m.kinds & (v.ORGAN | v.STATE)):
            return False
        of_place = (m.kinds | m.lead) & v.HEIGHTS or m.kinds & v.AMONG  # between the fingers
        if m.kinds & _LIMITS and not of_place:
            further = behind[past(behind, k + 1, _LIMITS) :][:1]
            alone = all(f.kinds & (v.LIMIT | v.ORGAN | v.ON) for f in further)
            return alone and not before.kinds & (v.COUNT | v.NUMBER | v.ON | v.WITH)  # at a touch
        before = m
    return False


def _is_doubted(one: _Given) -> bool:
    """`might have been hollow, might not, I couldn't tell you`; not `solid; leaves, can't say`."""
    if one.lies_between:
        return False  # a little give, no more
    behind = one.behind
    of_another = any(is_organ(m) or m.kinds & v.PHOTO for m in behind)
    return not of_another and any(m.kinds & v.UNSURE for m in behind)
