"""Cells that a person's spreadsheet program cannot run."""

from __future__ import annotations

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def guard(cell: str) -> str:
    """Put an apostrophe before text that a spreadsheet program would take for a formula.

    For tables that people open (returned rows, letters, forms); tables for machines keep the text
    as it is. Plain numbers, negative ones too, are left alone. Source of the signs: OWASP, "CSV
    Injection".
    """
    if not cell.startswith(_STARTS_A_FORMULA):
        return cell
    return cell if _is_number(cell) else f"'{cell}"


def _is_number(cell: str) -> bool:
    digits = cell[1:].replace(".", "", 1)
    return cell[0] in "+-" and digits.isascii() and digits.isdigit()
