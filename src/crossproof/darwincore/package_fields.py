"""The data package's fields that this project fills, and how."""

from __future__ import annotations

from functools import cache
from typing import Any

from crossproof.darwincore.history import Identification, given_references, with_lead
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
MEDIA = (
    "mediaType",
    "createDate",
    "providerManagedID",
    "accessURI",
    "comments",
    "subjectPartLiteral",
    "subjectPartIRI",
    "provenance_fk",
    "usagePolicy_fk",
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
    """The accepted name and its doubt; the reasoning stands with the identification alone."""
    told, claim = value
    accepted: Identification = told[-1]
    return [
        claim.words,
        claim.identified_by,
        claim.date_identified,
        " | ".join(given_references(accepted.references)),
        claim.verification,
        with_lead(accepted.remarks, _doubt(accepted)),
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
        with_lead(item.remarks, " | ".join(filter(None, (_doubt(item), item.reasoning)))),
        item.name,
        item.authorship,
        item.rank,
    ]


def _doubt(item: Identification) -> str:
    """The qualifier, in words: the package has no field for it."""
    said = f"Identified as {item.name} {item.qualifier}".replace("  ", " ")
    return said if item.qualifier else ""


def media_cells(photo: Photo) -> list[str]:
    """The cells of `MEDIA`."""
    iris, words = parts(photo)
    return [
        "StillImage",
        photo.created,
        managed(photo),
        address(photo),
        comment(photo),
        words,
        iris,
        shared_key("provenance", photo.creator),
        shared_key("usage-policy", photo.licence),
    ]
