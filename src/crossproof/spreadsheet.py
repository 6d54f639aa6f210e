"""Cells that a person's spreadsheet program cannot run, and the way back to what they said."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from crossproof.tabular import TableFile

if TYPE_CHECKING:
    from collections.abc import Sequence

_SIGNS = r"=+\-@\t\r\n＝＋－＠"  # OWASP, "CSV Injection": what starts a formula, full width too
_FORMULA = re.compile(f"'*[{_SIGNS}]")
_NUMBER = re.compile(r"[+-](?=\.?[0-9])[0-9]*(?:\.[0-9]*)?")
_IN_A_LINE = re.compile(f"^'*[{_SIGNS}]", re.MULTILINE)


def guard(cell: str) -> str:
    """Put an apostrophe before text that a spreadsheet program would take for a formula.

    For tables that people open; tables for machines keep the text as it is. Plain numbers,
    negative ones too, are left alone. A cell that begins with apostrophes and then such a sign
    gets one more, so that `unguard` gives back exactly what was there.
    """
    return f"'{cell}" if _is_risky(cell) else cell


def unguard(cell: str) -> str:
    """Take off the apostrophe that `guard` put before a cell; other cells stay as they are."""
    return cell[1:] if cell.startswith("'") and _is_risky(cell[1:]) else cell


def _is_risky(cell: str) -> bool:
    return bool(_FORMULA.match(cell)) and not _NUMBER.fullmatch(cell)


class GuardedFile(TableFile):
    """A table for people: every cell is safe to open in a spreadsheet program."""

    def __init__(self, path: Path, columns: Sequence[str]) -> None:
        super().__init__(path, columns)

    def _is_plain(self, lines: str) -> bool:
        return super()._is_plain(lines) and not _IN_A_LINE.search(lines)

    def _encoded(self, cell: str) -> bytes:
        return super()._encoded(guard(cell))
