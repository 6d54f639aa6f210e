"""The tests of taxon names, run against the list of taxa the user gives."""

from __future__ import annotations

from collections.abc import Mapping

from .registry import Settings, declarations, implements
from .response import Response, external, filled_in, internal, not_amended, verdict
from .taxonlist import IDENTIFIERS, RANKS, TaxonList, above
from .values import is_empty

_NO_LIST = external(
    "this test needs a list of taxa (a CSV file as bdqval:sourceAuthority), and none was given"
)

_FOUND = {
    "kingdom": "125b5493-052d-4a0d-a3e1-ed5bf792689e",
    "phylum": "eaad41c5-1d46-4917-a08b-4fd1d7ff5c0f",
    "class": "2cd6884e-3d14-4476-94f7-1191cfff309b",
    "order": "81cc974d-43cc-4c0f-a5e0-afa23b455aa3",
    "family": "3667556d-d8f5-454c-922b-af8af38f613c",
    "genus": "f2ce7d55-5b1d-426a-b00e-6d4efe3058ec",
}


def _found(rank: str, guid: str) -> None:
    @implements(guid)
    def found(name: str, *, settings: Settings) -> Response:
        if settings.taxa is None:
            return _NO_LIST
        if is_empty(name):
            return internal(f"dwc:{rank} is empty")
        return verdict(
            name in settings.taxa.at_rank[rank],
            f"the list of taxa has this {rank}",
            f"the list of taxa has no {rank} of this name",
        )


for _rank, _guid in _FOUND.items():
    _found(_rank, _guid)


@implements("3f335517-f442-4b98-b149-1e87ff16de45")
def scientificname_found(name: str, *, settings: Settings) -> Response:
    if settings.taxa is None:
        return _NO_LIST
    if is_empty(name):
        return internal("dwc:scientificName is empty")
    return verdict(
        bool(settings.taxa.named(name)),
        "the list of taxa has this name",
        "the list of taxa has no such name",
    )


_CLASSIFICATION = "2750c040-1d4a-4149-99fe-0512785f2d5f"


@implements(_CLASSIFICATION)
def classification_consistent(*higher: str, settings: Settings) -> Response:
    """Find the lowest taxon given, and hold every other to the list's own line above it."""
    if settings.taxa is None:
        return _NO_LIST
    given = {rank: name for rank, name in zip(RANKS, higher, strict=True) if not is_empty(name)}
    if not given:
        return internal("every higher taxon is empty")
    lowest = next(
        (rank for rank in reversed(RANKS) if given.get(rank) in settings.taxa.at_rank[rank]), None
    )
    agrees = lowest is not None and any(
        all(above(settings.taxa.rows[place], rank) in ("", name) for rank, name in given.items())
        for place in settings.taxa.under.get((lowest, given[lowest]), ())
    )
    return verdict(
        agrees,
        "the higher taxa agree with the list of taxa",
        "the higher taxa contradict the list of taxa, or are not in it",
    )


_UNAMBIGUOUS = "4c09f127-737b-4686-82a0-7c8e30841590"
_ID_FROM_TAXON = "431467d6-9b4b-48fa-a197-cd5379f5e889"
# What leads to a name, and what only tells namesakes apart (the specification's parts 3 and 4).
_PARTS = ("genericName", "specificEpithet", "infraspecificEpithet", "cultivarEpithet")
_TELLING = (
    *RANKS,
    "subgenus",
    "taxonID",
    "taxonConceptID",
    "scientificNameAuthorship",
    "taxonRank",
)


def _resolved(record: Mapping[str, str], taxa: TaxonList) -> list[Mapping[str, str]]:
    """Return the taxa that the name in a record, or else its parts, may mean."""
    name = record.get("scientificName", "")
    if is_empty(name):
        parts = (record.get(term, "") for term in _PARTS)
        name = " ".join(part for part in parts if not is_empty(part))
    found = taxa.named(name)
    if len(found) < 2:
        return found
    telling = {term: record[term] for term in _TELLING if not is_empty(record.get(term, ""))}
    return [
        row
        for row in found
        if all(row.get(term, "") in ("", value) for term, value in telling.items())
    ]


def _record(guid: str, values: tuple[str, ...]) -> dict[str, str]:
    terms = (term.removeprefix("dwc:") for term in declarations()[guid].inputs)
    return dict(zip(terms, values, strict=True))


_NAMING = ("scientificName", *_PARTS, "scientificNameAuthorship")


@implements(_UNAMBIGUOUS)
def taxon_unambiguous(*values: str, settings: Settings) -> Response:
    if settings.taxa is None:
        return _NO_LIST
    record = _record(_UNAMBIGUOUS, values)
    identifier = record["scientificNameID"]
    if is_empty(identifier) and all(is_empty(record[term]) for term in _NAMING):
        return internal("there is neither a name nor an identifier of one")
    if is_empty(identifier):
        found = _resolved(record, settings.taxa)
    else:
        found = settings.taxa.identified(identifier)
    return verdict(
        len(found) == 1,
        "the record leads to one taxon of the list",
        "the record leads to no taxon of the list, or to several",
    )


@implements(_ID_FROM_TAXON)
def scientificnameid_from_taxon(*values: str, settings: Settings) -> Response:
    if settings.taxa is None:
        return _NO_LIST
    record = _record(_ID_FROM_TAXON, values)
    if not is_empty(record["scientificNameID"]):
        return internal("dwc:scientificNameID is filled in already")
    if all(is_empty(record[term]) for term in _NAMING):
        return internal("there is no name to look for")
    found = _resolved(record, settings.taxa)
    identifier = (
        next((found[0][term] for term in IDENTIFIERS if found[0].get(term)), "") if found else ""
    )
    if len(found) != 1 or not identifier:
        return not_amended("the name leads to no identifier of the list, or to several: ambiguous")
    return filled_in(
        {"dwc:scientificNameID": identifier}, "the identifier comes from the list of taxa"
    )


@implements("f01fb3f9-2f7e-418b-9f51-adf50f202aea")
def scientificname_from_id(name: str, identifier: str, *, settings: Settings) -> Response:
    if settings.taxa is None:
        return _NO_LIST
    if is_empty(identifier):
        return internal("dwc:scientificNameID is empty")
    if not is_empty(name):
        return internal("dwc:scientificName is filled in already")
    found = settings.taxa.identified(identifier)
    if len(found) != 1 or not found[0].get("scientificName"):
        return not_amended("the identifier leads to no name of the list, or to several")
    return filled_in({"dwc:scientificName": found[0]["scientificName"]}, "from the list of taxa")
