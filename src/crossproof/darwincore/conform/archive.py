"""The rules of the Darwin Core text guide (TDWG, 2023-09-13) for archives."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from crossproof.darwincore.conform.eml import XmlError, check_eml, line_of, parse
from crossproof.darwincore.conform.problem import Problem
from crossproof.darwincore.terms import AC, DCTERMS, DWC, standing
from crossproof.long_cells import reader
from crossproof.resources import folder as resources

if TYPE_CHECKING:
    from lxml.etree import _Element

META = "meta.xml"
_TEXT = "{http://rs.tdwg.org/dwc/text/}"
_ESCAPES = {r"\t": "\t", r"\n": "\n", r"\r": "\r", r"\r\n": "\r\n"}
_REQUIRED = {
    f"{DWC}Occurrence": f"{DWC}basisOfRecord",
    f"{DWC}MeasurementOrFact": f"{DWC}measurementType",
    f"{AC}Multimedia": f"{DCTERMS}identifier",
}


@dataclass(frozen=True, slots=True)
class _File:
    """A core or an extension, as meta.xml describes it."""

    element: _Element
    is_core: bool
    row_type: str
    locations: tuple[str, ...]
    key: int  # the column of the id or coreid, -1 where there is none
    fields: tuple[tuple[int, str, bool, int], ...]  # (index or -1, term, has default, line)
    delimiter: str
    quote: str
    headings: int
    encoding: str

    @property
    def columns(self) -> int:
        """How many columns a row has at least."""
        return max([self.key, *(index for index, *_ in self.fields)]) + 1


def check_archive(folder: Path) -> Iterator[Problem]:
    """Problems of an unpacked archive: of meta.xml, of the metadata, of the rows."""
    try:
        root = parse(folder / META)
    except XmlError as error:
        yield Problem(rule="meta-xml", file=META, line=error.line, message=str(error))
        return
    invalid = list(_schema(root))
    yield from invalid
    if invalid:
        return
    yield from _metadata(folder, root)
    files = [_described(element) for element in root if str(element.tag).startswith(_TEXT)]
    for file in files:
        yield from _core_id(file, files)
        yield from _separators(file)
        yield from _terms(file)
        yield from _locations(file, folder)
    known: set[str] = set()
    for file in sorted(files, key=lambda file: not file.is_core):
        yield from _rows(file, folder, known, keyed=files[0].key >= 0)


def _problem(rule: str, element: _Element, message: str) -> Problem:
    return Problem(rule=rule, file=META, line=line_of(element), message=message)


def _schema(root: _Element) -> Iterator[Problem]:
    from lxml import etree

    # Its two imports are not followed: it uses no component of either.
    path = resources("schemas") / "tdwg_dwc_text.xsd"
    schema = etree.XMLSchema(etree.parse(str(path), etree.XMLParser(no_network=True)))
    if not schema.validate(root.getroottree()):
        for error in list(schema.error_log):  # type: ignore[call-overload]
            yield Problem(rule="meta-schema", file=META, line=error.line, message=error.message)


def _described(element: _Element) -> _File:
    is_core = element.tag == f"{_TEXT}core"
    key = element.find(f"{_TEXT}id" if is_core else f"{_TEXT}coreid")
    return _File(
        element=element,
        is_core=is_core,
        row_type=element.get("rowType", ""),
        locations=tuple(
            (location.text or "").strip()
            for location in element.findall(f"{_TEXT}files/{_TEXT}location")
        ),
        key=-1 if key is None else int(key.get("index", "-1")),
        fields=tuple(
            (
                int(field.get("index", "-1")),
                field.get("term", ""),
                field.get("default") is not None,
                line_of(field),
            )
            for field in element.findall(f"{_TEXT}field")
        ),
        delimiter=_unescaped(element.get("fieldsTerminatedBy", ",")),
        quote=_unescaped(element.get("fieldsEnclosedBy", '"')),
        headings=int(element.get("ignoreHeaderLines", "0")),
        encoding=element.get("encoding", "UTF-8"),
    )


def _unescaped(text: str) -> str:
    return _ESCAPES.get(text, text)


def _metadata(folder: Path, root: _Element) -> Iterator[Problem]:
    name = root.get("metadata", "")
    if not name or "://" in name:
        return
    path = folder / name
    if not _inside(folder, path) or not path.is_file():
        yield _problem("metadata-missing", root, f"the metadata document {name!r} is not there")
    else:
        yield from check_eml(path)


def _inside(folder: Path, path: Path) -> bool:
    return path.resolve().is_relative_to(folder.resolve())


def _core_id(file: _File, files: list[_File]) -> Iterator[Problem]:
    if file.is_core and file.key < 0 and len(files) > 1:
        yield _problem("core-id", file.element, "there are extensions, but the core has no <id>")


def _separators(file: _File) -> Iterator[Problem]:
    if len(file.delimiter) != 1:
        message = f"fieldsTerminatedBy is {file.delimiter!r}, not one character"
        yield _problem("separator", file.element, message)
    if len(file.quote) > 1:
        message = f"fieldsEnclosedBy is {file.quote!r}, not one character or none"
        yield _problem("separator", file.element, message)


def _terms(file: _File) -> Iterator[Problem]:
    seen: set[str] = set()
    for index, term, has_default, line in file.fields:
        if index < 0 and not has_default:
            message = f"the field {term} has neither an index nor a default"
            yield Problem(rule="field-index", file=META, line=line, message=message)
        if term in seen:
            message = f"{term} stands in two fields of {', '.join(file.locations)}"
            yield Problem(rule="term-twice", file=META, line=line, message=message)
        seen.add(term)
        if standing(term) == "not current":
            message = f"{term} is not a current term; it is misspelt, or no longer recommended"
            yield Problem(rule="term-not-current", file=META, line=line, message=message)
    if file.row_type.startswith(DWC) and standing(file.row_type) == "not current":
        message = f"the row type {file.row_type} is not a current class"
        yield _problem("term-not-current", file.element, message)
    required = _REQUIRED.get(file.row_type)
    if required and required not in seen:
        yield _problem("term-required", file.element, f"there is no field for {required}")


def _locations(file: _File, folder: Path) -> Iterator[Problem]:
    for name in file.locations:
        path = folder / name
        if not _inside(folder, path):
            yield _problem("file-missing", file.element, f"{name!r} lies outside the archive")
        elif not path.is_file():
            yield _problem("file-missing", file.element, f"there is no file {name!r}")


def _rows(file: _File, folder: Path, known: set[str], *, keyed: bool) -> Iterator[Problem]:
    """Problems of a file's rows. A core adds its ids to `known`; `keyed` says if cores have any."""
    if len(file.delimiter) != 1 or len(file.quote) > 1:
        return
    for name in file.locations:
        path = folder / name
        if not _inside(folder, path) or not path.is_file():
            continue
        try:
            yield from _table(file, path, known, keyed)
        except (UnicodeDecodeError, LookupError) as error:
            message = f"it is not in the encoding {file.encoding}: {error}"
            yield Problem(rule="encoding", file=name, message=message)
        except csv.Error as error:
            yield Problem(rule="row-short", file=name, message=f"it cannot be read: {error}")


def _table(file: _File, path: Path, known: set[str], keyed: bool) -> Iterator[Problem]:
    with path.open(encoding=file.encoding, newline="") as text:
        rows = reader(
            text,
            delimiter=file.delimiter,
            quotechar=file.quote or None,
            quoting=csv.QUOTE_MINIMAL if file.quote else csv.QUOTE_NONE,
        )
        end = 0
        for number, row in enumerate(rows, 1):
            line, end = end + 1, rows.line_num
            if number <= file.headings or not row:
                continue
            if len(row) < file.columns:
                message = f"the row has {len(row)} cells, but meta.xml speaks of {file.columns}"
                yield Problem(rule="row-short", file=path.name, line=line, message=message)
                continue
            if file.key >= 0:
                yield from _key(file, row[file.key], known, keyed, path.name, line)


def _key(
    file: _File, key: str, known: set[str], keyed: bool, name: str, line: int
) -> Iterator[Problem]:
    if not key:
        what = "id" if file.is_core else "id of its record"
        yield Problem(rule="id-empty", file=name, line=line, message=f"the row has no {what}")
    elif not file.is_core:
        if keyed and key not in known:
            message = f"there is no record {key!r} in the core"
            yield Problem(rule="coreid-unknown", file=name, line=line, message=message)
    elif key in known:
        message = f"the id {key!r} has stood above"
        yield Problem(rule="id-twice", file=name, line=line, message=message)
    else:
        known.add(key)
