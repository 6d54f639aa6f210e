"""Take a pandas frame as if it were a file that was read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING

from crossproof.model import Chunk
from crossproof.read.headings import Recogniser
from crossproof.read.rows import head, needs_mapped, needs_plant
from crossproof.read.workbook import text

if TYPE_CHECKING:
    import pandas as pd

_NOTHING: Mapping[str, Sequence[str]] = MappingProxyType({})


def chunk_of(
    frame: pd.DataFrame,
    *,
    mapping: Mapping[str, str] | None = None,
    extra_headings: Mapping[str, Sequence[str]] = _NOTHING,
) -> Chunk:
    """The rows of a frame as one chunk of text, numbered from 1 whatever the frame's index.

    Missing values become blank cells. The table has no file and no sheet.

    Raises:
        Unreadable: no column names the plant, or two stand for one field.
    """
    place = "the frame"
    recogniser = Recogniser(mapping or {}, extra_headings)
    found = head([str(name) for name in frame.columns], 0, recogniser, file="")
    needs_plant([found], place)
    needs_mapped([found], recogniser, place)
    columns = [_texts(frame.iloc[:, position]) for position in range(frame.shape[1])]
    return Chunk(found.table, range(1, len(frame) + 1), columns, (), found.findings)


def _texts(column: pd.Series) -> list[str]:
    blank = column.isna().tolist()
    return [
        "" if missing else cell if type(cell) is str else text(cell)
        for cell, missing in zip(column.tolist(), blank, strict=True)
    ]
