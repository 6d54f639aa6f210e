"""The remark, cut where evidence was read from it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from crossproof.model import Evidence
from crossproof.parse.remark import parse_remark
from crossproof.rulebooks.model import Rulebook


@dataclass(frozen=True, slots=True)
class Piece:
    """Some words of a remark, and the characters that were read from them (none: just words)."""

    text: str
    about: tuple[str, ...] = ()


def marked(
    remark: str, evidence: Sequence[Evidence], book: Rulebook | None, photo: bool = False
) -> tuple[Piece, ...]:
    """The remark in pieces that joined are the remark.

    The remark is read again for where the words stand; words that it does not find so are looked
    for as they are written.
    """
    spans = set(_spans(remark, [e for e in evidence if e.source == "remark"], book, photo))
    cuts = sorted({0, len(remark), *(at for start, end, _ in spans for at in (start, end))})
    pieces = []
    for start, end in pairwise(cuts):
        about = sorted({a for s, e, a in spans if s <= start and end <= e})
        pieces.append(Piece(remark[start:end], tuple(about)))
    return tuple(pieces)


def _spans(
    remark: str, evidence: Sequence[Evidence], book: Rulebook | None, photo: bool
) -> Iterator[tuple[int, int, str]]:
    if not remark:
        return
    said = parse_remark(remark, book) if book else None
    for stated in evidence:
        found = [
            (e.start, e.end)
            for e in (said.evidence if said else ())
            if e.character == stated.character and e.words == stated.words and e.start >= 0
        ]
        for start, end in found or _written(remark, stated.words):
            yield start, end, stated.character
    if photo and said and said.photo_words:
        for start, end in _written(remark, said.photo_words):
            yield start, end, "photo"


def _written(remark: str, words: str) -> list[tuple[int, int]]:
    """Where words stand as whole words, else anywhere; the first place."""
    if not words:
        return []
    found = re.search(rf"(?<!\w){re.escape(words)}(?!\w)", remark) or re.search(
        re.escape(words), remark
    )
    return [found.span()] if found else []
