"""What a check has to say of a rulebook, before it is placed in the file."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Literal

from crossproof.rulebooks.lines import Path

Severity = Literal["error", "warning"]


@dataclass(frozen=True, slots=True)
class Complaint:
    """A problem at a key path, in words, with what mends it."""

    path: Path
    message: str
    remedy: str
    severity: Severity = "error"


Data = Mapping[str, Any]
Rule = Callable[[Data], Iterator[Complaint]]


def nearest(word: str, known: object, otherwise: str) -> str:
    """Suggest the nearest of the `known` words, or say what to do `otherwise`."""
    near = get_close_matches(word, [str(k) for k in known], n=1)  # type: ignore[attr-defined]
    return f"did you mean {near[0]!r}?" if near else otherwise
