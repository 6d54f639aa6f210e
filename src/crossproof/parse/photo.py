"""Photo references: a path, a file name, a URL, a slide number, several of them, or a plain yes."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from crossproof.model import Photo, PhotoState


@dataclass(frozen=True, slots=True)
class PhotoCell:
    """What a photo cell says: whether there is a photo, and the references it gives."""

    state: PhotoState
    photos: tuple[Photo, ...] = ()


@dataclass(frozen=True, slots=True)
class _Words:
    """What `photo.toml` holds, made ready for use."""

    stated: frozenset[str]
    denied: frozenset[str]
    blank: frozenset[str]
    extensions: frozenset[str]
    separator: re.Pattern[str]
    parts: Mapping[str, frozenset[str]]  # Audiovisual Core subject part → words for it


@cache
def _words() -> _Words:
    text = Path(__file__).with_name("photo.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    return _Words(
        **{key: frozenset(data[key]) for key in ("stated", "denied", "blank", "extensions")},
        separator=re.compile("|".join(map(re.escape, data["separators"]))),
        parts={part: frozenset((*names, part)) for part, names in data["parts"].items()},
    )


def read_photo_cell(cell: str, parts: str = "") -> PhotoCell:
    """Read a photo cell, and beside it the cell that says which parts the photos show.

    A plain yes states a photo without a reference; a denial states that there is none. Anything
    else is a reference: an archive keeps film and slide numbers as well as files.
    """
    folded = cell.strip().casefold().rstrip(".")
    words = _words()
    if folded in words.blank:
        return PhotoCell("not_recorded")
    if folded in words.denied or folded.startswith("no photo"):
        return PhotoCell("denied")
    if folded in words.stated:
        return PhotoCell("stated")
    shown = subject_parts(parts)
    photos = tuple(Photo(reference=r, parts=shown or subject_parts(r)) for r in references(cell))
    return PhotoCell("stated" if photos else "not_recorded", photos)


def references(cell: str) -> tuple[str, ...]:
    """The references in a cell. A comma separates them only where each part is a file or a URL."""
    pieces = [piece.strip() for piece in _words().separator.split(cell)]
    found: list[str] = []
    for piece in filter(None, pieces):
        commas = [part.strip() for part in piece.split(",")]
        found += commas if len(commas) > 1 and all(map(_is_file, commas)) else [piece]
    return tuple(dict.fromkeys(found))


def _is_file(text: str) -> bool:
    if text.startswith(("http://", "https://")):
        return True
    return text.rpartition(".")[2].casefold() in _words().extensions


def subject_parts(text: str) -> tuple[str, ...]:
    """The Audiovisual Core subject parts that words or a file name speak of, in our order."""
    if not text:
        return ()
    words = set(re.findall(r"[a-z]+", re.sub(r"([a-z])([A-Z])", r"\1 \2", text).casefold()))
    return tuple(part for part, names in _words().parts.items() if words & names)
