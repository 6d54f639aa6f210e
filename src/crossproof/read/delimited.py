"""Read delimited text: CSV, TSV, semicolons, pipes, in whatever encoding it came."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, islice
from typing import BinaryIO, NamedTuple, TextIO

from crossproof.findings import Finding, finding
from crossproof.model import Chunk
from crossproof.read.encoding import Encoding, detect
from crossproof.read.errors import Unreadable
from crossproof.read.headings import Recogniser
from crossproof.read.rows import (
    LOOK_AHEAD,
    Head,
    Row,
    head,
    heading_index,
    needs_mapped,
    needs_plant,
    pour,
    title_lines,
)

_SAMPLE = 1 << 16  # characters by which the separator is told
_DECLARED = re.compile(r'\ufeff?"?sep=(.)"?\r?\n?$', re.IGNORECASE)  # a spreadsheet's first line


class Dialect(NamedTuple):
    delimiter: str
    skip_space: bool = False  # a quoted cell may follow a space after the separator


def read(
    name: str, opener: Callable[[], BinaryIO], recogniser: Recogniser, rows: int
) -> Iterator[Chunk]:
    """Read one delimited file, in flat memory: its bytes once to tell the encoding, then rows.

    Raises:
        Unreadable: nothing in it, no column for the plant's name, text that can't be decoded.
    """
    encoding = detect(opener)
    with io.TextIOWrapper(opener(), encoding.codec, encoding.errors, newline="") as file:
        try:
            yield from _tables(name, file, encoding, recogniser, rows)
        except UnicodeDecodeError as error:
            raise Unreadable(
                f"{name} looks like {encoding.codec} but can't be read as that "
                f"({error.reason}); save the file as UTF-8."
            ) from None
        except csv.Error as error:
            raise Unreadable(
                f"{name} can't be read as a table: {error}. A double quote that opens somewhere in "
                "it is never closed, or the file is not a table; export it again as CSV."
            ) from None


@dataclass(frozen=True, slots=True)
class Opening:
    """The beginning of a delimited file: its rows up to the heading, and what follows of them."""

    dialect: Dialect
    declared: bool  # whether a first line told the separator
    above: Sequence[Row]  # up to the heading, with it
    below: Sequence[Row]
    head: Head
    findings: Sequence[Finding]


def opening(name: str, file: TextIO, encoding: Encoding, recogniser: Recogniser) -> Opening:
    """Read the beginning of a file; it is left where the rows of `below` end.

    Raises:
        Unreadable: nothing in it, no headings, no column for the plant's name.
    """
    sample = file.read(_SAMPLE)
    if not sample.strip("\ufeff \t\r\n\0"):
        raise Unreadable(f"{name} is empty; export it again from where it was made.")
    file.seek(0)
    first_line = sample.split("\n", 1)[0] + "\n"
    if declared := _DECLARED.match(first_line):
        file.readline()
        dialect = Dialect(declared[1])
    else:
        dialect = sniff(sample, recogniser)
    ahead = list(islice(_reader(file, dialect), LOOK_AHEAD))
    index = heading_index(ahead, recogniser)
    if index < 0:
        raise Unreadable(f"{name} has no headings in its first {LOOK_AHEAD} rows; add them.")
    found = head(ahead[index], index + 1, recogniser, file=name)
    needs_plant([found], name)
    needs_mapped([found], recogniser, name)
    lines = title_lines(ahead[:index], found.table)
    return Opening(
        dialect,
        bool(declared),
        ahead[: index + 1],
        ahead[index + 1 :],
        found,
        [*_encoding(name, encoding), *lines, *found.findings],
    )


def _reader(lines: Iterable[str], dialect: Dialect) -> Iterator[Row]:
    return csv.reader(lines, delimiter=dialect.delimiter, skipinitialspace=dialect.skip_space)


def _tables(
    name: str, file: TextIO, encoding: Encoding, recogniser: Recogniser, rows: int
) -> Iterator[Chunk]:
    begun = opening(name, file, encoding, recogniser)
    table = begun.head.table
    yield from pour(
        table,
        chain(begun.below, _reader(file, begun.dialect)),
        number=table.heading_row + 1,
        size=rows,
        width=len(table.headings),
        named=begun.head.named,
        findings=begun.findings,
        mend=not encoding.sound,
    )


def _encoding(name: str, encoding: Encoding) -> list[Finding]:
    if not encoding.assumed:
        return []
    return [finding("encoding_assumed", f"the file was read as {encoding.assumed}", file=name)]


def sniff(sample: str, recogniser: Recogniser) -> Dialect:
    """Tell the separator: the one that gives most headings a meaning, then most regular rows."""
    candidates = [Dialect(sign) for sign in ",;\t|"]
    candidates += [
        Dialect(sign, True) for sign in ",;|" if re.search(re.escape(sign) + ' +"', sample)
    ]
    return max(candidates, key=lambda dialect: _fitness(sample, dialect, recogniser))


def _fitness(sample: str, dialect: Dialect, recogniser: Recogniser) -> tuple[int, float, int]:
    reader = csv.reader(
        io.StringIO(sample, newline=""),
        delimiter=dialect.delimiter,
        skipinitialspace=dialect.skip_space,
    )
    try:
        records = [row for row in islice(reader, 100) if any(row)]
    except csv.Error:
        return (0, 0.0, 0)
    if len(sample) == _SAMPLE and len(records) > 1:
        records.pop()  # cut off by the end of the sample
    if not records:
        return (0, 0.0, 0)
    best = max(recogniser.count(row) for row in records[:LOOK_AHEAD])
    widths = [len(row) for row in records]
    usual = max(set(widths), key=widths.count)
    return (best, widths.count(usual) / len(widths) if usual > 1 else 0.0, usual)
