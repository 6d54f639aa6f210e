"""A rulebook in words, for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from crossproof.rulebooks.model import Rulebook, Taxon


def lines(book: Rulebook) -> Iterator[str]:
    """What the rulebook knows: characters, hybrids and their needs, cautions, sources."""
    yield f"{book.title} ({book.id}, version {book.version}, {book.issued})"
    yield ""
    yield "Characters, from the bottom of the plant upward"
    for character in book.ordered_characters:
        states = ", ".join(state.title for state in character.states) or f"in {character.unit}"
        yield f"  {character.id}: {states}"
        yield f"      {character.look}"
    yield ""
    yield "Hybrids, and what a claim needs"
    for hybrid in sorted(book.hybrids, key=lambda h: (h.tier, book.written(h.id))):
        yield from _hybrid(hybrid, book)
    yield ""
    yield "Care"
    yield from (f"  {caution}" for caution in book.cautions)
    yield ""
    yield "Sources"
    yield from (f"  {key}: {citation}" for key, citation in book.sources.items())


def _hybrid(hybrid: Taxon, book: Rulebook) -> Iterator[str]:
    parents = " × ".join(sorted(book.taxa[parent].name for parent in hybrid.parents))
    yield f"  {book.written(hybrid.id)}  ({parents})"
    need = book.requirement(hybrid.id)
    if need:
        wants = ", ".join(need.all_of)
        held = "never upheld by default; asks for" if need.never else "needs"
        yield f"      {held} {wants}: {need.why}"
    for combination in book.combinations:
        if hybrid.id in combination.hybrids:
            states = ", ".join(f"{c} {' or '.join(s)}" for c, s in combination.when.items())
            yield f"      {combination.effect}: {states}"
