"""Terms with a small vocabulary: is the value in it, and what does it stand for."""

from __future__ import annotations

import re

from .registry import AUTHORITY, Settings, implements
from .response import Response, amended, filled_in, internal, not_amended, verdict
from .values import is_empty, trim
from .vocabulary import Vocabulary, chosen, fold, vocabulary

# Term, vocabulary, GUID of the validation, GUID of the amendment.
_TERMS = (
    (
        "dwc:basisOfRecord",
        "basisOfRecord",
        "42408a00-bf71-4892-a399-4325e2bc1fb8",
        "07c28ace-561a-476e-a9b9-3d5ad6e35933",
    ),
    (
        "dc:type",
        "dcType",
        "cdaabb0d-a863-49d0-bc0f-738d771acba5",
        "bd385eeb-44a2-464b-a503-7abe407ef904",
    ),
    (
        "dwc:occurrenceStatus",
        "occurrenceStatus",
        "7af25f1e-a4e2-4ff4-b161-d1f25a5c3e47",
        "f8f3a093-042c-47a3-971a-a482aaaf3b75",
    ),
    (
        "dwc:sex",
        "sex",
        "88d8598b-3318-483d-9475-a5acf9887404",
        "33c45ae1-e2db-462a-a59e-7169bb01c5d6",
    ),
    (
        "dwc:taxonRank",
        "taxonRank",
        "7bdb13a4-8a51-4ee5-be7f-20693fdb183e",
        "e39098df-ef46-464c-9aef-bcdeee2a88cb",
    ),
    (
        "dwc:establishmentMeans",
        "establishmentMeans",
        "4eb48fdf-7299-4d63-9d08-246902e2857f",
        "15d15927-7a22-43f8-88d6-298f5eb45c4c",
    ),
    (
        "dwc:degreeOfEstablishment",
        "degreeOfEstablishment",
        "060e7734-607d-4737-8b2c-bfa17788bf1a",
        "74ef1034-e289-4596-b5b0-cde73796697d",
    ),
    (
        "dwc:pathway",
        "pathway",
        "5424e933-bee7-4125-839e-d8743ea69f93",
        "f9205977-f145-44f5-8cb9-e3e2e35ce908",
    ),
)


def _standard(term: str, name: str, guid: str) -> None:
    @implements(guid)
    def standard(value: str, *, settings: Settings) -> Response:
        if is_empty(value):
            return internal(f"{term} is empty")
        return verdict(
            value in chosen(name, settings.parameters[AUTHORITY]),
            f"{term} is a value of its vocabulary",
            f"{term} is not a value of its vocabulary, letter for letter",
        )


def _standardized(term: str, name: str, guid: str) -> None:
    @implements(guid)
    def standardized(value: str, *, settings: Settings) -> Response:
        if is_empty(value):
            return internal(f"{term} is empty")
        known = chosen(name, settings.parameters[AUTHORITY])
        if value in known:
            return not_amended(f"{term} is a value of its vocabulary already")
        meant = known.match(value)
        if meant is None:
            return not_amended(f"{term} cannot be matched to one value of its vocabulary")
        return amended({term: meant}, f"{term} was matched to a value of its vocabulary")


for _term, _name, _validation, _amendment in _TERMS:
    _standard(_term, _name, _validation)
    _standardized(_term, _name, _amendment)


@implements("96667a0a-ae59-446a-bbb0-b7f2b0ca6cf5")
def occurrencestatus_assumeddefault(
    status: str, count: str, quantity: str, *, settings: Settings
) -> Response:
    if not is_empty(status):
        return internal("dwc:occurrenceStatus is filled in already")
    if not is_empty(count) or not is_empty(quantity):
        return not_amended("a count or a quantity is given, which may be nought")
    default = settings.parameters["bdqval:defaultOccurrenceStatus"]
    return filled_in({"dwc:occurrenceStatus": default}, "the default occurrence status was assumed")


# --- dwc:typeStatus: the first word of each part between vertical bars ------------------------

_TYPE = "dwc:typeStatus"
_FIRST_WORD = re.compile(r"[^\s:;,.()\[\]]+")
_FIRST_WORD_ABBREVIATED = re.compile(r"[^\s:;,.()\[\]]+\.?")


@implements("4833a522-12eb-4fe0-b4cf-7f7a337a6048")
def typestatus_standard(value: str) -> Response:
    """Spaces around a bar are its own (Darwin Core recommends ` | `); outer ones are a fault."""
    if is_empty(value):
        return internal(f"{_TYPE} is empty")
    fault = trim(value) != value
    words = [_FIRST_WORD.match(part.strip(" ")) for part in value.split("|")]
    found = all(word and word[0] in vocabulary("typeStatus") for word in words)
    return verdict(
        found and not fault,
        f"each entry of {_TYPE} begins with a value of the vocabulary",
        f"an entry of {_TYPE} does not begin with a value of the vocabulary",
    )


@implements("b3471c65-b53e-453b-8282-abfa27bf1805")
def typestatus_standardized(value: str) -> Response:
    if is_empty(value):
        return internal(f"{_TYPE} is empty")
    parts = [_standard_part(part, vocabulary("typeStatus")) for part in trim(value).split("|")]
    known = [part for part in parts if part is not None]
    if len(known) < len(parts):
        return not_amended(f"an entry of {_TYPE} cannot be matched to one value of the vocabulary")
    rewritten = "|".join(known)
    if rewritten == value:
        return not_amended(f"each entry of {_TYPE} begins with a value of the vocabulary already")
    return amended({_TYPE: rewritten}, f"the first words of {_TYPE} were matched to the vocabulary")


def _standard_part(part: str, known: Vocabulary) -> str | None:
    """Put the vocabulary's value for the first word of one entry; the rest stays as it is."""
    core = trim(part)
    before, after = part[: part.index(core)], part[part.index(core) + len(core) :]
    plain, dotted = _FIRST_WORD.match(core), _FIRST_WORD_ABBREVIATED.match(core)
    if plain is None or dotted is None or not set(before + after) <= {" "}:
        return None
    if whole := known.meanings.get(fold(core)):  # a name of several words: secondary type
        return before + whole + after
    # The full stop belongs to an abbreviation, and not to a word that is whole without it.
    word = plain if fold(plain[0]) in known.meanings else dotted
    meant = known.match(word[0])
    return before + meant + core[word.end() :] + after if meant else None
