"""Weigh what is stated for each character: what counts, what doesn't, and what disagrees."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from crossproof.model import Case, Source, Weight
from crossproof.rulebooks.model import Character, Rulebook

Status = Literal["missing", "counts", "doubtful", "disagrees"]


@dataclass(frozen=True, slots=True)
class Weighed:
    """What one character comes to: the states that count, and how it stands.

    `doubtful`: something is stated, but only faintly or with a question. `disagrees`: column and
    remark say different things, so neither wins. A measured character's states are its numbers.
    """

    status: Status = "missing"
    states: tuple[str, ...] = ()
    shown: tuple[str, ...] = ()  # all that was stated, counting or not

    @property
    def is_stated(self) -> bool:
        return self.status != "missing"


_MISSING = Weighed()
Stated = tuple[str, str, Weight, Source]  # character, state, weight, source
States = tuple[tuple[str, tuple[str, ...]], ...]  # character → its counting states, bottom up


def counting(weighed: Mapping[str, Weighed]) -> States:
    """The states that count, as a value that what is computed from them can be remembered by."""
    return tuple((character, w.states) for character, w in weighed.items() if w.states)


def weigh(case: Case, rulebook: Rulebook) -> dict[str, Weighed]:
    """Weigh every character of the rulebook, from the bottom of the plant upward."""
    stated: dict[str, list[Stated]] = {}
    for entry in case.evidence:
        stated.setdefault(entry[0], []).append(entry)
    return {
        character.id: _weigh_character(tuple(stated[character.id]), character.id, rulebook)
        if character.id in stated
        else _MISSING
        for character in rulebook.ordered_characters
        if not (character.sex and case.sex and character.sex != case.sex)
    }


@lru_cache(maxsize=1 << 12)
def _weigh_character(stated: tuple[Stated, ...], name: str, rulebook: Rulebook) -> Weighed:
    character = rulebook.characters[name]
    shown = _unique(state for _, state, _, _ in stated)
    counting = [entry for entry in stated if entry[2] in ("stated", "hedged")]
    if not counting:
        return Weighed("doubtful", (), shown)
    column = _specific([state for _, state, _, source in counting if source != "remark"], character)
    remark = _specific([state for _, state, _, source in counting if source == "remark"], character)
    if not column or not remark:
        return Weighed("counts", column or remark, shown)
    if character.is_measured or _agree(column, remark, character):
        return Weighed("counts", _specific([*column, *remark], character), shown)
    return Weighed("disagrees", (), shown)


def _agree(column: tuple[str, ...], remark: tuple[str, ...], character: Character) -> bool:
    """Whether some reading of the one is a reading of the other.

    `marked` agrees with any kind of marks, and `mixed` with several states.
    """
    if "mixed" in column or "mixed" in remark:
        return ("mixed" in column and "mixed" in remark) or len(column) + len(remark) > 2
    first = frozenset().union(*(character.kinds(state) for state in column))
    second = frozenset().union(*(character.kinds(state) for state in remark))
    return bool(first & second)


def _specific(states: list[str], character: Character) -> tuple[str, ...]:
    """The states without those that another says more exactly (`marked` beside `ring_spots`)."""
    unique = _unique(states)
    if "mixed" in unique and len(unique) > 2:
        unique = tuple(state for state in unique if state != "mixed")
    return tuple(
        state
        for state in unique
        if not any(other != state and other in character.kinds(state) for other in unique)
    )


def _unique(states: object) -> tuple[str, ...]:
    return tuple(dict.fromkeys(states))  # type: ignore[call-overload]
