"""The name a ruling gives a record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from crossproof.desk.record import DeskRecord, taxon_named
from crossproof.judge.aggregate import keep, lower
from crossproof.model import Determination
from crossproof.rulebooks.model import Rulebook
from crossproof.rulings.ruling import NO_NAME, RulingError

Books = Mapping[str, Rulebook]
_KINDS = (("Hybrids", "hybrid"), ("Species and below", "species"), ("Wider", "wide"))


@dataclass(frozen=True, slots=True)
class Choice:
    """A taxon that may be chosen: `rulebook:taxon`, and its name as written."""

    value: str
    name: str


def named_by(action: str, record: DeskRecord, books: Books, choice: str = "") -> Determination:
    """What a ruling calls the plant; no name where the verdict stands.

    Raises:
        RulingError: the ruling has no name to take; the message says what to do instead.
    """
    if action in ("ask", "set_aside"):
        return NO_NAME
    if record.is_returned:
        raise RulingError(
            "the row went back and is no occurrence, so it can only be asked about or set aside"
        )
    if action == "determine":
        return _chosen(choice, books)
    if action == "uphold":
        return _claimed(record, books)
    if action == "lower":
        return _lowered(record, books)
    raise RulingError("choose what to rule")


def _chosen(choice: str, books: Books) -> Determination:
    rulebook, _, taxon = choice.partition(":")
    book = books.get(rulebook)
    if book is None or taxon not in book.taxa:
        raise RulingError("choose a name for the determination")
    return keep(book.taxa[taxon], "", book)


def _claimed(record: DeskRecord, books: Books) -> Determination:
    name = record.verdict["claimed_name"]
    if not name:
        raise RulingError("no name was read from the claim; set a determination instead")
    book = books.get(record.verdict.get("rulebook", ""))
    if book and (taxon := taxon_named(name, book)):
        return keep(taxon, "", book)
    claim = next(iter(record.identifications), {})
    authorship = claim.get("scientificNameAuthorship", "")
    return Determination(
        scientific_name=name,
        authorship=authorship,
        rank=claim.get("taxonRank", ""),
        components=((name, authorship, claim.get("taxonRank", "")),),
    )


def _lowered(record: DeskRecord, books: Books) -> Determination:
    verdict = record.verdict
    if verdict["outcome"] == "lowered":
        authorship = record.cells.get("scientificNameAuthorship", "")
        name, rank = verdict["determined_name"], verdict["determined_rank"]
        return Determination(
            scientific_name=name,
            authorship=authorship,
            rank=rank,
            qualifier=verdict["qualifier"],
            components=((name, authorship, rank),),
        )
    book = books.get(verdict.get("rulebook", ""))
    taxon = taxon_named(verdict["claimed_name"], book) if book else None
    if book is None or taxon is None or not taxon.above:
        raise RulingError("no rulebook says what this name could be lowered to; ask or set aside")
    if taxon.is_hybrid:
        return lower(taxon, False, frozenset(), book)
    return keep(book.taxa[taxon.above], "", book)


def choices(book: Rulebook) -> Iterator[tuple[str, list[Choice]]]:
    """The names of a rulebook, in groups, alphabetical."""
    kinds: dict[str, list[Choice]] = {}
    for taxon in book.taxa.values():
        wide = taxon.rank in ("genus", "aggregate", "section", "subgenus")
        kind = "hybrid" if taxon.is_hybrid else "wide" if wide else "species"
        name = book.written(taxon.id)
        if taxon.label and not taxon.usable:
            name = f"{book.taxa[book.root].name} ({taxon.label})"
        kinds.setdefault(kind, []).append(Choice(f"{book.id}:{taxon.id}", name))
    for title, kind in _KINDS:
        if found := kinds.get(kind):
            yield title, sorted(found, key=lambda c: c.name)
