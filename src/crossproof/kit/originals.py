"""The submission itself, read once more: recorders and places as their own recorder wrote them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from crossproof.model import Chunk
from crossproof.options import Options
from crossproof.vetter import Vetter

FIELDS = (
    *("recordedBy", "eventDate", "locality", "gridReference", "verbatimCoordinates"),
    *("decimalLatitude", "decimalLongitude"),
)
Place = tuple[str, str, str]  # file, sheet, row


def originals(paths: Sequence[Path], options: Options) -> Mapping[Place, Mapping[str, str]]:
    """The cells of `FIELDS` of every row, by where it stands; `options` as for vetting.

    Raises:
        Unreadable: a file cannot be read.
    """
    vetter = Vetter(options)
    return dict(pair for path in paths for chunk in vetter.chunks(path) for pair in _rows(chunk))


def _rows(chunk: Chunk) -> Iterator[tuple[Place, dict[str, str]]]:
    table = chunk.table
    columns = {
        name: chunk.columns[table.headings.index(table.fields[name])]
        for name in FIELDS
        if name in table.fields
    }
    for place, number in enumerate(chunk.numbers):
        cells = {name: column[place] for name, column in columns.items()}
        yield (table.file, table.sheet, str(number)), cells
    for broken in chunk.broken:
        yield (table.file, table.sheet, str(broken.number)), {}
