"""The words that make up a scientific name: genus, specific and last infraspecific epithet."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .registry import words

_RANKS = words("ranks")
_QUALIFIERS = words("qualifiers")
_PARTICLES = words("particles")
_HYBRID_SIGNS = frozenset({"×", "x", "X"})
_EPITHET = re.compile(r"[a-zà-öø-ÿœ]+(?:-[a-zà-öø-ÿœ]+)*")


@dataclass(frozen=True, slots=True)
class Polynomial:
    genus: str
    species: str
    infraspecific: str


@lru_cache(maxsize=1 << 15)
def polynomial(name: str) -> Polynomial:
    """Take a name apart.

    The sign of a hybrid before a genus or an epithet is left out. A hybrid formula (`A b × A c`) is
    not a polynomial: it has no epithet of its own, and only the genus it begins with is returned.
    """
    words = [word for word in re.split(r"\s+", name) if word]
    if words and words[0] in _HYBRID_SIGNS:
        words = words[1:]
    genus = words[0].lstrip("×") if words else ""
    if _is_formula(words):
        return Polynomial(genus, "", "")
    epithets = _epithets(words[1:])
    return Polynomial(
        genus, epithets[0] if epithets else "", epithets[-1] if len(epithets) > 1 else ""
    )


def _is_formula(words: list[str]) -> bool:
    """Say whether a sign stands between two parents: after an epithet, not before the first."""
    for place, word in enumerate(words):
        if word in _HYBRID_SIGNS and place > 1 and _after_epithet(words[1:place]):
            return True
    return False


def _after_epithet(words: list[str]) -> bool:
    return any(_EPITHET.fullmatch(word) and word not in _HYBRID_SIGNS for word in words) and (
        words[-1].rstrip(".") not in _RANKS
    )


def _epithets(words: list[str]) -> list[str]:
    """Collect epithets: straight after the genus, and after a rank mark once an author has come."""
    epithets: list[str] = []
    authors = marked = False
    for word in words:
        bare = word.removeprefix("×").rstrip(".")
        if word in _HYBRID_SIGNS or word == "?" or (not epithets and re.fullmatch(r"\(.*\)", word)):
            continue
        if bare in _RANKS and (word.endswith(".") or len(bare) > 2):
            # `f.` after an author is that author's son, unless an epithet follows.
            marked = True
        elif bare in _QUALIFIERS and word.endswith("."):
            continue
        elif word in _PARTICLES or not _EPITHET.fullmatch(word.removeprefix("×")):
            authors, marked = True, False
        elif marked or not authors:
            epithets.append(bare)
            marked = False
    return epithets
