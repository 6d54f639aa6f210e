"""The names of the plants that a rulebook knows, as they are looked for in a remark."""

from __future__ import annotations

from collections.abc import Iterable

from crossproof.rulebooks.model import Rulebook


def names_of(rulebook: Rulebook) -> Iterable[str]:
    """Names of species and aggregates, by epithet and in the vernacular; hybrids are `own`."""
    for taxon in rulebook.taxa.values():
        if taxon.is_hybrid or not taxon.above:
            continue
        genus, _, epithet = taxon.name.partition(" ")
        for name in {taxon.name, epithet.split()[-1] if epithet else "", *taxon.vernaculars}:
            if name:
                yield name
                yield f"{name}s"
        if epithet:
            yield f"{genus[0]} {epithet}"
            yield f"{genus[0]}. {epithet}"
