"""The name a record leaves with: never more specific than its evidence."""

from __future__ import annotations

from functools import lru_cache

from crossproof.judge.combine import allows, read_claim
from crossproof.judge.weigh import States
from crossproof.model import Determination, Name
from crossproof.rulebooks.model import Rulebook, Taxon

Component = tuple[str, str, str]


@lru_cache(maxsize=1 << 13)
def possible_taxa(states: States, mentions: frozenset[str], rulebook: Rulebook) -> frozenset[str]:
    """The species and hybrids that every counting state still allows."""
    return frozenset(
        taxon.id
        for taxon in rulebook.taxa.values()
        if (taxon.rank == "species" or taxon.is_hybrid)
        and _is_allowed(taxon, states, rulebook)
        and not (
            taxon.is_hybrid and read_claim(taxon.id, states, mentions, rulebook).effect == "against"
        )
    )


def _is_allowed(taxon: Taxon, states: States, rulebook: Rulebook) -> bool:
    for character, stated in states:
        known = rulebook.known_of(taxon.id, character)
        if known and not allows(known, stated, rulebook.characters[character]):
            return False
    return True


def keep(taxon: Taxon, qualifier: str, rulebook: Rulebook) -> Determination:
    """The claimed taxon itself, with the recorder's own qualifier.

    An aggregate whose name may mean something else goes out as the genus, with the aggregate in
    the qualifier.
    """
    if taxon.rank == "aggregate" and not taxon.usable:
        return _as_genus(taxon, taxon.label, rulebook)
    return Determination(
        scientific_name=rulebook.written(taxon.id),
        authorship=taxon.authorship,
        rank=taxon.rank,
        qualifier=qualifier,
        taxon=taxon.id,
        formula="A x B" if len(taxon.parents) == 2 else "A",
        components=_components(taxon, rulebook),
    )


def lower(
    claim: Taxon, contradicted: bool, possible: frozenset[str], rulebook: Rulebook
) -> Determination:
    """Lower a hybrid claim to the lowest node that holds it, its parents, and what is possible.

    Only evidence against the claim widens the node to what the evidence then allows; silence and
    evidence that cannot decide leave it where it is.
    """
    held = frozenset({claim.id, *claim.parents}) | (possible if contradicted else frozenset())
    node = rulebook.taxa[rulebook.lowest_node_above(held)]
    if node.id == claim.id:  # a species can't hold its own hybrid; the tree is checked for this
        node = rulebook.taxa[claim.above]
    doubt = "" if contradicted else f"cf. {_short(claim, rulebook)}"
    if node.usable:
        qualifier = doubt or "agg."
        return Determination(
            scientific_name=node.name,
            authorship=node.authorship,
            rank=node.rank,
            qualifier=qualifier,
            taxon=node.id,
            components=((node.name, node.authorship, node.rank),),
        )
    label = ", ".join(part for part in (node.label, doubt) if part)
    return _as_genus(node, label, rulebook)


def _as_genus(node: Taxon, qualifier: str, rulebook: Rulebook) -> Determination:
    root = rulebook.taxa[rulebook.root]
    return Determination(
        scientific_name=root.name,
        authorship=root.authorship,
        rank=root.rank,
        qualifier=qualifier,
        taxon=node.id,
        components=((root.name, root.authorship, root.rank),),
    )


def lower_unresolved(name: Name, rulebook: Rulebook) -> Determination:
    """Lower a hybrid claim that lies beyond the rulebook, or a name with several meanings.

    A cross with another genus goes to the family, since no genus holds it; anything else to the
    lowest node that holds all it may mean.
    """
    doubt = f"cf. {_without_genus(name.scientific_name)}" if name.scientific_name else ""
    if name.scientific_name.startswith("×"):
        return Determination(
            scientific_name=rulebook.family,
            rank="family",
            qualifier=f"cf. {name.scientific_name}",
            components=((rulebook.family, "", "family"),),
        )
    meant = frozenset(taxon for taxon in name.candidates if taxon in rulebook.taxa)
    if meant and not name.cross:
        node = rulebook.taxa[rulebook.lowest_node_above(meant)]
        if node.usable:
            return keep(node, "", rulebook)
        return _as_genus(node, node.label, rulebook)
    return _as_genus(rulebook.taxa[rulebook.root], doubt, rulebook)


def _without_genus(name: str) -> str:
    return name.partition(" ")[2] or name


def _short(claim: Taxon, rulebook: Rulebook) -> str:
    """`× grandis`, or `fuchsii × kerryensis` where the cross has no epithet."""
    return _without_genus(rulebook.written(claim.id))


def _components(taxon: Taxon, rulebook: Rulebook) -> tuple[Component, ...]:
    """The taxa of dwc:taxonFormula: a hybrid's parents, alphabetical, else the taxon itself."""
    values = sorted((rulebook.taxa[p] for p in taxon.parents), key=lambda t: t.name) or [taxon]
    return tuple((v.name, v.authorship, v.rank) for v in values)
