"""The current terms of Darwin Core, Dublin Core and Audiovisual Core (see `terms.json`)."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any, Literal

from crossproof.resources import folder

DWC = "http://rs.tdwg.org/dwc/terms/"
DCTERMS = "http://purl.org/dc/terms/"
DC = "http://purl.org/dc/elements/1.1/"
AC = "http://rs.tdwg.org/ac/terms/"
SUBJECT_PARTS = "http://rs.tdwg.org/acpart/values/"

Standing = Literal["current", "not current", "not known here"]


@cache
def _lists() -> dict[str, Any]:
    path = Path(__file__).with_name("terms.json")
    lists: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return lists


@cache
def current() -> frozenset[str]:
    """The IRIs of all current terms of the four namespaces."""
    lists = _lists()
    return frozenset(
        [term["iri"] for term in lists["darwin_core"].values()]
        + [DCTERMS + name for name in lists["dublin_core_terms"]]
        + [DC + name for name in lists["dublin_core_elements"]]
        + [AC + name for name in lists["audiovisual_core"]]
    )


def standing(iri: str) -> Standing:
    """Whether an IRI is a current term; other namespaces than the four are not known here."""
    if iri in current():
        return "current"
    ours = iri.startswith((DWC, DCTERMS, DC, AC))
    return "not current" if ours else "not known here"


@cache
def taxon_terms() -> frozenset[str]:
    """The names of the properties of dwc:Taxon."""
    return frozenset(
        name
        for name, term in _lists()["darwin_core"].items()
        if term["class"] == "Taxon" and term["kind"] == "property"
    )


@cache
def subject_parts() -> dict[str, str]:
    """Audiovisual Core's words for parts (`leaf`, `inflorescence` …) and their IRIs."""
    return {word: SUBJECT_PARTS + name for word, name in _lists()["subject_parts"].items()}


@cache
def schema(family: Literal["dwca", "dwc-dp"], table: str) -> dict[str, Any]:
    """The Table Schema of one of the tables written.

    Raises:
        FileNotFoundError: there is no such table.
    """
    path = folder("schemas") / family / f"{table}.json"
    value: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return value


@cache
def fields(family: Literal["dwca", "dwc-dp"], table: str) -> tuple[str, ...]:
    """The names of the fields of one of the tables written, in the schema's order."""
    return tuple(field["name"] for field in schema(family, table)["fields"])
