"""Decimal coordinates: their range, the point nought, and reading them from verbatim ones."""

from __future__ import annotations

import re

from .coordinates import Angle, angle, pair
from .datum import interpret, is_projected
from .registry import implements
from .response import Response, filled_in, internal, not_amended, verdict
from .values import is_empty, number, trim


def _inrange(term: str, value: str, limit: int) -> Response:
    if is_empty(value):
        return internal(f"{term} is empty")
    degrees = number(value)
    if degrees is None:
        return internal(f"{term} is not a number")
    return verdict(
        -limit <= degrees <= limit,
        f"{term} lies between -{limit} and {limit} degrees",
        f"{term} lies outside -{limit} to {limit} degrees",
    )


@implements("b6ecda2a-ce36-437a-b515-3ae94948fe83")
def decimallatitude_inrange(latitude: str) -> Response:
    return _inrange("dwc:decimalLatitude", latitude, 90)


@implements("0949110d-c06b-450e-9649-7c1374d940d1")
def decimallongitude_inrange(longitude: str) -> Response:
    return _inrange("dwc:decimalLongitude", longitude, 180)


@implements("1bf0e210-6792-4128-b8cc-ab6828aa4871")
def coordinates_notzero(latitude: str, longitude: str) -> Response:
    north, east = number(latitude), number(longitude)
    if is_empty(latitude) or is_empty(longitude):
        return internal("dwc:decimalLatitude or dwc:decimalLongitude is empty")
    if north is None or east is None:
        return internal("dwc:decimalLatitude or dwc:decimalLongitude is not a number")
    return verdict(
        north != 0 or east != 0,
        "the coordinates are not both zero",
        "dwc:decimalLatitude and dwc:decimalLongitude are both zero",
    )


# Systems named in dwc:verbatimCoordinateSystem that are not degrees of latitude and longitude.
_GRIDS = re.compile(
    r"utm|mgrs|grid|easting|northing|quadrant|square|projected|trs\b", re.IGNORECASE
)


@implements("3c2590c7-af8a-4eb4-af57-5f73ba9d1f8e")
def coordinates_from_verbatim(
    latitude: str,
    longitude: str,
    datum: str,
    verbatim_pair: str,
    verbatim_latitude: str,
    verbatim_longitude: str,
    system: str,
    reference: str,
) -> Response:
    """Read the two verbatim terms, or the one that holds both; given all, they must agree."""
    if not is_empty(latitude) or not is_empty(longitude):
        return internal("dwc:decimalLatitude or dwc:decimalLongitude is filled in already")
    halves = not is_empty(verbatim_latitude), not is_empty(verbatim_longitude)
    if is_empty(verbatim_pair) and not all(halves):
        return internal("there are no verbatim coordinates, or only one of the two")
    if _GRIDS.search(system) or is_projected(trim(reference)):
        return not_amended("the verbatim coordinates are not latitude and longitude")
    if not is_empty(datum) and not is_empty(reference) and not _same(datum, reference):
        return not_amended("dwc:geodeticDatum is not the system of the verbatim coordinates")
    found = _agreed(verbatim_pair, verbatim_latitude, verbatim_longitude)
    if found is None:
        return not_amended("the verbatim coordinates cannot be read, or contradict each other")
    values = {
        "dwc:decimalLatitude": found[0].decimal(),
        "dwc:decimalLongitude": found[1].decimal(),
    }
    if is_empty(datum) and trim(reference):
        values["dwc:geodeticDatum"] = trim(reference)
    return filled_in(values, "the coordinates were read from the verbatim ones")


def _same(datum: str, reference: str) -> bool:
    """Say whether two ways of writing a datum stand for one code."""
    first, second = trim(datum), trim(reference)
    return first == second or (interpret(first) or first) == (interpret(second) or second)


def _agreed(both: str, north: str, east: str) -> tuple[Angle, Angle] | None:
    """Return the coordinates that everything written agrees on."""
    together = None if is_empty(both) else pair(both)
    latitude = None if is_empty(north) else angle(north, "N")
    longitude = None if is_empty(east) else angle(east, "E")
    unread = (
        (not is_empty(both) and together is None)
        or (not is_empty(north) and latitude is None)
        or (not is_empty(east) and longitude is None)
    )
    if unread:
        return None
    if together is None:
        return (latitude, longitude) if latitude and longitude else None
    apart = (latitude and not latitude.agrees(together[0])) or (
        longitude and not longitude.agrees(together[1])
    )
    if apart:
        return None
    return (latitude, longitude) if latitude and longitude else together
