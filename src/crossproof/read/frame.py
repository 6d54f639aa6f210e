"""A pandas frame as a chunk, so that it is judged as a file would be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from crossproof.model import Chunk
from crossproof.read.headings import Recogniser
from crossproof.read.rows import head, needs_plant
from crossproof.read.workbook import text

if TYPE_CHECKING:
    import pandas as pd

NAME = "frame"  # what findings call the file


def chunk_of(
    frame: pd.DataFrame,
    *,
    extra_headings: Mapping[str, Sequence[str]],
    mapping: Mapping[str, str] | None = None,
) -> Chunk:
    """Take a frame's columns as the columns of a table; row numbers count from 1.

    Missing values are blank; numbers and dates are written as a spreadsheet cell would be read.

    Raises:
        Unreadable: no column says what plant it is, or two columns stand for one field.
    """
    headings = [str(column) for column in frame.columns]
    found = head(headings, 0, Recogniser(mapping or {}, extra_headings), file=NAME)
    needs_plant([found], NAME)
    return Chunk(
        found.table,
        range(1, len(frame) + 1),
        [_texts(frame.iloc[:, place]) for place in range(frame.shape[1])],
        (),
        found.findings,
    )


def _texts(column: pd.Series[Any]) -> list[str]:
    missing = column.isna().tolist()
    values = column.tolist()
    return [
        "" if gone else value if isinstance(value, str) else text(value)
        for value, gone in zip(values, missing, strict=True)
    ]
