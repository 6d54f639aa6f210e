"""The pieces that EML 2.2.0 asks of every document. Its XML schema is not shipped here."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from crossproof.darwincore.conform.problem import Problem

if TYPE_CHECKING:
    from lxml.etree import _Element


class XmlError(ValueError):
    """The XML cannot be read; `line` counts from 1."""

    def __init__(self, message: str, line: int) -> None:
        super().__init__(message)
        self.line = line


def parse(path: Path) -> _Element:
    """Parse without network, entities or a document type.

    Raises:
        XmlError: it is not well-formed, or has a document type.
    """
    from lxml import etree

    parser = etree.XMLParser(no_network=True, resolve_entities=False, load_dtd=False)
    try:
        root = etree.parse(str(path), parser).getroot()
    except etree.XMLSyntaxError as error:
        raise XmlError(f"not well-formed: {error.msg}", error.lineno or 0) from error
    except OSError as error:
        raise XmlError(f"it cannot be read: {error}", 0) from error
    if getattr(root.getroottree().docinfo, "doctype", ""):
        raise XmlError("it has a document type (DOCTYPE), which is refused as unsafe", 1)
    return root


def line_of(element: _Element) -> int:
    """The line an element starts on, 0 where that is not known."""
    return int(getattr(element, "sourceline", 0) or 0)


def check_eml(path: Path) -> Iterator[Problem]:
    """Problems of an EML document."""
    try:
        root = parse(path)
    except XmlError as error:
        yield Problem(rule="eml", file=path.name, line=error.line, message=str(error))
        return

    def problem(element: _Element, message: str) -> Problem:
        return Problem(rule="eml", file=path.name, line=line_of(element), message=message)

    name = str(root.tag)
    if not name.startswith(("{https://eml.ecoinformatics.org/", "{eml://ecoinformatics.org/")):
        yield problem(root, f"the root element is {name}, not eml:eml")
        return
    for attribute in ("packageId", "system"):
        if not root.get(attribute):
            yield problem(root, f"<eml:eml> has no {attribute}")
    dataset = root.find("dataset")
    if dataset is None:
        yield problem(root, "there is no <dataset>")
        return
    for tag in ("title", "creator", "contact"):
        found = dataset.find(tag)
        if found is None or not "".join(map(str, found.itertext())).strip():
            yield problem(dataset, f"<dataset> has no <{tag}>, or an empty one")
