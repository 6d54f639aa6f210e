"""What the stated states, taken together, say of one hybrid claim."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from crossproof.judge.weigh import States
from crossproof.rulebooks.model import Character, Combination, Effect, Known, Rulebook


@dataclass(frozen=True, slots=True)
class Reading:
    """What the evidence says: `effect` is None where what is stated says nothing yet.

    `against` names the characters that speak against the claim, bottom up; `whys` the reasons given
    by the rulebook.
    """

    effect: Effect | None
    against: tuple[str, ...] = ()
    whys: tuple[str, ...] = ()


@lru_cache(maxsize=1 << 16)
def read_claim(
    hybrid: str, states: States, mentions: frozenset[str], rulebook: Rulebook
) -> Reading:
    """Hold a hybrid's combinations, and what is known of it, against the states that count."""
    combinations = [c for c in rulebook.combinations if hybrid in c.hybrids]
    combined = _by_combination(combinations, states, mentions)
    covered = {character for c in combinations for character in c.when}
    against, excluded, stray = _by_what_is_known(hybrid, states, rulebook, covered)
    order = [character.id for character in rulebook.ordered_characters]
    blamed = set(combined.against) | against
    if blamed:
        whys = (*combined.whys, *stray)
        return Reading("against", tuple(sorted(blamed, key=order.index)), whys)
    if combinations:
        return combined
    if set(rulebook.taxa[hybrid].parents) <= excluded:
        return Reading("fits")
    return Reading(None, (), ("what is stated may be seen in a parent as well",))


def _by_combination(
    combinations: list[Combination], states: States, mentions: frozenset[str]
) -> Reading:
    """The first combination that holds decides, for each plant of a mixed stand by itself."""
    held = [
        next((c for c in combinations if _holds(c, plant, mentions)), None)
        for plant in _plants(states)
    ]
    effects = {c.effect if c else None for c in held}
    whys = tuple(dict.fromkeys(c.why for c in held if c and c.why))
    if len(effects) > 1:
        return Reading("undecided", (), ("the plants of the stand differ, and not all fit", *whys))
    effect = effects.pop()
    if effect == "against":
        return Reading("against", tuple({b: None for c in held if c for b in c.blames}), whys)
    return Reading(effect, (), whys)


def _plants(states: States) -> Iterator[dict[str, str]]:
    """One set of states per kind of plant that a mixed stand may hold."""
    characters = [character for character, _ in states]
    for plant in product(*(stated for _, stated in states)):
        yield dict(zip(characters, plant, strict=True))


def _holds(combination: Combination, plant: Mapping[str, str], mentions: frozenset[str]) -> bool:
    if mentions.intersection(combination.unless):
        return False
    return all(plant.get(character) in wanted for character, wanted in combination.when.items())


def _by_what_is_known(
    hybrid: str, states: States, rulebook: Rulebook, covered: set[str]
) -> tuple[set[str], set[str], list[str]]:
    """Characters that the hybrid can't show, parents that the states exclude, and why.

    This is the rule where the rulebook gives no combination: a hybrid shows what its parents show
    or what lies between, and its parts contradict each parent.
    """
    against: set[str] = set()
    excluded: set[str] = set()
    whys = []
    for character, stated in states:
        described = rulebook.characters[character]
        shown_by = []
        for parent in rulebook.taxa[hybrid].parents:
            of_parent = rulebook.known_of(parent, character)
            if of_parent and not allows(of_parent, stated, described):
                excluded.add(parent)
            elif of_parent:
                shown_by.append(rulebook.written(parent))
        known = rulebook.known_of(hybrid, character)
        if character not in covered and known and not allows(known, stated, described):
            against.add(character)
            whys.append(
                f"{described.title}: points to {' or '.join(shown_by)}"
                if shown_by
                else f"{described.title}: neither parent is known like this"
            )
    return against, excluded, whys


def allows(known: Known, states: tuple[str, ...], character: Character) -> bool:
    """Whether every stated state (or number) is known of a taxon.

    `marked` is known where any kind of marks is; `mixed` says too little to exclude anything.
    """
    return all(_allows(known, state, character) for state in states)


def _allows(known: Known, state: str, character: Character) -> bool:
    if known.measure:
        # A range measured on several plants is known where it meets the taxon's own.
        low, high = known.measure
        found = numbers(state)
        return not found or (low <= max(found) and min(found) <= high)
    return state == "mixed" or bool(known.all_states & (character.kinds(state) | {state}))


def numbers(text: str) -> tuple[float, ...]:
    """The numbers of a measured state: one, or the two ends of a range (`17` or `17-21`)."""
    return tuple(float(part) for part in text.split("-") if part)
