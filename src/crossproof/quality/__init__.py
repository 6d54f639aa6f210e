"""The tests of the TDWG Biodiversity Data Quality draft standard, over Darwin Core terms.

`run` puts one test to one record, `tests` lists them all, `check_table` runs them over a table of
any length, and `respond` over one frame (a `Responder` over one after another). Which test reads
what, and with which defaults, is in `data/declarations.csv`.
"""

from __future__ import annotations

from .distinct import Column
from .registry import Declaration, declarations
from .response import Response
from .running import run
from .table import Outcome, Responder, check_table, respond
from .taxonlist import TaxonListError

__all__ = [
    "Column",
    "Declaration",
    "Outcome",
    "Responder",
    "Response",
    "TaxonListError",
    "check_table",
    "declarations",
    "respond",
    "run",
    "tests",
]


def tests() -> tuple[Declaration, ...]:
    """List every test of the draft standard, in its own order.

    Each has `guid`, `label`, `kind` (VALIDATION, ISSUE, AMENDMENT, MEASURE), `question`, `inputs`,
    `dimension`, `criterion`, `parameters` with their defaults, and `offline`: whether it runs
    without an authority from outside.
    """
    return tuple(declarations().values())
