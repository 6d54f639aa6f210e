"""Where a record lies: the columns that speak of a place, read together."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from crossproof.coding import Memo, Remembered, cross
from crossproof.model import Coded
from crossproof.parse.cells import Cells, unwritten
from crossproof.parse.mentions import mentions_in, mentions_of_place
from crossproof.parse.place import Place, PlaceError, parse_latlon, parse_place, places
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
_Cells = tuple[tuple[str, ...], tuple[str, ...]]  # that speak of a place: fields, and their texts
_Known = Mapping[str, "Place | PlaceError"]  # places read already, by their text
_IN_ONE_CELL = ("gridReference", "verbatimCoordinates")
_NOTHING_KNOWN: _Known = {}
_UNCERTAINTY = "coordinateUncertaintyInMeters"
_IN_BRIEF = ("locality", _UNCERTAINTY)  # the terms that a count looks at
_REMEMBERED = 20_000  # a place takes some two kilobytes
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
        self._regions_named = Memo(self._named, limit=_REMEMBERED)
        self._read = Remembered(self._wheres, limit=_REMEMBERED)
        self._read_briefly = Remembered(self._wheres_briefly, limit=_REMEMBERED)

    def read(self, cells: Cells) -> Coded[Where]:
        """The place of each row of a chunk."""
        return _of_rows(cells, self._read)

    def read_briefly(self, cells: Cells) -> Coded[Where]:
        """The same with no more than a verdict and a count need: a fourth of the time and memory.

        The words, the outline and the terms that only an archive needs are left out.
        """
        return _of_rows(cells, self._read_briefly)

    def _wheres(self, rows: Sequence[_Cells]) -> list[Where]:
        every = [*map(_given, rows)]
        known = _read_together(every, outlined=True)
        return [
            self._where(given, fields[0], known)
            for given, (fields, _) in zip(every, rows, strict=True)
        ]

    def _wheres_briefly(self, rows: Sequence[_Cells]) -> list[Where]:
        every = [*map(_given, rows)]
        known = _read_together(every, outlined=False)
        return [self._where_briefly(given, known) for given in every]

    def _where(self, given: Mapping[str, str], first: str, known: _Known) -> Where:
        if _is_settled(given):
            return self._settled(given)
        place, problems = _locate(given, known)
        named = {name: given[name] for name in NAMED if name in given}
        if place is None and not named:
            problems = problems or (Problem("place_unreadable", first, ""),)
            problems = tuple(_refused(problem) for problem in problems)
            terms = {**_kept(given), **_verbatim(given)}
            return Where(terms, False, problems, left=unwritten(given, terms.values()))
        if place is None and not problems:
            problems = (Problem("place_not_located", "locality", given.get("locality", "")),)
        located = _georeference(place, given) if place else {}
        terms = {**named, **_kept(given), **_verbatim(given), **located}
        left = unwritten(given, terms.values())
        return Where(terms, True, problems, self._regions(place, named), place, left)

    def _where_briefly(self, given: Mapping[str, str], known: _Known) -> Where:
        if _is_settled(given):
            whole = self._settled(given)
            terms = {name: whole.terms[name] for name in _IN_BRIEF if name in whole.terms}
            return replace(whole, terms=terms, left=())
        place = _first_read(given, known)
        named = {name: given[name] for name in NAMED if name in given}
        terms = {"locality": named["locality"]} if "locality" in named else {}
        if place and (uncertainty := _uncertainty(place, given)):
            terms[_UNCERTAINTY] = uncertainty
        return Where(terms, bool(place or named), (), self._regions(place, named), place)

    def _settled(self, given: Mapping[str, str]) -> Where:
        """A place that this project located before: its terms stay, to the letter.

        The words it was read from, where they still stand, tell the regions as they did then.
        """
        computed = (*WRITTEN.values(), _UNCERTAINTY, *FOOTPRINT, *SAID)
        settled = {name: given[name] for name in computed if name in given}
        original = {name: text for name, text in given.items() if name not in settled}
        original |= {WRITTEN[name]: given[name] for name in WRITTEN if name in given}
        place = _locate(original)[0] or _locate(settled)[0]
        named = {name: given[name] for name in NAMED if name in given}
        terms = {**named, **_verbatim(original), **settled}
        left = unwritten(given, terms.values())
        return Where(terms, True, (), self._regions(place, named), place, left)

    def _regions(self, place: Place | None, named: Mapping[str, str]) -> frozenset[str]:
        point = (place.longitude, place.latitude) if place else None
        system = place.system if place else ""
        return self._regions_named(", ".join(named.values())) | mentions_of_place(
            self._mentions, system, named.get("countryCode", ""), point
        )

    def _named(self, words: str) -> frozenset[str]:
        return mentions_in(words, self._mentions, frozenset({"region"}))


def _of_rows(cells: Cells, read: Remembered[_Cells, Where]) -> Coded[Where]:
    fields = tuple(name for name in FIELDS if name in cells)
    if not fields:
        return cells["locality"].map(lambda _: _NOWHERE)
    combined = cross(*(cells[name] for name in fields))
    return Coded(read([(fields, texts) for texts in combined.values]), combined.codes)


def _given(row: _Cells) -> dict[str, str]:
    """The cells that are not blank, by field."""
    stripped = zip(row[0], map(str.strip, row[1]), strict=True)
    return {name: text for name, text in stripped if text}


def _read_together(every: Iterable[Mapping[str, str]], *, outlined: bool) -> _Known:
    """The places that stand in one cell; all squares of one grid are transformed at once."""
    cells = (next((given[n] for n in _IN_ONE_CELL if n in given), "") for given in every)
    texts = [*filter(None, dict.fromkeys(cells))]
    return dict(zip(texts, places(texts, outlined=outlined), strict=True))


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


def _refused(problem: Problem) -> Problem:
    """A bad coordinate with no locality beside it is no place at all."""
    if problem.code != "place_bad_coordinates":
        return problem
    return Problem(
        "place_unreadable", problem.field, problem.value, problem.message, problem.remedy
    )


def _locate(
    given: Mapping[str, str], known: _Known = _NOTHING_KNOWN
) -> tuple[Place | None, tuple[Problem, ...]]:
    """The best reading of the coordinates given, grid reference first, and what is wrong."""
    found: list[tuple[str, Place]] = []
    problems: list[Problem] = []
    for name, text, read in _readings(given, known):
        if isinstance(read, PlaceError):
            code = "place_bad_coordinates"
            problems.append(Problem(code, name, text, str(read), read.remedy))
        else:
            found.append((name, read))
            problems += [Problem("place_assumed", name, text, a) for a in read.assumptions]
    if not found:
        return None, tuple(problems)
    if len(found) > 1 and (apart := _apart(found[0][1], found[1][1])):
        message = f"grid reference and coordinates lie {apart:.0f} m apart"
        problems.append(Problem("place_disagrees", found[1][0], given[found[1][0]], message))
    return found[0][1], tuple(problems)


def _first_read(given: Mapping[str, str], known: _Known) -> Place | None:
    """What `_locate` finds, without looking any further."""
    readings = (read for _, _, read in _readings(given, known))
    return next((read for read in readings if not isinstance(read, PlaceError)), None)


def _readings(
    given: Mapping[str, str], known: _Known
) -> Iterator[tuple[str, str, Place | PlaceError]]:
    """Each way the place is written, and what it says: (field, text, place or why not)."""
    for name, text in _attempts(given):
        if name in _IN_ONE_CELL and text in known:
            yield name, text, known[text]
            continue
        try:
            place = parse_place(text) if name != "decimalLatitude" else _degrees(given)
        except PlaceError as error:
            yield name, text, error
        else:
            yield name, text, place


def _degrees(given: Mapping[str, str]) -> Place:
    return parse_latlon(
        given.get("decimalLatitude", ""),
        given.get("decimalLongitude", ""),
        given.get("geodeticDatum", ""),
    )


def _attempts(given: Mapping[str, str]) -> list[tuple[str, str]]:
    """(field, text) of each way the place is written, the most telling first."""
    attempts = [(n, given[n]) for n in _IN_ONE_CELL if n in given]
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
    if uncertainty := _uncertainty(place, given):
        terms[_UNCERTAINTY] = uncertainty
    if place.footprint_wkt:
        terms["footprintWKT"] = place.footprint_wkt
        terms["footprintSRS"] = place.datum
    return {name: text for name, text in terms.items() if text}


def _uncertainty(place: Place, given: Mapping[str, str]) -> str:
    """The larger of the uncertainties computed and stated, in metres; '' where there is none."""
    stated = _stated_uncertainty(given[_UNCERTAINTY]) if _UNCERTAINTY in given else None
    known = [value for value in (place.uncertainty_m, stated) if value is not None]
    return str(max(known)) if known else ""


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
