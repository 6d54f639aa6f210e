"""Which texts the data package's typed fields admit."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import Any

from crossproof.darwincore.terms import fields, schema

_INTEGER = re.compile(r"[+-]?\d+")
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")


@cache
def _bounds() -> dict[str, dict[str, Any]]:
    """The typed fields of the tables that take submitted terms: field → type and constraints."""
    return {
        field["name"]: {"type": field["type"], **field.get("constraints", {})}
        for table in ("event", "occurrence", "identification")
        for field in schema("dwc-dp", table)["fields"]
        if field["type"] in ("integer", "number") and field["name"] in fields("dwc-dp", table)
    }


def fits(term: str, text: str) -> bool:
    """Whether the field `term` admits `text`: a number where one is asked for, within bounds."""
    return not text or term not in _bounds() or _is_within(term, text)


@lru_cache(maxsize=1 << 14)  # years, months and days come again and again
def _is_within(term: str, text: str) -> bool:
    bounds = _bounds()[term]
    pattern = _INTEGER if bounds["type"] == "integer" else _NUMBER
    if not text.isascii() or not pattern.fullmatch(text):
        return False
    value = float(text)
    low, high = bounds.get("minimum", value), bounds.get("maximum", value)
    return bool(low <= value <= high)
