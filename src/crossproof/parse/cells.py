"""The columns of a chunk by field, coded by their distinct texts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from crossproof.coding import Texts, code, same
from crossproof.model import Chunk, Coded


def unwritten(given: Mapping[str, str], written: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """The cells, as (field, text), whose text does not stand word for word in what is written."""
    texts = frozenset(written)
    return tuple((field, text) for field, text in given.items() if text not in texts)


class Cells:
    """The cells of a chunk, by field name. A field that the table lacks is blank in every row."""

    def __init__(self, chunk: Chunk) -> None:
        self.chunk = chunk
        self.headings: Mapping[str, str] = chunk.table.fields
        self._places = {heading: i for i, heading in enumerate(chunk.table.headings)}
        self._coded: dict[str, Coded[str]] = {}

    def __contains__(self, field: str) -> bool:
        return field in self.headings

    def __getitem__(self, field: str) -> Coded[str]:
        if field not in self.headings:
            return same("", len(self.chunk))
        return self.under(self.headings[field])

    def under(self, heading: str) -> Coded[str]:
        """The column under a heading as submitted."""
        if heading not in self._coded:
            column = self.chunk.columns[self._places[heading]]
            self._coded[heading] = column.coded if isinstance(column, Texts) else code(column)
        return self._coded[heading]
