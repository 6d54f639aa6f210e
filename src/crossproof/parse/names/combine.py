"""From the readings of the operands to one taxon, or to one formula."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossproof.parse.names.fold import CROSS
from crossproof.parse.names.index import Index, Ref, names_of
from crossproof.parse.names.reading import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What a clause means: one taxon (`ref`), a name of its own (`written`), or neither."""

    ref: Ref | None = None
    written: str = ""
    kind: str = ""  # set where it doesn't follow from the taxon
    rank: str = ""
    parents: tuple[str, ...] = ()
    candidates: tuple[Ref, ...] = ()
    reason: str = ""
    notes: tuple[str, ...] = ()

    @property
    def settled(self) -> bool:
        return self.ref is not None or bool(self.written)


def single(index: Index, reading: Reading, *, hybrid: bool) -> Meaning:
    """The meaning of a name that is no formula. `hybrid`: the word stands beside it."""
    if reading.problem or len(reading.refs) > 1:
        holder = _holder(index, reading)
        if holder and not hybrid:
            return Meaning(ref=holder, notes=reading.notes)
        return _open(index, reading, hybrid)
    if reading.shared and reading.refs:
        return Meaning(
            candidates=reading.refs,
            reason=f"the initial may also stand for the genus of {reading.shared}",
            notes=reading.notes,
        )
    if reading.outside:
        kind = "out_of_scope"
        if reading.noth and reading.outside.startswith(tuple(index.nothogenera.values())):
            named = len(reading.outside.split()) > 2
            return Meaning(
                written=reading.outside,
                kind="hybrid",
                rank="nothospecies" if named else "nothogenus",
                notes=reading.notes,
                reason="a cross between genera, beyond the rulebook",
            )
        return Meaning(
            written=reading.outside,
            kind=kind,
            rank=reading.rank,
            notes=reading.notes,
            reason="no rulebook covers this plant",
        )
    if not reading.refs:
        return Meaning(reason="no plant name could be read", notes=reading.notes)
    ref = reading.refs[0]
    taxon = index.taxon(ref)
    if hybrid and not taxon.parents and taxon.rank != "genus":
        book = index.books[ref[0]]
        return Meaning(
            ref=(ref[0], book.root),
            notes=reading.notes,
            reason=f"a hybrid, and only {taxon.name} is named as a parent",
        )
    notes = reading.notes
    return Meaning(ref=ref, written=reading.written, rank=reading.rank, notes=notes)


def _holder(index: Index, reading: Reading) -> Ref | None:
    """The aggregate among the taxa meant that holds all the others: `spotted-orchids`."""
    for ref in reading.refs:
        holds = (
            other[0] == ref[0] and ref[1] in index.books[ref[0]].lines_up[other[1]]
            for other in reading.refs
        )
        if index.taxon(ref).rank == "aggregate" and all(holds):
            return ref
    return None


def _open(index: Index, reading: Reading, hybrid: bool) -> Meaning:
    books = {book for book, _ in reading.refs}
    if hybrid and len(books) == 1 and not reading.problem:
        book = books.pop()
        return Meaning(
            ref=(book, index.books[book].root),
            notes=reading.notes,
            reason="a hybrid whose parents are not named",
        )
    reason = reading.problem or "the name may mean more than one taxon"
    return Meaning(candidates=reading.refs, reason=reason, notes=reading.notes)


def formula(index: Index, readings: Sequence[Reading]) -> Meaning:
    """The meaning of a cross: its parents in any order, backcrosses with their own parents.

    A nothospecies holds all that descends from its parents, backcrosses too (ICN Art. H.4).
    """
    notes = tuple(note for reading in readings for note in reading.notes)
    readings = _told_apart(index, readings)
    genera = [r.refs[0] for r in readings if r.ref and index.taxon(r.refs[0]).rank == "genus"]
    inside = (
        all(r.refs for r in readings) and len({ref[0] for r in readings for ref in r.refs}) == 1
    )
    if genera and inside:
        reason = "a hybrid, and not all of its parents are named"
        return Meaning(ref=genera[0], reason=reason, notes=notes)
    for reading in readings:
        if not reading.good:
            return Meaning(reason="one side of the cross could not be read", notes=notes)
        if len(reading.refs) > 1 or reading.problem:
            reason = reading.problem or "one side of the cross may mean more than one taxon"
            return Meaning(candidates=reading.refs, reason=reason, notes=notes)
    parents = _parents(index, readings)
    names = tuple(sorted({name for name, _ in parents}))
    refs = {ref for _, ref in parents if ref}
    if not refs:
        return Meaning(
            written=_in_order(readings),
            kind="out_of_scope",
            notes=notes,
            reason="no rulebook covers this plant",
        )
    if len(names) == 1:
        return _within_one(index, readings, refs.pop(), notes)
    books = {book for book, _ in refs}
    if len(books) == 1 and len(refs) == len(names):
        book = books.pop()
        taxon = index.crosses[book].get(frozenset(t for _, t in refs))
        if taxon:
            return Meaning(ref=(book, taxon), notes=notes)
    return _beyond(index, names, parents, notes)


def _told_apart(index: Index, readings: Sequence[Reading]) -> Sequence[Reading]:
    """Settle a side with two meanings where one of them is the other side: no plant crosses itself.

    `Lychnis alba × dioica`, for *L. dioica* L. held both campions.
    """
    sure = {index.species(r.refs[0]) for r in readings if r.ref}
    if len(readings) != 2 or len(sure) != 1:
        return readings
    told = []
    for reading in readings:
        left = tuple(ref for ref in reading.refs if index.species(ref) not in sure)
        several = len(reading.refs) > 1 and not reading.problem
        told.append(reading._replace(refs=left) if several and len(left) == 1 else reading)
    return told


def _parents(index: Index, readings: Sequence[Reading]) -> list[tuple[str, Ref | None]]:
    """The species that take part: their names, and their taxa inside the rulebooks."""
    found: list[tuple[str, Ref | None]] = []
    for reading in readings:
        if reading.outside:
            found.append((reading.outside, None))
            continue
        book = reading.refs[0][0]
        species = index.books[book].taxa[index.species(reading.refs[0])]
        for taxon in species.parents or (species.id,):
            name = index.books[book].taxa[taxon].name.removesuffix(" agg.")
            found.append((name, (book, taxon)))
    return found


def _within_one(
    index: Index, readings: Sequence[Reading], ref: Ref, notes: tuple[str, ...]
) -> Meaning:
    """A cross of two subspecies or varieties of one species."""
    names = sorted({r.written or index.taxon(r.refs[0]).name for r in readings})
    if len(names) == 1:
        return Meaning(
            candidates=(ref,), reason="both sides of the cross are one taxon", notes=notes
        )
    return Meaning(
        written=write_formula(names),
        kind="hybrid",
        notes=notes,
        parents=(ref[1],),
        reason="a cross inside one species, beyond the rulebook",
    )


def _beyond(
    index: Index,
    names: Sequence[str],
    parents: Sequence[tuple[str, Ref | None]],
    notes: tuple[str, ...],
) -> Meaning:
    written = write_formula(names)
    genera = {name.split()[0] for name in names}
    if len(genera) > 1:
        reason = "a cross between genera, beyond the rulebook"
        written = index.formulae.get(f" {CROSS} ".join(names), written)
    elif len(names) > 2:
        reason = f"a cross of {len(names)} parents, beyond the rulebook"
    else:
        reason = "a cross the rulebook does not list"
    ids = tuple(sorted({ref[1] if ref else name for name, ref in parents}))
    return Meaning(written=written, kind="hybrid", parents=ids, reason=reason, notes=notes)


def write_formula(names: Sequence[str]) -> str:
    """Parents alphabetical, a shared genus once: `Dactylorhiza fuchsii × praetermissa`."""
    ordered = sorted(names)
    genus = ordered[0].split()[0]
    if any(name.split()[0] != genus for name in ordered):
        return f" {CROSS} ".join(ordered)
    first, *others = ordered
    return f" {CROSS} ".join([first, *(name.removeprefix(f"{genus} ") for name in others)])


def _in_order(readings: Sequence[Reading]) -> str:
    """A formula outside the rulebooks: its parents stay in their order (ICN Rec. H.2A)."""
    names = [reading.outside for reading in readings]
    genus = names[0].split()[0]
    return f" {CROSS} ".join([names[0], *(n.removeprefix(f"{genus} ") for n in names[1:])])


def alternatives(index: Index, readings: Sequence[Reading]) -> Meaning:
    """Names joined by `or`, `and`, `/`: an aggregate's label, or more taxa than one."""
    notes = tuple(note for reading in readings for note in reading.notes)
    refs = tuple(dict.fromkeys(ref for reading in readings for ref in reading.refs))
    lower = tuple(ref for ref in refs if index.taxon(ref).rank != "genus")
    if len({ref[0] for ref in refs}) == 1 and lower:  # the genus, then its species
        refs = lower
    if len(refs) == 1 and all(r.refs for r in readings):
        return Meaning(ref=refs[0], notes=notes)
    for ref in refs:  # a nothospecies and its parents: `× grandis southern marsh × spotted`
        if {(ref[0], p) for p in index.taxon(ref).parents} == set(refs) - {ref}:
            return Meaning(ref=ref, notes=notes)
    names = ", ".join(names_of(index, refs))
    return Meaning(candidates=refs, notes=notes, reason=f"more than one plant is named: {names}")
