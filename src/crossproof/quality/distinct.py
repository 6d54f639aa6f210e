"""Columns as codes into their distinct values, so that each distinct case is tested once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .registry import declarations
from .running import text
from .values import is_empty

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    Codes = NDArray[np.int64]

_WIDEST = 1 << 62  # the largest product of distinct values that still fits in a code


@dataclass(frozen=True, slots=True)
class Column:
    """A column of `len(codes)` rows: `values[codes[row]]` is the row's text."""

    values: list[str]
    codes: Codes


@dataclass(frozen=True, slots=True)
class Cases:
    """The distinct combinations of several columns: `values[codes[row]]` are the row's texts."""

    values: list[tuple[str, ...]]
    codes: Codes


def prefixed(columns: Iterable[object]) -> dict[str, str]:
    """Map the prefixed terms that the tests read to the columns that hold them.

    A column is named by the bare term (`eventDate`) or by the prefixed one (`dwc:eventDate`).
    """
    known = {term for declaration in declarations().values() for term in declaration.inputs}
    bare = {term.partition(":")[2]: term for term in known}
    named = [column for column in columns if isinstance(column, str)]
    found = {bare[column]: column for column in named if column in bare}
    return found | {column: column for column in named if column in known}


def encode(series: pd.Series[str]) -> Column:
    """Factorise one column, unless it is so already; missing values are empty texts."""
    import pandas as pd

    if isinstance(series.dtype, pd.CategoricalDtype) and not series.hasnans:
        codes, uniques = series.cat.codes.to_numpy(), series.cat.categories
    else:
        codes, uniques = pd.factorize(series, use_na_sentinel=False)
    return Column([text(value) for value in uniques.tolist()], codes.astype("int64", copy=False))


def presence(column: Column) -> Column:
    """Leave of a column only whether each value is Empty, for tests that look at nothing else."""
    import numpy as np

    filled = np.array([not is_empty(value) for value in column.values], dtype="int64")
    return Column(["", "filled in"], filled[column.codes])


def cases(columns: Mapping[str, Column], terms: Sequence[str], rows: int) -> Cases:
    """Return the distinct combinations of `terms`, in order of first appearance.

    A term without a column is empty throughout.
    """
    import numpy as np

    from crossproof.coding import numbered

    present = [columns[term] for term in terms if term in columns]
    joint, size = np.zeros(rows, dtype="int64"), 1
    for column in present:
        if size * len(column.values) >= _WIDEST:
            joint, found = numbered(joint, size)
            size = len(found)
        joint = joint * len(column.values) + column.codes
        size *= len(column.values)
    codes, found = numbered(joint, size)
    first = np.empty(len(found), dtype="int64")
    first[codes[::-1]] = np.arange(rows - 1, -1, -1)
    order = np.argsort(first)
    rank = np.empty_like(order)
    rank[order] = np.arange(len(order))
    codes, first = rank[codes], first[order]
    picked = {
        term: [columns[term].values[code] for code in columns[term].codes[first].tolist()]
        for term in terms
        if term in columns
    }
    empty = [""] * len(first)
    if not terms:
        return Cases([()] * len(first), codes)
    return Cases(list(zip(*(picked.get(term, empty) for term in terms), strict=True)), codes)
