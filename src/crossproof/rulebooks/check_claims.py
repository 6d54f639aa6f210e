"""Checks of what a rulebook comes to: hybrids no evidence supports, hybrids no character parts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations

from crossproof.rulebooks.complaint import Complaint
from crossproof.rulebooks.model import Character, Known, Rulebook, Taxon

ClaimRule = Callable[[Rulebook], Iterator[Complaint]]


def supportable(rulebook: Rulebook) -> Iterator[Complaint]:
    """Some evidence supports each hybrid, or the rulebook says why none can."""
    for index, hybrid in enumerate(rulebook.hybrids):
        need = rulebook.requirement(hybrid.id)
        own = [c for c in rulebook.combinations if hybrid.id in c.hybrids]
        if need is None:
            message = f"nothing says what a claim of {hybrid.id!r} needs"
            remedy = "add a [[requirement]] that names it"
        elif need.never:
            if need.why:
                continue
            message = f"a claim of {hybrid.id!r} is never upheld, and nothing says why"
            remedy = "add why to its [[requirement]]"
        elif own and not any(c.effect == "fits" for c in own):
            message = f"no evidence could support {hybrid.id!r}: none of its combinations fits"
            remedy = "add a [[combination]] that fits, or set never = true and say why"
        elif not own and not _parted_from_parents(rulebook, hybrid):
            message = (
                f"no evidence could support {hybrid.id!r}: "
                "all it may show is known of a parent as well"
            )
            remedy = "add a state that lies between, a [[combination]] that fits, or never = true"
        else:
            continue
        yield Complaint(("hybrid", index), message, remedy, "warning")


def _parted_from_parents(rulebook: Rulebook, hybrid: Taxon) -> bool:
    """Whether states that the hybrid may show can exclude all of its parents together."""
    reached: set[frozenset[str]] = {frozenset()}
    for character in rulebook.ordered_characters:
        options = _exclusions(rulebook, hybrid, character)
        reached |= {old | new for old in reached for new in options}
    return frozenset(hybrid.parents) in reached


def _exclusions(rulebook: Rulebook, hybrid: Taxon, character: Character) -> set[frozenset[str]]:
    """For each state the hybrid may show, the parents that it excludes."""
    own = rulebook.known_of(hybrid.id, character.id)
    known = {parent: rulebook.known_of(parent, character.id) for parent in hybrid.parents}
    if own is None:
        return set()
    if character.is_measured:
        ranges = [k.measure for k in (own, *known.values()) if k and k.measure]
        samples = {end for low, high in ranges for end in (low, (low + high) / 2, high)}
        shown = [s for s in samples if own.measure and own.measure[0] <= s <= own.measure[1]]
        return {
            frozenset(
                parent
                for parent, k in known.items()
                if k and k.measure and not k.measure[0] <= sample <= k.measure[1]
            )
            for sample in shown
        }
    return {
        frozenset(p for p, k in known.items() if k and not k.all_states & character.kinds(state))
        for state in own.all_states - {"mixed"}
    }


def told_apart(rulebook: Rulebook) -> Iterator[Complaint]:
    """No two hybrids show just the same in every character."""
    places = {hybrid.id: index for index, hybrid in enumerate(rulebook.hybrids)}
    for first, second in combinations(rulebook.hybrids, 2):
        if all(_same(rulebook, first, second, c) for c in rulebook.characters):
            message = f"no character tells {second.id!r} from {first.id!r}"
            remedy = "state for one character what each of the two, or a parent, shows"
            yield Complaint(("hybrid", places[second.id]), message, remedy, "warning")


def _same(rulebook: Rulebook, first: Taxon, second: Taxon, character: str) -> bool:
    one, other = (_shown(rulebook.known_of(taxon.id, character)) for taxon in (first, second))
    return one is None or other is None or one == other


def _shown(known: Known | None) -> object:
    return None if known is None else (known.all_states, known.measure)


RULES: dict[str, ClaimRule] = {"supportable": supportable, "told apart": told_apart}
