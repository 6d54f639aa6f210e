"""Names of taxa held against their own parts, and identifiers of names against their syntax."""

from __future__ import annotations

import re

from .polynomial import polynomial
from .registry import implements
from .response import Response, internal, verdict
from .values import is_empty


@implements("17f03f1f-f74d-40c0-8071-2927cfc9487b")
def polynomial_consistent(name: str, genus: str, species: str, infraspecific: str) -> Response:
    """Hold the parts given to the name; its rank marks, qualifiers and authors play no part."""
    if is_empty(name):
        return internal("dwc:scientificName is empty")
    if all(map(is_empty, (genus, species, infraspecific))):
        return internal("dwc:genericName and both epithets are empty")
    parts = polynomial(name)
    given = (
        ("dwc:genericName", genus, parts.genus),
        ("dwc:specificEpithet", species, parts.species),
        ("dwc:infraspecificEpithet", infraspecific, parts.infraspecific),
    )
    for term, value, expected in given:
        if not is_empty(value) and _unmarked(value) != expected:
            return verdict(False, "", f"{term} does not agree with dwc:scientificName")
    return verdict(True, "the parts given agree with dwc:scientificName", "")


def _unmarked(part: str) -> str:
    """Take the sign of a hybrid off a part: `×grandis` and `grandis` are one epithet."""
    return re.sub(r"^(?:× ?|x )", "", part)


_LSID = r"urn:lsid:[a-z0-9-]+(?:\.[a-z0-9-]+)*:[^\s:]+:[^\s:]+(?::[^\s:]+)?"
_URN = r"urn:(?!urn:)[a-z0-9][a-z0-9-]{0,30}[a-z0-9]:[^\s#?]+\S*"  # RFC 8141: NID and NSS
_URI = r"[a-z][a-z0-9+.-]*://(?:[^\s/?#@]*@)?[^\s/?#@:]+(?::[0-9]+)?/[^\s?#]+\S*"  # host and path
_SCOPED = r"(?!(?:urn|https?|ftps?|file):)[a-z][a-z0-9+._-]*:(?!//)[^\s:]\S*"
_IDENTIFIER = re.compile("|".join((_LSID, _URN, _URI, _SCOPED)), re.IGNORECASE)


@implements("6eeac3ed-f691-457f-a42e-eaa9c8a71ce8")
def scientificnameid_complete(identifier: str) -> Response:
    if is_empty(identifier):
        return internal("dwc:scientificNameID is empty")
    return verdict(
        _IDENTIFIER.fullmatch(identifier) is not None,
        "dwc:scientificNameID is an LSID, a URN, a URI with host and path, or scope:value",
        "dwc:scientificNameID is no LSID, URN, URI with host and path, nor scope:value",
    )
