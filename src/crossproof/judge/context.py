"""What lies around a plant: season, range, soil and parents near by."""

from __future__ import annotations

from collections.abc import Mapping

from crossproof.judge.weigh import Weighed
from crossproof.model import Case, Point
from crossproof.rulebooks.model import Rulebook, Taxon


def season(case: Case, taxon: Taxon) -> Point | None:
    """A point where none of the months the date may lie in is one the plant flowers in."""
    if not taxon.months or not case.months or case.months & taxon.months:
        return None
    months = ", ".join(str(month) for month in sorted(taxon.months))
    return Point("season", "note", f"dated outside its flowering months ({months})")


def parents(case: Case) -> Point | None:
    if case.parents in ("one", "none"):
        found = "only one parent" if case.parents == "one" else "neither parent"
        return Point("parents", "note", f"{found} was found near by; a hybrid can outlast a parent")
    return None


def out_of_range(case: Case, taxon: Taxon, rulebook: Rulebook) -> Point | None:
    """A point where the cross or one of its parents does not grow where the record lies."""
    for value in (taxon, *(rulebook.taxa[parent] for parent in taxon.parents)):
        for region in value.absent_from:
            if region in case.mentions:
                name = rulebook.written(value.id)
                return Point("range", "undecided", f"{name} is not known from {region}")
    return None


def soil(
    case: Case, taxon: Taxon, weighed: Mapping[str, Weighed], rulebook: Rulebook
) -> Point | None:
    """A point where the soil brings another parent in.

    It is a note, unless nothing stated speaks for the claim's own parent; then it leaves the claim
    undecided.
    """
    rule = rulebook.soil
    if rule is None or rule.mention not in case.mentions:
        return None
    if rule.instead_of not in taxon.parents or rule.brings in taxon.parents:
        return None
    spoken_for = case.parents == "both" or any(
        set(weighed[character].states) & set(states)
        for character, states in rule.spoken_for_by.items()
        if character in weighed
    )
    return Point("soil", "note" if spoken_for else "undecided", rule.why)
