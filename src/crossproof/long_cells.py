"""Read tables with cells of any length: a footprint, a whole notebook page.

The csv module refuses cells of more than 128 kB unless its limit is lifted. Submitted text keeps
the limit, since there such a cell is a quote that never closes.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from _csv import Reader

_MOST = 2**31 - 1  # the most that csv takes wherever a C long has 32 bits


def reader(lines: Iterable[str], **form: Any) -> Reader:
    """As `csv.reader`."""
    csv.field_size_limit(_MOST)
    return csv.reader(lines, **form)


def dict_reader(lines: Iterable[str]) -> csv.DictReader[str]:
    """As `csv.DictReader`."""
    csv.field_size_limit(_MOST)
    return csv.DictReader(lines)
