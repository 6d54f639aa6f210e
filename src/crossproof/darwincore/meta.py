"""The archive's descriptor, `meta.xml`, after the Darwin Core text guide (TDWG, 2023-09-13)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

NAMESPACE = "http://rs.tdwg.org/dwc/text/"


@dataclass(frozen=True, slots=True)
class ArchiveFile:
    """A file of an archive: its row type, and the term of each column ('' where it has none).

    The first column holds the record's identifier, in the core and in the extensions.
    """

    name: str
    row_type: str
    terms: Sequence[str]


def write_meta(path: Path, core: ArchiveFile, extensions: Sequence[ArchiveFile]) -> None:
    """Write `meta.xml` for comma-separated files with one heading row and `\\n` line ends."""
    from lxml import etree

    root = etree.Element(
        f"{{{NAMESPACE}}}archive",
        {"metadata": "eml.xml"},
        nsmap={None: NAMESPACE},  # type: ignore[dict-item]  # None is lxml's default namespace
    )
    dialect: Mapping[str, str] = {
        "encoding": "UTF-8",
        "fieldsTerminatedBy": ",",
        "linesTerminatedBy": r"\n",
        "fieldsEnclosedBy": '"',
        "ignoreHeaderLines": "1",
    }
    for file in (core, *extensions):
        kind = "core" if file is core else "extension"
        element = etree.SubElement(
            root, f"{{{NAMESPACE}}}{kind}", {**dialect, "rowType": file.row_type}
        )
        files = etree.SubElement(element, f"{{{NAMESPACE}}}files")
        etree.SubElement(files, f"{{{NAMESPACE}}}location").text = file.name
        key = "id" if file is core else "coreid"
        etree.SubElement(element, f"{{{NAMESPACE}}}{key}", {"index": "0"})
        for index, term in enumerate(file.terms):
            if term:
                etree.SubElement(
                    element, f"{{{NAMESPACE}}}field", {"index": str(index), "term": term}
                )
    etree.indent(root)
    path.write_bytes(etree.tostring(root, xml_declaration=True, encoding="UTF-8") + b"\n")
