"""The photos of a record: only from the folder given, and what they say against the record."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path

from crossproof.desk.record import DeskRecord
from crossproof.nearby import Spot, metres
from crossproof.read.pictures import Album

MOST_BYTES = 60 * 1024 * 1024
LARGEST = 2400  # pixels of the longer side that are sent


@dataclass(frozen=True, slots=True)
class Shown:
    """One photo reference: `status` as of `model.Picture`, '' where no folder was given."""

    number: int
    reference: str
    status: str
    parts: str
    taken: str
    agrees_on_date: str  # 'yes', 'no' or ''
    away_m: int  # from the record's place; -1 where one of them is not known
    within: bool


class Photos:
    """The photos in one folder; without a folder, none is shown."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        self._album = Album(folder) if folder else None

    def of(self, record: DeskRecord) -> list[Shown]:
        """The photos that a record refers to, in its order."""
        found = []
        for number, row in enumerate(record.photos):
            reference = row.get("providerManagedID") or row.get("accessURI", "")
            parts = row.get("subjectPartLiteral", "")
            if self._album is None:
                found.append(Shown(number, reference, "", parts, "", "", -1, True))
                continue
            picture = self._album.look(reference)
            day = record.cells.get("eventDate", "")
            agrees = ""
            if picture.taken and day:
                first, _, last = day.partition("/")
                inside = first[:10] <= picture.taken <= f"{(last or first)[:10]}~"
                agrees = "yes" if inside else "no"
            away, within = -1, True
            if picture.position and record.position:
                away = round(metres(Spot(*record.position), Spot(*picture.position)))
                uncertain = record.cells.get("coordinateUncertaintyInMeters", "") or "0"
                within = away <= float(uncertain) + 100
            found.append(
                Shown(number, reference, picture.status, parts, picture.taken, agrees, away, within)
            )
        return found

    def image(self, reference: str) -> tuple[bytes, str] | None:
        """The bytes of a photo and their media type; None where it cannot be shown.

        What is sent is a picture that was opened and written anew, never the file as it is: nothing
        else in the folder can be had, and what the camera wrote of the place stays out of caches.
        """
        if self._album is None:
            return None
        path = self._album.path(reference)
        if path is None or path.stat().st_size > MOST_BYTES:
            return None
        from PIL import Image, ImageOps, UnidentifiedImageError

        try:
            with Image.open(path) as image:
                turned = ImageOps.exif_transpose(image)
                turned.thumbnail((LARGEST, LARGEST))
                made = io.BytesIO()
                turned.convert("RGB").save(made, "JPEG", quality=88)
        except (
            UnidentifiedImageError,
            OSError,
            ValueError,
            SyntaxError,
            Image.DecompressionBombError,
        ):
            return None
        return made.getvalue(), "image/jpeg"
