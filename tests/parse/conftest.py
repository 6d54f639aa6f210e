"""Chunks made by hand, for the tests of the parsers that read whole columns."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import pytest

from crossproof.model import Chunk, Table
from crossproof.parse.cells import Cells
from crossproof.rulebooks.load import shipped
from crossproof.rulebooks.model import Rulebook

Columns = Mapping[str, str | Sequence[str]]


def make_chunk(columns: Columns, headings: Mapping[str, str] | None = None) -> Chunk:
    """A chunk with a column for each field; `headings` names fields' headings where they differ.

    A field without a heading in `headings` stands under its own name; a name that starts with
    `?` is a column that no field was found for. A column given as one text has one row.
    """
    named = headings or {}
    texts = {name: [cells] if isinstance(cells, str) else cells for name, cells in columns.items()}
    under = {name: named.get(name, name.removeprefix("?")) for name in texts}
    fields = {name: heading for name, heading in under.items() if not name.startswith("?")}
    table = Table("records.csv", "", tuple(under.values()), 1, fields)
    rows = len(next(iter(texts.values())))
    return Chunk(table, range(2, rows + 2), [list(column) for column in texts.values()])


@pytest.fixture
def chunk() -> Callable[..., Chunk]:
    return make_chunk


@pytest.fixture
def cells() -> Callable[..., Cells]:
    """Makes the cells of a chunk from its columns by field."""

    def make(columns: Columns, headings: Mapping[str, str] | None = None) -> Cells:
        return Cells(make_chunk(columns, headings))

    return make


@pytest.fixture(scope="session")
def books() -> dict[str, Rulebook]:
    """The rulebooks that ship, by id."""
    return {book.id: book for book in shipped()}
