"""Where each submitted term goes, and what becomes of those that have no column of their own."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from typing import Any

from crossproof.coding import cross
from crossproof.darwincore.columns import filled, in_use
from crossproof.darwincore.history import Histories, Identification
from crossproof.model import Claim, Coded, Judged

# What `Claim` and `Judged.ids` carry; a submission's own column of it says nothing more.
CLAIMED = frozenset(
    [
        "occurrenceID",
        "verbatimIdentification",
        "identifiedBy",
        "dateIdentified",
        "identificationQualifier",
        "identificationRemarks",
        "previousIdentifications",
        "identificationVerificationStatus",
    ]
)
USUAL_BASIS = "HumanObservation"  # where nothing else is said
_STATUS = {"present": "detected", "absent": "notDetected"}


def in_words(status: str, like: str) -> str:
    """dwc:occurrenceStatus in the vocabulary that `like` is of; other texts stay as they are.

    `present` and `absent` are the older words, `detected` and `notDetected` those of the term list
    of 2026-05-26; the archive's readers know the former, the data package asks for the latter.
    """
    new = like in _STATUS.values()
    other = _STATUS if new else {word: old for old, word in _STATUS.items()}
    return other.get(status, status)


def sort_given(
    judged: Judged, places: Collection[str], ours: Collection[str]
) -> tuple[dict[str, Coded[str]], dict[str, Coded[str]]]:
    """Part the terms given into those that get a column in `places` and those that don't.

    A term that the location or event also has, or that stands in a column of `ours`, gets none.
    """
    taken = {*filled(judged.where), *filled(judged.when)}
    kept: dict[str, Coded[str]] = {}
    homeless: dict[str, Coded[str]] = {}
    for term, coded in judged.given.items():
        if term in CLAIMED or not any(in_use(coded)):
            continue
        fits = term in places and term not in taken and term not in ours
        (kept if fits else homeless)[term] = coded
    return kept, homeless


def repeats(term: str, text: str, told: tuple[Identification, ...], claim: Claim) -> bool:
    """Whether a term that we write ourselves was submitted with what the record says anyway."""
    accepted = told[-1]
    said = {
        "scientificName": (claim.words, claim.name.scientific_name, accepted.name),
        "scientificNameAuthorship": (claim.name.authorship, accepted.authorship),
        "taxonRank": (claim.name.rank, accepted.rank),
        "identificationType": (accepted.kind,),
        "taxonFormula": (accepted.formula,),
        "taxonRemarks": (accepted.parents,),
        "basisOfRecord": (USUAL_BASIS,),
    }
    return text in said.get(term, ()) or (term == "scientificName" and text == accepted.full_name)


def extra(judged: Judged, homeless: Mapping[str, Coded[str]], told: Histories) -> Coded[str]:
    """dwc:dynamicProperties: the rest of the row, and the homeless terms, as one JSON object."""
    if not homeless:
        return judged.extra
    names = list(homeless)

    def merge(value: tuple[Any, ...]) -> str:
        rest, history, claim, *texts = value
        more = {
            name: text
            for name, text in zip(names, texts, strict=True)
            if text and not repeats(name, text, history, claim)
        }
        if not more:
            return str(rest)
        return json.dumps({**more, **(json.loads(rest) if rest else {})}, ensure_ascii=False)

    return cross(judged.extra, told, judged.claims, *homeless.values()).map(merge)
