"""Where a record lies: the columns that speak of a place, read together."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from crossproof.coding import Memo, cross
from crossproof.model import Coded
from crossproof.parse.cells import Cells, unwritten
from crossproof.parse.mentions import mentions_in, mentions_of_place
from crossproof.parse.place import Place, PlaceError, parse_latlon, parse_place
from crossproof.parse.problem import Problem
from crossproof.rulebooks.model import Mention

NAMED = (
    "locality",
    "verbatimLocality",
    "municipality",
    "county",
    "stateProvince",
    "country",
    "countryCode",
    "island",
    "islandGroup",
    "waterBody",
    "higherGeography",
    "locationID",
)
COORDINATES = (
    "gridReference",
    "verbatimCoordinates",
    "decimalLatitude",
    "decimalLongitude",
    "geodeticDatum",
    "coordinateUncertaintyInMeters",
    "easting",
    "northing",
)
# As written: Darwin Core's verbatim terms, and the fields that they are made from.
WRITTEN = {
    "verbatimLatitude": "decimalLatitude",
    "verbatimLongitude": "decimalLongitude",
    "verbatimSRS": "geodeticDatum",
}
FOOTPRINT = ("footprintWKT", "footprintSRS")
SAID = ("georeferenceProtocol", "georeferenceRemarks")
FIELDS = (*COORDINATES, *NAMED, *WRITTEN, *FOOTPRINT, *SAID)
# What this project writes into dwc:georeferenceProtocol begins so (see `place`).
_OUR_PROTOCOL = re.compile(
    r"(?:Latitude and longitude as given, in|.+ \(EPSG:\d+\) to) WGS 84 \(EPSG:4326\)"
)
_Items = tuple[tuple[str, str], ...]  # the cells that speak of a place, as (field, text)
_COUNTED = ("locality", "coordinateUncertaintyInMeters")
OUR_DATUM = "EPSG:4326"
APART_M = 1000.0  # grid and coordinates this far apart, beyond their uncertainty, disagree


@dataclass(frozen=True, slots=True)
class Where:
    """A place as read: its Darwin Core terms, what is wrong, and the regions it tells of.

    `left` holds the cells, as (field, text), whose words stand in none of the terms.
    """

    terms: Mapping[str, str] = field(hash=False)
    readable: bool
    problems: tuple[Problem, ...] = ()
    mentions: frozenset[str] = frozenset()
    place: Place | None = None
    left: tuple[tuple[str, str], ...] = ()


_NOWHERE = Where({}, False, (Problem("place_unreadable", "locality", ""),))


class Locations:
    """Reads places, each distinct combination of cells once."""

    def __init__(self, mentions: tuple[Mention, ...]) -> None:
        self._mentions = mentions
        self._read = Memo(self._where, limit=20_000)  # a place takes some two kilobytes
        self._read_briefly = Memo(self._where_briefly, limit=20_000)

    def read(self, cells: Cells) -> Coded[Where]:
        """The place of each row of a chunk."""
        return self._of_rows(cells, self._read)

    def read_briefly(self, cells: Cells) -> Coded[Where]:
        """The same with no more than a verdict and a count need, in a third of the memory."""
        return self._of_rows(cells, self._read_briefly)

    def _of_rows(self, cells: Cells, read: Callable[[_Items], Where]) -> Coded[Where]:
        present = [name for name in FIELDS if name in cells]
        if not present:
            return cells["locality"].map(lambda _: _NOWHERE)
        combined = cross(*(cells[name] for name in present))
        return combined.map(lambda values: read(tuple(zip(present, values, strict=True))))

    def _where(self, items: _Items) -> Where:
        given = {name: text.strip() for name, text in items if text.strip()}
        if _is_settled(given):
            return self._settled(given)
        place, problems = _locate(given)
        named = {name: given[name] for name in NAMED if name in given}
        if place is None and not named:
            problems = problems or (Problem("place_unreadable", _first(items), ""),)
            problems = tuple(_refused(problem) for problem in problems)
            terms = {**_kept(given), **_verbatim(given)}
            return Where(terms, False, problems, left=unwritten(given, terms.values()))
        if place is None and not problems:
            problems = (Problem("place_not_located", "locality", given.get("locality", "")),)
        located = _georeference(place, given) if place else {}
        terms = {**named, **_kept(given), **_verbatim(given), **located}
        left = unwritten(given, terms.values())
        return Where(terms, True, problems, self._regions(place, named), place, left)

    def _where_briefly(self, items: _Items) -> Where:
        """Without the words, the outline and the terms that only an archive needs."""
        where = self._where(items)
        terms = {name: where.terms[name] for name in _COUNTED if name in where.terms}
        place = where.place and replace(
            where.place, footprint_wkt="", protocol="", remarks="", assumptions=()
        )
        return replace(where, terms=terms, problems=(), place=place, left=())

    def _settled(self, given: Mapping[str, str]) -> Where:
        """A place that this project located before: its terms stay, to the letter.

        The words it was read from, where they still stand, tell the regions as they did then.
        """
        computed = (*WRITTEN.values(), "coordinateUncertaintyInMeters", *FOOTPRINT, *SAID)
        settled = {name: given[name] for name in computed if name in given}
        original = {name: text for name, text in given.items() if name not in settled}
        original |= {WRITTEN[name]: given[name] for name in WRITTEN if name in given}
        place = _locate(original)[0] or _locate(settled)[0]
        named = {name: given[name] for name in NAMED if name in given}
        terms = {**named, **_verbatim(original), **settled}
        left = unwritten(given, terms.values())
        return Where(terms, True, (), self._regions(place, named), place, left)

    def _regions(self, place: Place | None, named: Mapping[str, str]) -> frozenset[str]:
        words = ", ".join(named.values())
        point = (place.longitude, place.latitude) if place else None
        system = place.system if place else ""
        return mentions_in(words, self._mentions, frozenset({"region"})) | mentions_of_place(
            self._mentions, system, named.get("countryCode", ""), point
        )


def _is_settled(given: Mapping[str, str]) -> bool:
    """Whether the coordinates are what this project wrote, with all that it wrote beside them."""
    return (
        {"decimalLatitude", "decimalLongitude"} <= given.keys()
        and "gridReference" not in given
        and given.get("geodeticDatum") == OUR_DATUM
        and bool(_OUR_PROTOCOL.match(given.get("georeferenceProtocol", "")))
        and _locate({name: given[name] for name in WRITTEN.values()})[0] is not None
    )


def _kept(given: Mapping[str, str]) -> dict[str, str]:
    """Terms of a place that are handed on as given, where none are computed."""
    return {name: given[name] for name in (*WRITTEN, *FOOTPRINT, *SAID) if name in given}


def _first(items: _Items) -> str:
    return items[0][0] if items else "locality"


def _refused(problem: Problem) -> Problem:
    """A bad coordinate with no locality beside it is no place at all."""
    if problem.code != "place_bad_coordinates":
        return problem
    return Problem(
        "place_unreadable", problem.field, problem.value, problem.message, problem.remedy
    )


def _locate(given: Mapping[str, str]) -> tuple[Place | None, tuple[Problem, ...]]:
    """The best reading of the coordinates given, grid reference first, and what is wrong."""
    found: list[tuple[str, Place]] = []
    problems: list[Problem] = []
    for name, text in _attempts(given):
        try:
            place = (
                parse_latlon(
                    given.get("decimalLatitude", ""),
                    given.get("decimalLongitude", ""),
                    given.get("geodeticDatum", ""),
                )
                if name == "decimalLatitude"
                else parse_place(text)
            )
        except PlaceError as error:
            code = "place_bad_coordinates"
            problems.append(Problem(code, name, text, str(error), error.remedy))
        else:
            found.append((name, place))
            problems += [Problem("place_assumed", name, text, a) for a in place.assumptions]
    if not found:
        return None, tuple(problems)
    if len(found) > 1 and (apart := _apart(found[0][1], found[1][1])):
        message = f"grid reference and coordinates lie {apart:.0f} m apart"
        problems.append(Problem("place_disagrees", found[1][0], given[found[1][0]], message))
    return found[0][1], tuple(problems)


def _attempts(given: Mapping[str, str]) -> list[tuple[str, str]]:
    """(field, text) of each way the place is written, the most telling first."""
    attempts = [(n, given[n]) for n in ("gridReference", "verbatimCoordinates") if n in given]
    if "decimalLatitude" in given or "decimalLongitude" in given:
        both = f"{given.get('decimalLatitude', '')}, {given.get('decimalLongitude', '')}"
        attempts.append(("decimalLatitude", both))
    if "easting" in given and "northing" in given:
        attempts.append(("easting", f"{given['easting']} {given['northing']}"))
    return attempts


def _apart(first: Place, second: Place) -> float:
    """The distance in metres between two readings, 0 where their uncertainties explain it."""
    from pyproj import Geod

    _, _, metres = Geod(ellps="WGS84").inv(
        first.longitude, first.latitude, second.longitude, second.latitude
    )
    allowed = (first.uncertainty_m or 0) + (second.uncertainty_m or 0) + APART_M
    return float(metres) if metres > allowed else 0.0


def _georeference(place: Place, given: Mapping[str, str]) -> dict[str, str]:
    """The Darwin Core terms of a located place. Angles in degrees, uncertainty in metres."""
    terms = {
        "decimalLatitude": f"{place.latitude:.6f}",
        "decimalLongitude": f"{place.longitude:.6f}",
        "geodeticDatum": place.datum,
        "georeferenceProtocol": place.protocol,
        "georeferenceRemarks": place.remarks,
    }
    uncertainty = _stated_uncertainty(given.get("coordinateUncertaintyInMeters", ""))
    computed = place.uncertainty_m
    if computed is not None or uncertainty is not None:
        larger = max(value for value in (computed, uncertainty) if value is not None)
        terms["coordinateUncertaintyInMeters"] = str(larger)
    if place.footprint_wkt:
        terms["footprintWKT"] = place.footprint_wkt
        terms["footprintSRS"] = place.datum
    return {name: text for name, text in terms.items() if text}


def _stated_uncertainty(text: str) -> int | None:
    digits = text.removesuffix("m").strip()
    try:
        value = round(float(digits))
    except (ValueError, OverflowError):
        return None
    return value if 1 <= value <= 20_037_509 else None


def _verbatim(given: Mapping[str, str]) -> dict[str, str]:
    """The coordinates as they were written."""
    written = given.get("gridReference") or given.get("verbatimCoordinates")
    if not written and "easting" in given:
        written = f"{given['easting']} {given.get('northing', '')}".strip()
    terms = {"verbatimCoordinates": written} if written else {}
    for name, term in (
        ("decimalLatitude", "verbatimLatitude"),
        ("decimalLongitude", "verbatimLongitude"),
        ("geodeticDatum", "verbatimSRS"),
    ):
        if name in given:
            terms[term] = given[name]
    return terms
