"""What a rulebook holds, once it is loaded: the botany of one plant group as plain values."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

Effect = Literal["fits", "against", "undecided"]
INFRASPECIFIC = frozenset({"subspecies", "variety", "form", "nothosubspecies"})
Measure = tuple[float, float]  # lowest and highest, in the character's unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Taxon:
    """A taxon of the tree: genus, aggregate, species, subspecies, variety or hybrid.

    A hybrid has `parents` (ids); one without a published epithet has no `name` and is written as
    its formula. `label` is how botanists write an aggregate (`maculata agg.`). `usable` says
    whether `name` means nothing but this taxon, so that it may stand in dwc:scientificName.
    """

    id: str
    name: str
    rank: str
    above: str = ""
    authorship: str = ""
    parents: tuple[str, ...] = ()
    label: str = ""
    usable: bool = True
    tier: int = 0
    vernaculars: tuple[str, ...] = ()
    synonyms: tuple[str, ...] = ()
    abbreviations: tuple[str, ...] = ()
    misspellings: tuple[str, ...] = ()
    months: frozenset[int] = frozenset()
    absent_from: tuple[str, ...] = ()
    sensitive_m: int = 0  # generalise places to squares of this side, in metres; 0: exact
    sources: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def is_hybrid(self) -> bool:
        return bool(self.parents)

    @property
    def epithet(self) -> str:
        """The last word of the name: `grandis` of `Dactylorhiza × grandis`."""
        return self.name.split()[-1] if self.name else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """One state of a character.

    `kind_of` names the state it is a kind of (`marked`); `between` says that it lies between the
    others, so that a hybrid may show it where neither parent does.
    """

    id: str
    title: str
    kind_of: str = ""
    between: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Character:
    """A character: categorical with states, or measured in a unit.

    `order` is its place from the bottom of the plant upward. `sex` limits it to plants of one sex.
    """

    id: str
    title: str
    order: int
    states: tuple[State, ...] = ()
    unit: str = ""
    flower: bool = False
    sex: str = ""
    look: str = ""
    headings: tuple[str, ...] = ()
    media_parts: tuple[str, ...] = ()

    @property
    def is_measured(self) -> bool:
        return bool(self.unit)

    def kinds(self, state: str) -> frozenset[str]:
        """The states that a stated `state` may stand for: itself, or its kinds.

        `marked` says not which marks, so it may be any of them.
        """
        kinds = frozenset(s.id for s in self.states if s.kind_of == state)
        return kinds or frozenset({state})


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement:
    """What a claim of some hybrids needs before it can be upheld.

    `all_of` names characters, `photo`, `parents` or `specialist`; of the characters in `any_of`,
    called `any_name` together, at least `at_least` must be stated. `never` hybrids are not upheld
    whatever is stated.
    """

    hybrids: tuple[str, ...]
    all_of: tuple[str, ...]
    any_of: tuple[str, ...] = ()
    any_name: str = "measurements"
    at_least: int = 0
    never: bool = False
    why: str = ""
    source: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Combination:
    """What one combination of states does to the claims of some hybrids.

    `when` maps characters to the states it holds for; a character that is absent from it may be
    anything, stated or not. `unless` names mentions (regions, varieties) that switch it off.
    `blames` names the characters that speak. The first combination that holds decides.
    """

    hybrids: tuple[str, ...]
    when: Mapping[str, tuple[str, ...]]
    effect: Effect
    blames: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()
    why: str = ""
    source: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """The states (or the range, in the character's unit) known of a taxon for one character."""

    states: frozenset[str] = frozenset()
    rare: frozenset[str] = frozenset()  # known, but no reason to name this taxon
    measure: Measure | None = None
    source: tuple[str, ...] = ()
    note: str = ""

    @property
    def all_states(self) -> frozenset[str]:
        return self.states | self.rare


@dataclass(frozen=True, slots=True, kw_only=True)
class Mention:
    """Words in a record that rules speak of: a region, a kind of soil, a variety.

    A region may also be known by country codes, grids (`GB`, `IE`) and boxes of west, south, east,
    north in decimal degrees.
    """

    id: str
    kind: Literal["region", "soil", "taxon"]
    words: tuple[str, ...] = ()
    codes: tuple[str, ...] = ()
    grids: tuple[str, ...] = ()
    boxes: tuple[tuple[float, float, float, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Soil:
    """A soil that brings another parent in.

    Where `mention` is made, a claim whose parents hold `instead_of` and not `brings` is undecided,
    unless something stated speaks for its own parent: a state in `spoken_for_by`, or both parents
    seen near by.
    """

    mention: str
    brings: str
    instead_of: str
    spoken_for_by: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    why: str = ""


@dataclass(frozen=True, kw_only=True, eq=False)
class Rulebook:
    """The botany of one plant group. Two rulebooks are equal where they are the same object."""

    id: str
    title: str
    version: str
    issued: str
    family: str
    genera: tuple[str, ...]
    root: str
    taxa: Mapping[str, Taxon]
    characters: Mapping[str, Character]
    known: Mapping[str, Mapping[str, Known]]  # character → taxon → Known
    requirements: tuple[Requirement, ...] = ()
    strict_requirements: tuple[Requirement, ...] = ()
    combinations: tuple[Combination, ...] = ()
    flowers_carry: bool = True
    flowers_carry_for: tuple[str, ...] = ()
    old_genera: Mapping[str, str] = field(default_factory=dict)
    outside_crosses: Mapping[str, str] = field(default_factory=dict)
    ambiguous_names: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    mentions: tuple[Mention, ...] = ()
    soil: Soil | None = None
    specialist_words: tuple[str, ...] = ()
    frequencies: Mapping[str, Mapping[str, Mapping[str, float]]] = field(default_factory=dict)
    priors: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    default_setting: str = ""
    phrases: Mapping[str, object] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)

    def requirement(self, hybrid: str, strict: bool = False) -> Requirement | None:
        """What a claim of this hybrid needs, by the user's needs or by the tiers of practice.

        Where a rulebook states no tier of practice for a hybrid, the user's needs hold.
        """
        strictly = self.strict_requirements if strict else ()
        entries = (*strictly, *self.requirements)
        return next((entry for entry in entries if hybrid in entry.hybrids), None)

    @cached_property
    def hybrids(self) -> tuple[Taxon, ...]:
        return tuple(taxon for taxon in self.taxa.values() if taxon.is_hybrid)

    @cached_property
    def ordered_characters(self) -> tuple[Character, ...]:
        """The characters from the bottom of the plant upward."""
        return tuple(sorted(self.characters.values(), key=lambda c: c.order))

    def known_of(self, taxon: str, character: str) -> Known | None:
        """What is known of a taxon for a character; None where the rulebook says nothing.

        A variety without an entry has its species'. A hybrid without one may show whatever either
        parent shows, and what lies between.
        """
        return self._known_by_both.get((taxon, character))

    @cached_property
    def _known_by_both(self) -> Mapping[tuple[str, str], Known | None]:
        return {(t, c): self._known_of(t, c) for t in self.taxa for c in self.characters}

    def _known_of(self, taxon: str, character: str) -> Known | None:
        entries = self.known.get(character, {})
        value = self.taxa[taxon]
        if taxon in entries:
            return entries[taxon]
        if value.is_hybrid:
            parents = [self._known_of(parent, character) for parent in value.parents]
            return _hull([p for p in parents if p], self.characters[character], len(parents))
        if value.above and value.rank in INFRASPECIFIC:
            return self._known_of(value.above, character)
        return None

    @cached_property
    def lines_up(self) -> Mapping[str, tuple[str, ...]]:
        """Each taxon with all above it, up to the root."""
        return {taxon: tuple(self._upward(taxon)) for taxon in self.taxa}

    def _upward(self, taxon: str) -> Iterator[str]:
        while taxon:
            yield taxon
            taxon = self.taxa[taxon].above

    def lowest_node_above(self, taxa: frozenset[str]) -> str:
        """The lowest node of the tree that holds all of `taxa` (design, the judgement, point 3)."""
        lines = [self.lines_up[taxon] for taxon in sorted(taxa)]
        shared = set(lines[0]).intersection(*lines[1:])
        return next(node for node in lines[0] if node in shared)

    def written(self, taxon: str) -> str:
        """The name of a taxon, or the formula of a hybrid without one, parents alphabetical."""
        value = self.taxa[taxon]
        if value.name:
            return value.name
        epithets = sorted(self.taxa[parent].name for parent in value.parents)
        genus = epithets[0].split()[0]
        return " × ".join([epithets[0], *(e.removeprefix(f"{genus} ") for e in epithets[1:])])


def _hull(known: list[Known], character: Character, wanted: int) -> Known | None:
    """What lies in or between the parents; None unless something is known of all of them."""
    if len(known) < wanted:
        return None
    measures = [k.measure for k in known if k.measure]
    between = frozenset(state.id for state in character.states if state.between)
    return Known(
        states=frozenset().union(*(k.states for k in known)) | between,
        rare=frozenset().union(*(k.rare for k in known)),
        measure=(min(m[0] for m in measures), max(m[1] for m in measures)) if measures else None,
    )
