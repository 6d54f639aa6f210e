"""Rewrite some rows of coded columns, each distinct combination once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from crossproof.coding import cross
from crossproof.model import Coded

T = TypeVar("T")
K = TypeVar("K")

Rows = NDArray[np.intp]
Flags = NDArray[np.bool_]

_TELLING = re.compile(r"\d|///")


def rewrite(
    column: Coded[T],
    rows: Rows,
    keys: Coded[K],
    function: Callable[[T, K], T],
    wanted: Callable[[T], bool] | None = None,
) -> tuple[Coded[T], Flags]:
    """Give the rows at the positions `rows` the value that `function` makes of it and their key.

    Rows whose value is not `wanted` stay as they are. Values that no row has any more are dropped,
    so that nothing of them is left to be written.

    Returns:
        The column, and for each of `rows` whether its value is another now.
    """
    changed = np.zeros(len(rows), dtype=bool)
    picked = np.arange(len(rows), dtype=np.intp)
    if wanted is not None:
        flags = np.fromiter(map(wanted, column.values), dtype=bool, count=len(column.values))
        picked = np.flatnonzero(flags[column.codes[rows]]) if len(flags) else picked[:0]
    if not len(picked):
        return column, changed
    pairs = cross(column.select(rows[picked]), keys.select(picked))
    made = [function(value, key) for value, key in pairs.values]
    differs = np.array(
        [new != old for new, (old, _) in zip(made, pairs.values, strict=True)], dtype=bool
    )
    changed[picked] = differs[pairs.codes]
    codes = column.codes.copy()
    codes[rows[picked]] = len(column.values) + pairs.codes
    values = [*column.values, *made]
    used, dense = np.unique(codes, return_inverse=True)
    return Coded([values[k] for k in used.tolist()], dense.astype(np.intp)), changed


def texts_in(value: Any) -> Iterator[str]:
    """Every text in a value: a string, or strings in tuples, mappings and dataclasses."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for item in value.values():
            yield from texts_in(item)
    elif isinstance(value, (tuple, list)):
        for item in value:
            yield from texts_in(item)
    elif is_dataclass(value):
        for field in fields(value):
            yield from texts_in(getattr(value, field.name))


def each_text(value: T, clean: Callable[[str], str]) -> T:
    """The value with every text in it cleaned; the value itself where that changes nothing."""
    new: Any = value
    if isinstance(value, str):
        new = clean(value)
    elif isinstance(value, Mapping):
        new = {key: each_text(item, clean) for key, item in value.items()}
    elif isinstance(value, tuple):
        new = tuple(each_text(item, clean) for item in value)
    elif is_dataclass(value) and not isinstance(value, type):
        parts = {field.name: getattr(value, field.name) for field in fields(value)}
        cleaned = {name: each_text(part, clean) for name, part in parts.items()}
        new = replace(value, **{n: c for n, c in cleaned.items() if c is not parts[n]})
    return value if new == value else new


def may_tell(value: Any) -> bool:
    """Whether any text in a value has a sign that a position is written with."""
    return any(_TELLING.search(text) for text in texts_in(value))
