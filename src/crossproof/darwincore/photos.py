"""Photo references as Audiovisual Core says them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from crossproof.darwincore.columns import Items
from crossproof.darwincore.ids import uuid5
from crossproof.darwincore.terms import subject_parts
from crossproof.model import Photo

_ADDRESS = re.compile(r"https?://[^\s<>\"]+", re.IGNORECASE)
_REFERENCE = re.compile(r"[\d./\\]")  # a file name, a path, a number; not a plain yes


def identifiers(ids: Sequence[str], photos: Items[Photo]) -> list[str]:
    """The identifier of each photo: its address, else a UUID of its own within its record."""
    addresses = [address(photo) for photo in photos.items.values]
    return [
        addresses[code] or uuid5(f"media\x1f{ids[row]}\x1f{number}")
        for row, code, number in zip(
            photos.rows.tolist(), photos.items.codes.tolist(), photos.numbers.tolist(), strict=True
        )
    ]


def address(photo: Photo) -> str:
    """The photo's address on the web; '' where the reference is something else."""
    return photo.reference if _ADDRESS.fullmatch(photo.reference) else ""


def managed(photo: Photo) -> str:
    """The reference where it is a file name, a slide number or the like."""
    named = not address(photo) and _REFERENCE.search(photo.reference)
    return photo.reference if named else ""


def comment(photo: Photo) -> str:
    """What the record says of the photo, where that points to none."""
    if address(photo) or managed(photo):
        return ""
    return f"Photo stated by the recorder: {photo.reference}"


def parts(photo: Photo) -> tuple[str, str]:
    """The parts shown: IRIs of the vocabulary, and words (ones outside it are kept)."""
    known = subject_parts()
    iris = [known[part] for part in photo.parts if part in known]
    return " | ".join(iris), " | ".join(photo.parts)


def described(photo: Photo) -> list[str]:
    """The cells of the archive's multimedia table after the identifier."""
    return [
        "StillImage",
        address(photo),
        managed(photo),
        comment(photo),
        photo.created,
        photo.creator,
        photo.licence,
        *parts(photo),
    ]
