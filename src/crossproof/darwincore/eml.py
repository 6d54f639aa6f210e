"""The data set's description in the Ecological Metadata Language, version 2.2.0."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from crossproof.darwincore.coverage import Coverage
from crossproof.darwincore.metadata import NOT_STATED, DatasetMetadata, Party, dataset_id

if TYPE_CHECKING:
    from lxml.etree import _Element

NAMESPACE = "https://eml.ecoinformatics.org/eml-2.2.0"
MOST_TAXA = 2000  # a list longer than this says nothing that the table doesn't

# What XML 1.0 (section 2.2) lets into a document.
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def write_eml(
    path: Path,
    metadata: DatasetMetadata,
    coverage: Coverage,
    *,
    issued: str,
    methods: Sequence[str] = (),
) -> None:
    """Write `eml.xml`. What the metadata don't state is written as `not stated`."""
    from lxml import etree

    package = dataset_id(metadata, issued)
    root = etree.Element(
        f"{{{NAMESPACE}}}eml",
        {"packageId": _clean(package), "system": "crossproof"},
        nsmap={"eml": NAMESPACE},
    )
    dataset = etree.SubElement(root, "dataset")
    if metadata.identifier:
        _text(dataset, "alternateIdentifier", metadata.identifier)
    _text(dataset, "title", metadata.title)
    for party in metadata.creators or (Party(organisation=NOT_STATED),):
        _party(dataset, "creator", party)
    if issued:
        _text(dataset, "pubDate", issued)
    _text(dataset, "language", metadata.language)
    _paragraphs(dataset, "abstract", _split(metadata.abstract))
    if metadata.keywords:
        keywords = etree.SubElement(dataset, "keywordSet")
        for keyword in metadata.keywords:
            _text(keywords, "keyword", keyword)
    if metadata.citation:
        _paragraphs(dataset, "additionalInfo", [f"Cite as: {metadata.citation}"])
    _rights(dataset, metadata)
    if metadata.homepage:
        online = etree.SubElement(etree.SubElement(dataset, "distribution"), "online")
        _text(online, "url", metadata.homepage).set("function", "information")
    _coverage(dataset, metadata, coverage)
    if metadata.purpose:
        _paragraphs(dataset, "purpose", _split(metadata.purpose))
    for party in metadata.contacts or (Party(organisation=NOT_STATED),):
        _party(dataset, "contact", party)
    if metadata.publisher:
        _party(dataset, "publisher", metadata.publisher)
    _methods(dataset, [*metadata.methods, *methods])
    etree.indent(root)
    path.write_bytes(
        etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=False) + b"\n"
    )


def _clean(text: str) -> str:
    return _NOT_XML.sub("\ufffd", text).strip() or NOT_STATED


def _text(parent: _Element, tag: str, text: str) -> _Element:
    from lxml import etree

    element = etree.SubElement(parent, tag)
    element.text = _clean(text)
    return element


def _split(text: str) -> list[str]:
    return [part.strip() for part in re.split(r"\n\s*\n", text) if part.strip()]


def _paragraphs(parent: _Element, tag: str, paragraphs: Iterable[str]) -> None:
    from lxml import etree

    element = etree.SubElement(parent, tag)
    for paragraph in paragraphs:
        _text(element, "para", paragraph)


def _party(parent: _Element, tag: str, party: Party) -> None:
    from lxml import etree

    element = etree.SubElement(parent, tag)
    if party.surname:
        person = etree.SubElement(element, "individualName")
        if party.given_name:
            _text(person, "givenName", party.given_name)
        _text(person, "surName", party.surname)
    for name, text in (
        ("organizationName", party.organisation),
        ("positionName", party.position),
        ("electronicMailAddress", party.email),
        ("onlineUrl", party.url),
        ("userId", party.orcid),
    ):
        if text:
            child = _text(element, name, text)
            if name == "userId":
                child.set("directory", "https://orcid.org")


def _rights(dataset: _Element, metadata: DatasetMetadata) -> None:
    from lxml import etree

    licence = metadata.licence
    _paragraphs(dataset, "intellectualRights", [licence.name if licence else NOT_STATED])
    if licence:
        element = etree.SubElement(dataset, "licensed")
        _text(element, "licenseName", licence.name)
        if licence.url:
            _text(element, "url", licence.url)
        if licence.id:
            _text(element, "identifier", licence.id)


def _coverage(dataset: _Element, metadata: DatasetMetadata, coverage: Coverage) -> None:
    from lxml import etree

    if not (coverage.placed or coverage.first or coverage.taxa):
        return
    element = etree.SubElement(dataset, "coverage")
    if coverage.placed:
        place = etree.SubElement(element, "geographicCoverage")
        words = metadata.place or "The box that holds the coordinates of all records."
        _text(place, "geographicDescription", words)
        box = etree.SubElement(place, "boundingCoordinates")
        for side in ("west", "east", "north", "south"):
            _text(box, f"{side}BoundingCoordinate", format(getattr(coverage, side), ".7g"))
    if coverage.first and coverage.last:
        span = etree.SubElement(etree.SubElement(element, "temporalCoverage"), "rangeOfDates")
        for tag, day in (("beginDate", coverage.first), ("endDate", coverage.last)):
            _text(etree.SubElement(span, tag), "calendarDate", day)
    if coverage.taxa:
        taxa = etree.SubElement(element, "taxonomicCoverage")
        if len(coverage.taxa) > MOST_TAXA:
            more = f"{len(coverage.taxa)} taxa, of which {MOST_TAXA} are listed."
            _text(taxa, "generalTaxonomicCoverage", more)
        for rank, name in sorted(coverage.taxa, key=lambda taxon: taxon[::-1])[:MOST_TAXA]:
            taxon = etree.SubElement(taxa, "taxonomicClassification")
            if rank:
                _text(taxon, "taxonRankName", rank)
            _text(taxon, "taxonRankValue", name)


def _methods(dataset: _Element, steps: Sequence[str]) -> None:
    from lxml import etree

    if steps:
        methods = etree.SubElement(dataset, "methods")
        for step in steps:
            _paragraphs(etree.SubElement(methods, "methodStep"), "description", _split(step))
