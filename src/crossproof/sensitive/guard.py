"""What is done to each piece of a record whose place is kept back."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from crossproof.model import Evidence, Photo
from crossproof.sensitive.level import WITHHELD, words_of
from crossproof.sensitive.positions import MARK, Positions
from crossproof.sensitive.rewrite import each_text
from crossproof.sensitive.tell import Tell
from crossproof.sensitive.terms import listed, tells_position

if TYPE_CHECKING:
    from crossproof.parse.place import Place

PHOTO_MARK = "reference withheld"
# What stays of a place that is withheld: Chapman 2020, category 1, leaves about a degree.
_WIDE = frozenset({"country", "countryCode", "stateProvince", "county", "continent"})
_MADE = frozenset({"eventDate", "year", "month", "day"})  # read by us: nothing but a date


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """How coarse one place becomes, and the means to take it out of everything else.

    `square` is the place to publish, None where it is withheld or was never located; `tell` the
    figures of the true one. `pseudonym` makes an identifier that gives nothing away, or ''.
    """

    level: int
    square: Place | None
    held: str  # how exactly the place is known, in words
    is_coarser: bool
    tell: Tell | None
    hides_localities: bool
    positions: Positions
    pseudonym: Callable[[str], str]

    def clean(self, text: str) -> str:
        return self.positions.strip(text, self.tell, self.level)

    def where(self, terms: Mapping[str, str]) -> Mapping[str, str]:
        """The terms of the place, coarse."""
        kept = {
            term: self.clean(text)
            for term, text in terms.items()
            if term not in listed("place", "coordinates")
            and not (self.hides_localities and term in listed("place", "localities"))
            and (self.level < WITHHELD or term in _WIDE)
        }
        if self.square is None:
            return kept
        place = self.square
        stated = terms.get("coordinateUncertaintyInMeters", "")
        uncertainty = max(place.uncertainty_m or 1, int(stated) if stated.isdigit() else 1)
        return kept | {
            "decimalLatitude": f"{place.latitude:.6f}",
            "decimalLongitude": f"{place.longitude:.6f}",
            "geodeticDatum": place.datum,
            "coordinateUncertaintyInMeters": str(uncertainty),
            "footprintWKT": place.footprint_wkt,
            "footprintSRS": place.datum,
            "georeferenceProtocol": place.protocol,
            "georeferenceRemarks": place.remarks,
        }

    def when(self, terms: Mapping[str, str]) -> Mapping[str, str]:
        return {term: text if term in _MADE else self.clean(text) for term, text in terms.items()}

    def identifier(self, text: str) -> str:
        """An identifier that holds the position gives way to a pseudonym, or goes."""
        return text if self.clean(text) == text else self.pseudonym(text)

    def statement(self, text: str) -> str:
        """dwc:dataGeneralizations as given; the square that is published anyway stays in it."""
        reference = self.square.grid_reference if self.square else ""
        said = f"grid square {reference};"
        pieces = text.split(said) if reference else [text]
        return said.join(map(self.clean, pieces))

    def evidence(self, pieces: tuple[Evidence, ...]) -> tuple[Evidence, ...]:
        cleaned = ((piece, self.clean(piece.words)) for piece in pieces)
        return tuple(
            piece if words == piece.words else replace(piece, words=words, start=-1, end=-1)
            for piece, words in cleaned
        )

    def photos(self, photos: tuple[Photo, ...]) -> tuple[Photo, ...]:
        return tuple(
            each_text(
                photo
                if self.clean(photo.reference) == photo.reference
                else replace(photo, reference=PHOTO_MARK),
                self.clean,
            )
            for photo in photos
        )

    def extra(self, text: str, fields: Mapping[str, str]) -> str:
        """dynamicProperties without positions; `fields` maps headings to our field names."""
        kept = {}
        for heading, value in json.loads(text).items():
            field = fields.get(heading, heading)
            if field in listed("place", "coordinates"):
                continue
            if self.hides_localities and field in listed("place", "localities"):
                continue
            kept[self.clean(heading)] = self._property(field, value)
        return json.dumps(kept, ensure_ascii=False) if kept else ""

    def _property(self, name: str, value: Any) -> Any:
        if isinstance(value, dict):
            return {self.clean(key): self._property(key, item) for key, item in value.items()}
        if isinstance(value, list):
            return [self._property(name, item) for item in value]
        if isinstance(value, bool) or value is None:
            return value
        text = str(value)
        told = tells_position(name) and any(map(str.isdigit, text))
        if told or self.positions.is_half(text, self.tell):
            return MARK
        cleaned = self.clean(text)
        return value if cleaned == text else cleaned

    def generalised(self) -> str:
        """dwc:dataGeneralizations: the precision supplied, and the one held."""
        if self.square is None:
            return ""
        reference = self.square.grid_reference
        square = f"grid square {reference}" if reference else "grid square"
        if not self.is_coarser:
            return f"Place as recorded, the {square}; nothing finer is supplied"
        return (
            f"Place generalised to the {words_of(self.level)} {square}; "
            f"the place as recorded is held {self.held}"
        )
