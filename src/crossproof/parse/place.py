"""Read a written place into WGS 84, with its square, its uncertainty and how it was done."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from crossproof.parse._place_signs import plain
from crossproof.parse._place_words import Bare, bare
from crossproof.parse._transform import SYSTEMS, Shape, to_wgs84
from crossproof.parse.grid import GRID_NAMES, Square, is_square, size_words, square
from crossproof.parse.grid_text import pair, read_pair, read_reference
from crossproof.parse.grid_within import find_reference
from crossproof.parse.latlon import Degrees, check, find_latlon, read_latlon, read_one
from crossproof.parse.mgrs import read_military
from crossproof.parse.place_error import PlaceError as PlaceError
from crossproof.parse.place_error import vocabulary

_WGS84 = "EPSG:4326"
_LONGEST = 300  # characters; a cell longer than this is prose, not a place
# Seven decimals (1 cm) lose nothing: Chapman & Wieczorek 2020, "Georeferencing Best Practices".
_DECIMALS = 7

_PLAIN_REFERENCE = re.compile(r"([A-Z]{1,2}) ?(?:([0-9]{2,5}) ([0-9]{2,5})|([0-9]{2,10}))")
_PLAIN_DEGREES = re.compile(r"(-?[0-9]{1,3}\.[0-9]+), ?(-?[0-9]{1,3}\.[0-9]+)")


@dataclass(frozen=True, slots=True)
class Place:
    """A place in WGS 84, ready for Darwin Core.

    Attributes:
        latitude, longitude: decimal degrees; the centre where a grid square was given.
        uncertainty_m: half the square's diagonal plus the stated accuracy of the transformation,
            rounded up to whole metres; None where nothing states it (degrees).
        grid_reference: the canonical reference, `SU123456`, `SU12A`; '' where none was given.
        footprint_wkt: the square as a polygon, longitude first; '' where there is no square.
        datum: always `EPSG:4326`.
        protocol: dwc:georeferenceProtocol, the operation and its accuracy.
        remarks: dwc:georeferenceRemarks, what the figures mean and what was assumed.
        system: what the place was given in.
        assumptions: what was taken for granted on the way.
    """

    latitude: float
    longitude: float
    uncertainty_m: int | None
    grid_reference: str
    footprint_wkt: str
    datum: str
    protocol: str
    remarks: str
    system: Literal["GB", "IE", "CI", "latlon"]
    assumptions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Read:
    """What a text says, before any transformation."""

    what: Square | Degrees
    key: str  # a key of SYSTEMS, or EPSG:4326
    within_m: float
    notes: tuple[str, ...]


def parse_place(text: str) -> Place:
    """Read a grid reference, an easting and northing, or a latitude and longitude.

    Raises:
        PlaceError: with `.reason` and `.remedy`; nothing else, whatever the text.
    """
    return _answer(_parsed(text))


def parse_latlon(latitude: str, longitude: str, datum: str = "") -> Place:
    """Read latitude and longitude (or northing and easting) from cells of their own.

    Args:
        latitude, longitude: degrees in any notation; or, with a grid for `datum` or both beyond
            180, northing and easting in metres.
        datum: a datum's name or EPSG code; blank is taken for WGS 84, and said to be.

    Raises:
        PlaceError: `swapped`, `zero`, `half_a_coordinate`, `unknown_datum` … as `parse_place`.
    """
    return _answer(_parsed_pair(latitude, longitude, datum))


def places(texts: Iterable[str], *, outlined: bool = True) -> list[Place | PlaceError]:
    """Read many places: each distinct text once, all squares of one grid transformed at once.

    Squares that are not `outlined` lack their footprint, protocol and remarks, and take a third of
    the time.

    Returns:
        One answer for each text, in order; errors as values.
    """
    texts = list(texts)
    distinct = list(dict.fromkeys(texts))
    reads = [_attempt(text) for text in distinct]
    found = dict(zip(distinct, _located(reads, outlined=outlined), strict=True))
    return [found[text] for text in texts]


def _answer(result: Place | PlaceError) -> Place:
    if isinstance(result, PlaceError):
        raise PlaceError(result.reason, str(result))  # a fresh one: cached ones keep no traceback
    return result


@lru_cache(maxsize=8192)
def _parsed(text: str) -> Place | PlaceError:
    return _located([_attempt(text)])[0]


@lru_cache(maxsize=8192)
def _parsed_pair(latitude: str, longitude: str, datum: str) -> Place | PlaceError:
    try:
        read: _Read | PlaceError = _read_columns(latitude, longitude, datum)
    except PlaceError as error:
        read = error
    return _located([read])[0]


def _attempt(text: str) -> _Read | PlaceError:
    try:
        return _read(text)
    except PlaceError as error:
        return error


def _is_empty(text: str) -> bool:
    return text.strip().lower() in vocabulary()["words"]["empty"]


def _read(text: str) -> _Read:
    if _is_empty(text):
        raise PlaceError("empty", "no place is given")
    if len(text) > _LONGEST:
        raise PlaceError("unreadable", f"{text[:40]!r}… is too long to be a place")
    if plainly := _read_plainly(text):
        return plainly
    found = bare(text)
    if _is_empty(found.text):
        raise PlaceError("unreadable", f"{text!r} names no square and no position")
    what = (
        _military(text, found)
        or read_pair(found.text, found.system, found.notes)
        or read_latlon(found.text, found.notes)
        or read_reference(found.text, found.notes)
        or find_reference(found.text, found.notes)
        or find_latlon(found.text, found.notes)
    )
    if what is None:
        raise _unread(text, found.text)
    return _typed(what, found)


def _military(text: str, found: Bare) -> tuple[float, float] | None:
    """The centre of a square of the military grid, in metres of its zone, which is noted.

    The whole text is tried as well: `CA` is a square's letters, but circa in front of a reference.
    """
    what = read_military(plain(text), "", found.notes)
    what = what or read_military(found.text, found.system, found.notes)
    if what is None:
        return None
    pair(*what.centre, what.system, found.notes)  # refuses what lies off these islands
    found.system = what.system
    found.within_m = max(found.within_m, what.side / math.sqrt(2))
    found.notes.append(
        f"centre of the {size_words(what.side)} square {what.reference} of the Military Grid "
        "Reference System; the uncertainty is half its diagonal"
    )
    return what.centre


def _read_plainly(text: str) -> _Read | None:
    """The two commonest ways to write a place, read without looking for anything round it."""
    if match := _PLAIN_REFERENCE.fullmatch(text):
        letters, east, north, joined = match.groups()
        if joined and len(joined) % 2 == 0:
            east, north = joined[: len(joined) // 2], joined[len(joined) // 2 :]
        if east and len(east) == len(north) and is_square(letters):
            found = square(letters, east, north)
            return _Read(found, found.grid, 0.0, ())
    elif match := _PLAIN_DEGREES.fullmatch(text):
        notes: list[str] = []
        position = check(float(match[1]), float(match[2]), notes)
        return _Read(position, _WGS84, 0.0, tuple(notes))
    return None


def _typed(what: Square | Degrees | tuple[float, float], found: Bare) -> _Read:
    if isinstance(what, Square):
        key: str = what.grid
    elif isinstance(what, Degrees):
        # "OSGB36" beside degrees is their datum; "OSGB" alone only says whose grid is meant.
        named = "".join(c for c in found.named_by if c.isalnum())
        datums = vocabulary()["datums"]
        key = next(
            (k for k, words in datums.items() if k.startswith("EPSG") and named in words), _WGS84
        )
        if named == "osgb":
            key = _WGS84
    else:
        key, what = found.system, Degrees(what[1], what[0])
    return _Read(what, key, max(found.within_m, _said(what, found)), tuple(found.notes))


def _said(what: Square | Degrees, found: Bare) -> float:
    """The uncertainty in metres that follows from the size said in front of a square.

    Raises:
        PlaceError: `ambiguous`: a bare length in front is another than the square's side.
    """
    if not found.size or not isinstance(what, Square):
        return 0.0
    if not found.size.squared and found.size.side != what.side:
        length = size_words(int(found.size.side))
        raise PlaceError("ambiguous", f"{length} in front of {what.reference} is not its size")
    return found.size.side / math.sqrt(2) if found.size.side > what.side else 0.0


def _unread(text: str, inner: str) -> PlaceError:
    """The most telling reason why nothing could be read."""
    digits = re.sub(r"[\s.,/-]", "", inner)
    if digits.isdigit():
        return PlaceError("letters_missing", f"{text!r} has digits but no letters of a square")
    if re.search(r"\d{1,3}\.\d{3,}", inner):
        return PlaceError("half_a_coordinate", f"{text!r} has one readable coordinate only")
    if re.fullmatch(r"[A-Za-z]{3,}[\s.-]*\d[\d\s.-]*", inner):
        return PlaceError("unknown_letters", f"{text!r} does not begin with letters of a square")
    return PlaceError("unreadable", f"no place can be read in {text!r}")


def _read_columns(latitude: str, longitude: str, datum: str) -> _Read:
    lat, lon = plain(latitude), plain(longitude)
    no_lat, no_lon = _is_empty(lat), _is_empty(lon)
    if no_lat and no_lon:
        raise PlaceError("empty", "no latitude and longitude are given")
    name = "".join(c for c in datum.lower() if c.isalnum())
    datums = vocabulary()["datums"]
    key = next((k for k, words in datums.items() if name in words), "")
    if not key:
        raise PlaceError("unknown_datum", f"the datum {datum!r} is not known here")
    if no_lat or no_lon:
        missing = "latitude" if no_lat else "longitude"
        raise PlaceError("half_a_coordinate", f"the {missing} is missing")
    notes: list[str] = []
    north, east = read_one(lat, "latitude"), read_one(lon, "longitude")
    metric = key in GRID_NAMES or key in _PROJECTED
    if metric or (abs(north) > 1000 and abs(east) > 1000):
        system = key if metric else ""
        what = pair(east, north, system, notes)
        return _typed(what, Bare("", system, notes=notes))
    if key == "unknown":
        key = _WGS84
        notes.append("no datum is given; WGS 84 was assumed")
    return _Read(check(north, east, notes), key, 0.0, tuple(notes))


def _located(
    reads: Sequence[_Read | PlaceError], *, outlined: bool = True
) -> list[Place | PlaceError]:
    """Transform what was read, all of one system at once."""
    answers: dict[int, Place | PlaceError] = {}
    groups: dict[str, list[tuple[int, _Read]]] = {}
    for i, read in enumerate(reads):
        if isinstance(read, PlaceError):
            answers[i] = read
        elif read.key == _WGS84 and isinstance(read.what, Degrees):
            answers[i] = _as_given(read, read.what)
        else:
            groups.setdefault(read.key, []).append((i, read))
    for key, members in groups.items():
        shapes = to_wgs84(key, [_points(read.what, outlined) for _, read in members])
        for (i, read), shape in zip(members, shapes, strict=True):
            answers[i] = _moved(read, shape)
    return [answers[i] for i in range(len(reads))]


def _points(what: Square | Degrees, outlined: bool) -> tuple[tuple[float, float], ...]:
    """The point itself, or the centre of a square and, where it is wanted, its outline."""
    if isinstance(what, Square):
        return (what.centre, *what.ring) if outlined else (what.centre,)
    return ((what.longitude, what.latitude),)


def _remarks(first: str, read: _Read) -> str:
    return ". ".join([first, *(note[0].upper() + note[1:] for note in read.notes)]) + "."


def _as_given(read: _Read, what: Degrees) -> Place:
    """Degrees that are in WGS 84 already."""
    within = math.ceil(read.within_m) or None
    return Place(
        round(what.latitude, _DECIMALS),
        round(what.longitude, _DECIMALS),
        within,
        "",
        "",
        _WGS84,
        "Latitude and longitude as given, in WGS 84 (EPSG:4326)",
        _remarks("No transformation was made", read),
        "latlon",
        read.notes,
    )


# Systems of metres that have no lettered squares here.
_PROJECTED = frozenset({"ITM", "UTM29", "UTM30", "UTM31"})
UTM_SCALE = 0.9996  # on the central meridian; EPSG Guidance Note 7-2


def _moved(read: _Read, shape: Shape) -> Place:
    if isinstance(read.what, Square):
        return _square_place(read, read.what, shape)
    longitude, latitude = shape.points[0]
    accuracy = shape.operation.accuracy_m
    uncertainty = math.ceil(read.within_m + accuracy) if read.within_m else None
    first = f"Transformed from {SYSTEMS[read.key].name}, the datum given"
    if read.key in _PROJECTED:
        uncertainty = math.ceil(max(1 / math.sqrt(2) + accuracy, read.within_m))
        first = f"Easting and northing in {SYSTEMS[read.key].name}"
        first += "" if read.within_m else ", read to the metre"
    return Place(
        round(latitude, _DECIMALS),
        round(longitude, _DECIMALS),
        uncertainty,
        "",
        "",
        _WGS84,
        _protocol(read, shape),
        _remarks(first, read),
        "latlon",
        read.notes,
    )


def _square_place(read: _Read, what: Square, shape: Shape) -> Place:
    longitude, latitude = shape.points[0]
    accuracy = shape.operation.accuracy_m
    # Half the diagonal reaches the corners; the accuracy is added: Chapman & Wieczorek 2020. Where
    # no datum changes there is no accuracy to hold what UTM's scale takes off the grid's metres
    # (under 3 m up to 10 km; a 100 km square is let off, see docs/reference/reading-places.md).
    half = what.side / math.sqrt(2)
    scaled = half / UTM_SCALE if what.side <= 10_000 else half
    reach = half + accuracy if accuracy else scaled
    ring = shape.points[1:]
    return Place(
        round(latitude, _DECIMALS),
        round(longitude, _DECIMALS),
        math.ceil(max(reach, read.within_m)),
        what.reference,
        f"POLYGON (({', '.join(map(_vertex, ring))}))" if ring else "",
        _WGS84,
        _protocol(read, shape) if ring else "",
        _square_remarks(read, what, accuracy, reach) if ring else "",
        what.grid,
        read.notes,
    )


def _vertex(point: tuple[float, float]) -> str:
    return f"{point[0]:.{_DECIMALS}f} {point[1]:.{_DECIMALS}f}"


def _square_remarks(read: _Read, what: Square, accuracy: int, reach: float) -> str:
    first = (
        f"Centre of the {size_words(what.side)} square {what.reference}; the uncertainty is "
        f"half its diagonal and {accuracy} m for the transformation, rounded up"
    )
    if read.within_m > reach:
        first = f"Centre of the square {what.reference}; the uncertainty is what was stated"
    return _remarks(first, read)


def _protocol(read: _Read, shape: Shape) -> str:
    system = SYSTEMS[read.key]
    return f"{system.name} (EPSG:{system.epsg}) to WGS 84 (EPSG:4326) by {shape.operation}"
