"""Short ways to write the cases of these tests."""

from __future__ import annotations

from crossproof.judge import judge
from crossproof.model import Case, Name, Verdict
from crossproof.rulebooks.load import shipped_rulebook
from crossproof.rulebooks.model import Rulebook


def case_of(
    rulebook: Rulebook, taxon: str, stated: dict[str, str], photo: bool = True, **more: object
) -> Case:
    """A claim of `taxon` with the states of a column, and a photo unless said otherwise."""
    value = rulebook.taxa[taxon]
    kind = "hybrid" if value.is_hybrid else "species"
    written = rulebook.written(taxon)
    name = Name(
        verbatim=written,
        scientific_name=written,
        kind=kind,
        rank=value.rank,
        taxon=taxon,
        rulebook=rulebook.id,
        parents=value.parents,
    )
    return Case(
        name=name,
        evidence=tuple((c, state, "stated", "column") for c, state in stated.items()),
        photo="stated" if photo else "not_recorded",
        **more,  # type: ignore[arg-type]
    )


def verdict_on(
    group: str, taxon: str, stated: dict[str, str], photo: bool = True, **more: object
) -> Verdict:
    """The verdict by a shipped rulebook; `strict=True` takes the tiers of practice."""
    rulebook = shipped_rulebook(group)
    strict = bool(more.pop("strict", False))
    return judge(case_of(rulebook, taxon, stated, photo, **more), rulebook, strict=strict)
