"""Say again in `eml.xml` what an archive's or a package's records cover, from their table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from crossproof.darwincore.coverage import Coverage
from crossproof.darwincore.eml import _coverage
from crossproof.darwincore.metadata import DatasetMetadata


def coverage_of(rows: Iterable[Mapping[str, str]]) -> Coverage:
    """What the rows of an archive's `occurrence.csv` cover."""
    found = Coverage()
    for row in rows:
        found._place(row.get("decimalLatitude", ""), row.get("decimalLongitude", ""))
        found._date(row.get("eventDate", ""))
        if row["scientificName"]:
            author = row["scientificNameAuthorship"]
            name = row["scientificName"].removesuffix(f" {author}" if author else "")
            found.taxa.add((row["taxonRank"], name))
    return found


def cover(eml: Path, target: Path, coverage: Coverage) -> None:
    """Write `eml` to `target` with another coverage, and all else as it is."""
    from lxml import etree

    # Written by this program, and read without entities all the same.
    parser = etree.XMLParser(remove_blank_text=True, resolve_entities=False)
    root = etree.parse(str(eml), parser).getroot()
    dataset = root.find("dataset")
    old = dataset.find("coverage") if dataset is not None else None
    if old is not None and dataset is not None:
        words = old.findtext("geographicCoverage/geographicDescription", "")
        holder = etree.Element("holder")
        _coverage(holder, DatasetMetadata(place=words), coverage)
        for new in holder:
            dataset.replace(old, new)
            break
        else:
            dataset.remove(old)
    etree.indent(root)
    target.write_bytes(etree.tostring(root, xml_declaration=True, encoding="UTF-8") + b"\n")
