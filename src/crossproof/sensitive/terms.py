"""The words and term lists of this stage, from `terms.toml` beside this module."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path
from typing import Any


@cache
def _data() -> dict[str, Any]:
    text = Path(__file__).with_name("terms.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def listed(table: str, key: str) -> frozenset[str]:
    """A list of `terms.toml` as a set."""
    return frozenset(_data()[table][key])


def ordered(table: str, key: str) -> tuple[str, ...]:
    """A list of `terms.toml` in its order."""
    return tuple(_data()[table][key])


def phrase(table: str, key: str) -> str:
    """A text of `terms.toml`; '' where there is none."""
    found = _data()[table].get(key, "")
    return found if isinstance(found, str) else ""


@cache
def tells_position(heading: str) -> bool:
    """Whether a heading without a Darwin Core home says that its column holds a position."""
    spread = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", heading)
    words = re.findall(r"[a-z]+", spread.casefold())
    return not listed("place", "headings").isdisjoint(words)


@cache
def is_identifier(term: str) -> bool:
    """Whether a term names a thing, so that it is replaced whole or not at all."""
    return term.endswith("ID") or term in listed("identifiers", "terms")
