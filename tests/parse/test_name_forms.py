"""Every hybrid and species of every rulebook, in every form it gets written in."""

from __future__ import annotations

import itertools

import pytest

from crossproof.parse.name import parse_name
from crossproof.rulebooks.load import shipped
from crossproof.rulebooks.model import Rulebook, Taxon

SIGNS = ["×", "x", "X", "*", "✕", "Ã—", "&times;", "х", "\ufffd"]
BOOKS = shipped()
HYBRIDS = [(book, taxon) for book in BOOKS for taxon in book.hybrids]
NAMED = [(book, taxon) for book, taxon in HYBRIDS if taxon.name]
SPECIES = [(b, t) for b in BOOKS for t in b.taxa.values() if t.rank == "species"]
BELOW = [(b, t) for b in BOOKS for t in b.taxa.values() if t.rank in ("subspecies", "variety")]
# By their initials also plants outside: Prunella and Pinguicula vulgaris, Carex laevigata.
SHARED = {"vulgaris", "laevigata"}
AMBIGUOUS = {"drucei"}  # without ×, `Dactylorhiza drucei` may be D. francis-drucei


def _ids(pairs: list[tuple[Rulebook, Taxon]]) -> list[str]:
    return [f"{book.id}:{taxon.id}" for book, taxon in pairs]


def _agree(book: Rulebook, taxon: Taxon, written: str) -> None:
    name = parse_name(written)
    kind = "hybrid" if taxon.parents else "species"
    assert (name.taxon, name.kind, name.rulebook) == (taxon.id, kind, book.id), (written, name)


@pytest.mark.parametrize(("book", "taxon"), HYBRIDS, ids=_ids(HYBRIDS))
def test_formula_in_any_order_and_spelling(book: Rulebook, taxon: Taxon) -> None:
    initial = book.genera[0][0]
    parents = [book.taxa[parent] for parent in taxon.parents]
    for one, other in itertools.permutations(parents):
        for sign in SIGNS:
            for written in (
                f"{one.name} {sign} {other.epithet}",
                f"{one.name} {sign} {other.name}",
                f"{initial}. {one.epithet} {sign} {initial}. {other.epithet}",
                f"{one.name} {one.authorship} {sign} {initial}. {other.epithet} {other.authorship}",
                f"{one.name} {sign} {other.epithet} hybrid, 3 plants",
                f"{one.name} {sign} {other.epithet}".upper().replace("&TIMES;", "&times;"),
            ):
                _agree(book, taxon, written)
        _agree(book, taxon, f"{one.name} hybrid {other.epithet}")


@pytest.mark.parametrize(("book", "taxon"), HYBRIDS, ids=_ids(HYBRIDS))
def test_english_crosses(book: Rulebook, taxon: Taxon) -> None:
    parents = [book.taxa[parent].vernaculars for parent in taxon.parents]
    for one, other in (*itertools.product(*parents), *itertools.product(*parents[::-1])):
        for written in (
            f"{one} x {other}",
            f"hybrid between {one.lower()} and {other.lower()}",
            f"{one} / {other} hybrid",
            f"{one} hybrid with {other}",
        ):
            _agree(book, taxon, written)


@pytest.mark.parametrize(("book", "taxon"), NAMED, ids=_ids(NAMED))
def test_nothospecies_name(book: Rulebook, taxon: Taxon) -> None:
    genus = book.genera[0]
    for sign in SIGNS:
        _agree(book, taxon, f"{genus} {sign} {taxon.epithet}")
        _agree(book, taxon, f"{genus} {sign}{taxon.epithet}")
        _agree(book, taxon, f"{genus[0]}. {sign} {taxon.epithet} {taxon.authorship}")
    if taxon.id not in AMBIGUOUS:
        _agree(book, taxon, f"{genus} {taxon.epithet}")
    for synonym in taxon.synonyms:
        _agree(book, taxon, synonym)
    for slip in taxon.misspellings:
        _agree(book, taxon, f"{genus} x {slip}")


def _by_initial(taxon: Taxon, genus: str) -> tuple[str, ...]:
    short = (f"{genus[0]}. {taxon.epithet}", f"{genus[0]} {taxon.epithet}")
    if taxon.id not in SHARED:
        return short
    for written in short:
        name = parse_name(written)
        assert (name.kind, name.candidates) == ("unresolved", (taxon.id,))
    return tuple(f"{written} {taxon.authorship}" for written in short)


@pytest.mark.parametrize(("book", "taxon"), SPECIES, ids=_ids(SPECIES))
def test_species(book: Rulebook, taxon: Taxon) -> None:
    genus = book.genera[0]
    spellings = [slip if slip[0].isupper() else f"{genus} {slip}" for slip in taxon.misspellings]
    for written in (
        *(taxon.name, taxon.name.upper(), taxon.name.lower(), f"{taxon.name} {taxon.authorship}"),
        *_by_initial(taxon, genus),
        *taxon.vernaculars,
        *(vernacular.upper() for vernacular in taxon.vernaculars),
        *taxon.abbreviations,
        *taxon.synonyms,
        *spellings,
    ):
        _agree(book, taxon, written)


@pytest.mark.parametrize(("book", "taxon"), BELOW, ids=_ids(BELOW))
def test_subspecies_and_varieties(book: Rulebook, taxon: Taxon) -> None:
    written = [taxon.name, f"{taxon.name} {taxon.authorship}", taxon.name.replace("subsp.", "ssp")]
    if taxon.id != "kerryensis_var":  # without its rank it says no more than the species
        written.append(taxon.name.replace("subsp. ", "").replace("var. ", ""))
    for text in (*written, *taxon.synonyms, *taxon.vernaculars):
        _agree(book, taxon, text)
