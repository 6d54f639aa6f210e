"""Read a Darwin Core archive by its meta.xml, zipped or as a folder."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing
from dataclasses import replace
from itertools import chain, islice
from pathlib import Path
from typing import BinaryIO, TextIO

from crossproof.findings import Finding, finding
from crossproof.model import Chunk
from crossproof.read import own
from crossproof.read.encoding import Encoding, detect
from crossproof.read.errors import Unreadable
from crossproof.read.extensions import Pairs, Reduce, Store, joined, reducer
from crossproof.read.headings import Recogniser, local_name
from crossproof.read.meta import Column, DataFile, parse
from crossproof.read.rows import Row, head, needs_mapped, needs_plant, pour
from crossproof.read.safezip import open_zip

Opener = Callable[[str], BinaryIO]


def read_folder(
    path: Path, recogniser: Recogniser, rows: int, *, alone: bool = False
) -> Iterator[Chunk]:
    """Read the archive in a folder. `alone` and Unreadable are as for `read_zip`."""

    def opener(name: str) -> BinaryIO:
        file = (path / name).resolve()
        if not file.is_relative_to(path.resolve()):
            raise Unreadable(f"{path.name}: {name!r} is a link that leads out of the archive.")
        return file.open("rb")

    yield from _read(opener, path.name, recogniser, rows, alone)


def read_zip(
    path: Path, recogniser: Recogniser, rows: int, *, alone: bool = False
) -> Iterator[Chunk]:
    """Read a zipped archive without unpacking it.

    With `alone` the occurrences stand as they are: nothing that extensions say of them is put
    beside them, and what this project made of a claim is not taken back to it.

    Raises:
        Unreadable: unsafe, damaged, no occurrences in it, or no term that names the plant.
    """
    with open_zip(path) as archive:
        inside = min((n for n in archive.namelist() if n.endswith("meta.xml")), key=len)
        prefix = inside.removesuffix("meta.xml")

        def opener(name: str) -> BinaryIO:
            return archive.open(prefix + name)  # type: ignore[return-value]

        yield from _read(opener, path.name, recogniser, rows, alone)


def _read(
    opener: Opener, name: str, recogniser: Recogniser, rows: int, alone: bool
) -> Iterator[Chunk]:
    with opener("meta.xml") as file:
        core, *extensions = parse(file.read(4 * 2**20 + 1), name)
    records = next((f for f in (core, *extensions) if f.kind == "Occurrence"), None)
    if records is None:
        raise Unreadable(
            f"{name} holds no occurrences (its core is {core.kind or 'not said'}); "
            "give an archive with an Occurrence core or extension."
        )
    others = [] if alone else [other for other in extensions if other is not records]
    with closing(Store()) as store:
        findings = list(_load(store, opener, name, records, core, others, recogniser))
        yield from _records(opener, name, records, store, findings, recogniser, rows, alone)


def _load(
    store: Store,
    opener: Opener,
    name: str,
    records: DataFile,
    core: DataFile,
    others: Sequence[DataFile],
    recogniser: Recogniser,
) -> Iterator[Finding]:
    """Put what the other tables say of the records into the store."""
    if not records.is_core:  # an event core: its terms hold for each of its occurrences
        store.add(_reduced(opener, name, core, lambda _, row: row.items()))
    for other in sorted(others, key=lambda other: other.kind != "Identification"):
        reduce = reducer(other.kind, recogniser, ours=own.CLAIM in store.hidden)
        # Extensions of an event core speak of events, which have no leaves.
        if reduce and records.is_core:
            store.add(_reduced(opener, name, other, reduce))
        else:
            yield finding(
                "sheet_skipped",
                f"the extension {other.kind} ({', '.join(other.locations)}) was not read",
                file=name,
                remedy="Put what matters of it into the occurrences' own terms.",
            )
    store.index()


def _reduced(
    opener: Opener, name: str, table: DataFile, reduce: Reduce
) -> Iterator[tuple[str, Pairs]]:
    key = table.id_index or 0
    for location in table.locations:
        with _text(opener, name, table, location)[0] as file:
            for row in islice(_rows(file, table, name), table.header_lines, None):
                if len(row) > key:
                    yield (
                        row[key],
                        reduce(
                            row[key], {local_name(c.term): _cell(row, c) for c in table.columns}
                        ),
                    )


def _cell(row: Row, column: Column) -> str:
    if column.index is None or column.index >= len(row):
        return column.default
    return row[column.index] or column.default


def _records(
    opener: Opener,
    name: str,
    table: DataFile,
    store: Store,
    findings: Sequence[Finding],
    recogniser: Recogniser,
    rows: int,
    alone: bool,
) -> Iterator[Chunk]:
    for location in table.locations:
        place = f"{name}/{location}"
        stream, encoding = _text(opener, name, table, location)
        with stream as file:
            body = _rows(file, table, place)
            above = list(islice(body, table.header_lines))
            first = next(body, None)
            body = chain([] if first is None else [first], body)
            headings = _headings(table, above[-1] if above else first or ())
            width = len(headings)
            constant = [c for c in table.columns if c.index is None]
            headings += [local_name(c.term) for c in constant]
            added = [column for column in store.columns if column not in headings]
            added += sorted(store.claimed.difference(headings, added))
            found = head([*headings, *added], table.header_lines, recogniser, file=place)
            needs_plant([found], place)
            if encoding.assumed:
                said = f"meta.xml says {table.encoding}, but it was read as {encoding.assumed}"
                findings = [*findings, finding("encoding_assumed", said, file=place)]
            ours = own.CLAIM in store.hidden
            more = store.characters | ({"photo"} if own.PHOTO in store.hidden else set())
            texts: Iterable[str] = ()
            if not alone:
                texts = _column(opener, name, table, location, own.PROPERTIES)
            properties = own.Properties.of(texts, found.table, recogniser, more, ours=ours)
            whole = replace(found, table=properties.complete(found.table))
            needs_mapped([whole], recogniser, place)
            for chunk in pour(
                found.table,
                body,
                number=table.header_lines + 1,
                size=rows,
                width=width,
                named=width,
                findings=[*findings, *found.findings],
                mend=not encoding.sound,
            ):
                yield from _completed(chunk, table, constant, store, width, properties)
            findings = []


def _headings(table: DataFile, fallback: Row) -> list[str]:
    """A heading for every column of the file: its term, or else what its header line says."""
    terms = {c.index: local_name(c.term) for c in table.columns if c.index is not None}
    if table.id_index is not None and table.id_index not in terms:
        key = "occurrenceID" if table.is_core else "eventID"
        terms[table.id_index] = "id" if key in terms.values() else key
    width = max([len(fallback), *(index + 1 for index in terms)])
    header = fallback if table.header_lines else ()
    return [
        terms.get(index, header[index] if index < len(header) else "") for index in range(width)
    ]


def _column(opener: Opener, name: str, table: DataFile, location: str, term: str) -> Iterator[str]:
    """All cells of one column of a table."""
    place = next((c.index for c in table.columns if local_name(c.term) == term), None)
    if place is None:
        return
    with _text(opener, name, table, location)[0] as file:
        for row in islice(_rows(file, table, name), table.header_lines, None):
            if len(row) > place:
                yield row[place]


def _completed(
    chunk: Chunk,
    table: DataFile,
    constant: Sequence[Column],
    store: Store,
    width: int,
    properties: own.Properties,
) -> Iterator[Chunk]:
    """Fill in defaults, and put beside each record what the other tables say of it."""
    columns = [*chunk.columns[:width]]
    for column in table.columns:
        if column.default and column.index is not None:
            columns[column.index] = [cell or column.default for cell in columns[column.index]]
    columns += [[column.default] * len(chunk) for column in constant]
    headings = chunk.table.headings
    columns += [[""] * len(chunk)] * (len(headings) - len(columns))
    ids = columns[table.id_index] if table.id_index is not None else []
    said = store.of(ids) if ids else {}
    hidden = {place: said.pop(place) for place in store.hidden if place in said}
    if said:
        record = {
            term: columns[headings.index(term)]
            for term in ("scientificName", "verbatimIdentification", "identifiedBy")
            if term in headings
        }
        for place, told in said.items():
            index = headings.index(place)
            columns[index] = [
                given
                if key not in told or (given and not table.is_core)  # its own, not its event's
                else joined(place, given, told[key], {t: c[i] for t, c in record.items()})
                for i, (key, given) in enumerate(zip(ids, columns[index], strict=True))
            ]
    columns += [[""] * len(chunk)] * len(properties.headings)
    whole = Chunk(
        properties.complete(chunk.table), chunk.numbers, columns, chunk.broken, chunk.findings
    )
    for part in properties.spread(whole):
        yield own.restore(part, part.columns[table.id_index] if ids else (), hidden)  # type: ignore[index]


def _text(opener: Opener, name: str, table: DataFile, location: str) -> tuple[TextIO, Encoding]:
    """Open a table as text, in the encoding that meta.xml names unless its bytes say otherwise."""
    try:
        if table.encoding.replace("-", "").casefold() in ("utf8", "ascii", "usascii"):
            encoding = detect(lambda: opener(location))
        else:
            encoding = Encoding(table.encoding)
        newline = table.newline if table.newline in ("\n", "\r", "\r\n") else None
        if newline is None:
            raise Unreadable(
                f"{name}: meta.xml ends the lines of {location} with {table.newline!r}, which is "
                "not supported; end them with a line feed."
            )
        # Quoted cells are csv's to read, with any line ending; unquoted lines end as declared.
        stream = io.TextIOWrapper(
            opener(location),
            encoding.codec,
            encoding.errors,
            newline="" if table.quote else newline,
        )
    except (KeyError, FileNotFoundError):
        raise Unreadable(
            f"{name}: meta.xml names a file {location!r} that is not in the archive; add it."
        ) from None
    except LookupError:
        raise Unreadable(
            f"{name}: meta.xml names an unknown encoding {table.encoding!r}."
        ) from None
    return stream, encoding


def _rows(file: TextIO, table: DataFile, place: str) -> Iterator[Row]:
    if len(table.delimiter) != 1 or len(table.quote) > 1:
        raise Unreadable(
            f"{place}: meta.xml separates cells with {table.delimiter!r} and encloses them in "
            f"{table.quote!r}; one character of each is supported."
        )
    try:
        if table.quote:
            yield from csv.reader(file, delimiter=table.delimiter, quotechar=table.quote)
        else:
            for line in file:
                line = line.rstrip("\r\n")
                yield line.split(table.delimiter) if line else []
    except (csv.Error, UnicodeDecodeError) as error:
        raise Unreadable(
            f"{place} is not as meta.xml describes it ({error}); write the archive again."
        ) from None
