"""Authors' names after a plant's name."""

from __future__ import annotations

import re

from crossproof.parse.names.tokens import Token

_PARTICLES = frozenset({"ex", "et", "in", "f", "fil", "de", "von", "van", "al", "emend", "non"})
_AUTHORS = re.compile(
    r"\s*(?P<authors>(?:\([^()]{1,80}\)\s*)?[^\W\d_a-z][^\s\d;:\[\]×?]*"
    r"(?:\s(?:&|ex|et|f\.|in|de|von|[^\W\d_a-z][^\s\d;:\[\]×?]*))*)\s*$"
)


def is_author(token: Token) -> bool:
    """Whether a word left over looks like part of an author's name."""
    return token.capital or token.key in _PARTICLES or token.raw in "&.'"


def authors_after(text: str, end: int) -> str:
    """The authors that end a name, as written; empty where anything else follows."""
    match = _AUTHORS.match(text, end) if end else None
    return match["authors"].rstrip(" ,") if match else ""
