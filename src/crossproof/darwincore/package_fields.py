"""The data package's fields that this project fills, and how."""

from __future__ import annotations

from functools import cache
from typing import Any

from crossproof.darwincore.history import Identification, with_lead
from crossproof.darwincore.ids import uuid5
from crossproof.darwincore.photos import address, comment, managed, parts
from crossproof.darwincore.terms import fields, taxon_terms
from crossproof.model import Photo

OCCURRENCE = (
    "verbatimIdentification",
    "identifiedBy",
    "dateIdentified",
    "identificationReferences",
    "identificationVerificationStatus",
    "identificationRemarks",
    "scientificName",
    "scientificNameAuthorship",
    "taxonRank",
)
IDENTIFICATION = (
    "identificationType",
    "verbatimIdentification",
    "isAcceptedIdentification",
    "taxonFormula",
    "identifiedBy",
    "dateIdentified",
    "identificationReferences",
    "identificationVerificationStatus",
    "identificationRemarks",
    "scientificName",
    "scientificNameAuthorship",
    "taxonRank",
)


@cache
def event_terms() -> tuple[str, ...]:
    ours = {"event_pk", "eventID", "eventCategory"}
    return tuple(name for name in fields("dwc-dp", "event") if name not in ours)


@cache
def event_columns() -> frozenset[str]:
    """The same as a set."""
    return frozenset(event_terms())


@cache
def occurrence_terms() -> tuple[str, ...]:
    ours = {"occurrence_pk", "occurrenceID", "event_fk", "occurrenceStatus", *OCCURRENCE}
    return tuple(
        name
        for name in fields("dwc-dp", "occurrence")
        if name not in ours and name not in taxon_terms()
    )


@cache
def identification_terms() -> tuple[str, ...]:
    """Terms of a submission that belong to the claim: mostly of its taxon."""
    ours = {"identification_pk", "identificationID", "occurrence_fk", *IDENTIFICATION}
    elsewhere = {*occurrence_terms(), *event_terms()}
    return tuple(
        name
        for name in fields("dwc-dp", "identification")
        if name not in ours and name not in elsewhere
    )


@cache
def places() -> frozenset[str]:
    return frozenset((*event_terms(), *occurrence_terms(), *identification_terms()))


OURS = frozenset(("eventID", "occurrenceStatus", *OCCURRENCE, *IDENTIFICATION))


def shared_key(table: str, text: str) -> str:
    return uuid5(f"{table}\x1f{text}") if text else ""


def occurrence_cells(value: tuple[Any, ...]) -> list[str]:
    told, claim = value
    accepted: Identification = told[-1]
    return [
        claim.words,
        claim.identified_by,
        claim.date_identified,
        accepted.references,
        claim.verification,
        _doubted(accepted),
        accepted.name,
        accepted.authorship,
        accepted.rank,
    ]


def identification_cells(item: Identification) -> list[str]:
    return [
        item.kind,
        item.words,
        str(item.accepted).lower(),
        item.formula,
        item.identified_by,
        item.date,
        item.references,
        item.verification,
        _doubted(item),
        item.name,
        item.authorship,
        item.rank,
    ]


def _doubted(item: Identification) -> str:
    """The remarks, with the qualifier in front of ours: the package has no field for it."""
    qualifier = f"Identified as {item.name} {item.qualifier}".replace("  ", " ")
    ours = (qualifier if item.qualifier else "", item.reasoning)
    return with_lead(item.remarks, " | ".join(part for part in ours if part))


def media_cells(photo: Photo) -> list[str]:
    iris, words = parts(photo)
    cells = {
        "mediaType": "StillImage",
        "createDate": photo.created,
        "providerManagedID": managed(photo),
        "accessURI": address(photo),
        "comments": comment(photo),
        "subjectPartLiteral": words,
        "subjectPartIRI": iris,
        "provenance_fk": shared_key("provenance", photo.creator),
        "usagePolicy_fk": shared_key("usage-policy", photo.licence),
    }
    return [cells[name] for name in fields("dwc-dp", "media")[2:]]
