"""Findings: one thing to know about one cell, and the catalogue of their codes."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

Severity = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing to know about one cell, with its place and what would mend it.

    `row` is the number the spreadsheet shows, 0 where a whole file or column is meant.
    """

    code: str
    message: str
    file: str = ""
    sheet: str = ""
    row: int = 0
    column: str = ""
    value: str = ""
    remedy: str = ""

    @property
    def severity(self) -> Severity:
        return catalogue()[self.code].severity

    @property
    def place(self) -> str:
        """The place in words: `records.xlsx, sheet 2019, row 14, column Date`."""
        parts = [self.file]
        parts += [f"sheet {self.sheet}"] if self.sheet else []
        parts += [f"row {self.row}"] if self.row else []
        parts += [f"column {self.column}"] if self.column else []
        return ", ".join(part for part in parts if part)


@dataclass(frozen=True, slots=True)
class Entry:
    """A code of the catalogue: what it is called, why it matters, what mends it."""

    code: str
    severity: Severity
    title: str
    why: str
    remedy: str


@cache
def catalogue() -> dict[str, Entry]:
    """Every finding code, from `findings.toml` beside this module."""
    path = Path(__file__).with_name("findings.toml")
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    return {code: Entry(code, **entry) for code, entry in data.items()}


def finding(code: str, message: str = "", **place: str | int) -> Finding:
    """Make a finding of a catalogued code; title and remedy come from the catalogue if not given.

    Raises:
        KeyError: the code is not in the catalogue.
    """
    entry = catalogue()[code]
    place.setdefault("remedy", entry.remedy)
    return Finding(code=code, message=message or entry.title, **place)  # type: ignore[arg-type]
