"""Read meta.xml, the description of a Darwin Core archive (Darwin Core text guide)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from crossproof.read.errors import Unreadable
from crossproof.read.safezip import climbs

if TYPE_CHECKING:
    from lxml.etree import _Element

_NS = "{http://rs.tdwg.org/dwc/text/}"
MOST_BYTES = 4 * 2**20  # a description of tables is far smaller
_ESCAPES = {"\\t": "\t", "\\n": "\n", "\\r": "\r", "\\r\\n": "\r\n", "\\u0009": "\t"}


@dataclass(frozen=True, slots=True)
class Column:
    """A field of a table: the column it stands in (None: in no column), its term, its default."""

    index: int | None
    term: str
    default: str


@dataclass(frozen=True, slots=True)
class DataFile:
    """The core or an extension, as meta.xml describes it. `quote` is empty where none is used."""

    is_core: bool
    row_type: str
    locations: tuple[str, ...]
    encoding: str
    delimiter: str
    newline: str
    quote: str
    header_lines: int
    id_index: int | None
    columns: tuple[Column, ...]

    @property
    def kind(self) -> str:
        """The last part of the row type: `Occurrence`, `MeasurementOrFact` …"""
        return self.row_type.rstrip("/#").replace("#", "/").rpartition("/")[2]


def parse(document: bytes, name: str) -> tuple[DataFile, ...]:
    """Read a meta.xml: the core first, then its extensions.

    Entities are refused and nothing is fetched.

    Raises:
        Unreadable: not XML, entities in it, no core, a location that leads out of the archive.
    """
    from lxml import etree

    if len(document) > MOST_BYTES:
        raise Unreadable(f"{name}: meta.xml is larger than 4 MiB; it is no description of tables.")
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False)
    try:
        root = etree.fromstring(document, parser)
    except etree.XMLSyntaxError as error:
        raise Unreadable(f"{name}: meta.xml is not well-formed XML ({error}); mend it.") from None
    if root.getroottree().docinfo.doctype:  # type: ignore[union-attr]
        raise Unreadable(
            f"{name}: meta.xml declares a document type or entities, which are not read from "
            "strangers; take the <!DOCTYPE> out."
        )
    core = root.find(f"{_NS}core")
    if core is None:
        raise Unreadable(f"{name}: meta.xml describes no core table; write the archive again.")
    return tuple(_file(node, name) for node in (core, *root.findall(f"{_NS}extension")))


def _file(node: _Element, name: str) -> DataFile:
    locations = tuple(
        (location.text or "").strip()
        for location in node.iterfind(f"{_NS}files/{_NS}location")
        if (location.text or "").strip()
    )
    if not locations:
        raise Unreadable(f"{name}: meta.xml names no file for {node.get('rowType')}; add it.")
    for location in locations:
        if climbs(location) or "://" in location:
            raise Unreadable(
                f"{name}: meta.xml points to {location!r}, outside the archive; it was not opened."
            )
    identifier = node.find(f"{_NS}id")
    if identifier is None:
        identifier = node.find(f"{_NS}coreid")
    return DataFile(
        is_core=node.tag == f"{_NS}core",
        row_type=node.get("rowType", ""),
        locations=locations,
        encoding=node.get("encoding", "UTF-8"),
        delimiter=_sign(node.get("fieldsTerminatedBy", ",")),
        newline=_sign(node.get("linesTerminatedBy", "\n")),
        quote=_sign(node.get("fieldsEnclosedBy", '"')),
        header_lines=_number(node.get("ignoreHeaderLines", "0"), name),
        id_index=None if identifier is None else _number(identifier.get("index", "0"), name),
        columns=tuple(
            Column(
                index=None if field.get("index") is None else _number(field.get("index", ""), name),
                term=field.get("term", ""),
                default=field.get("default", ""),
            )
            for field in node.iterfind(f"{_NS}field")
        ),
    )


def _sign(text: str) -> str:
    return _ESCAPES.get(text, text)


def _number(text: str, name: str) -> int:
    if not (text.isascii() and text.isdigit()):
        raise Unreadable(f"{name}: meta.xml has {text!r} where a number belongs; mend it.")
    return int(text)
