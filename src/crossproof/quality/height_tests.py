"""Depths, elevations and the uncertainty of coordinates: numbers in metres and their ranges."""

from __future__ import annotations

from decimal import Decimal

from .heights import DEPTH, ELEVATION, Kind, metres
from .registry import Settings, implements
from .response import Response, external, filled_in, internal, not_amended, verdict
from .values import is_empty, number

# Half the way round the equator, in metres (notes of VALIDATION_COORDINATEUNCERTAINTY_INRANGE).
WIDEST = 20_037_509


def _inrange(term: str, value: str, kind: str, settings: Settings, *, signed: bool) -> Response:
    if is_empty(value):
        return internal(f"{term} is empty")
    figure = number(value)
    if figure is None or (figure < 0 and not signed):
        return internal(f"{term} is not a number" + ("" if signed else " from zero upwards"))
    least = number(settings.parameters[f"bdqval:minimumValid{kind}InMeters"])
    most = number(settings.parameters[f"bdqval:maximumValid{kind}InMeters"])
    if least is None or most is None:
        return external("a parameter that bounds the range is not a number")
    return verdict(
        least <= figure <= most, f"{term} lies within the range", f"{term} lies outside the range"
    )


@implements("0bb8297d-8f8a-42d2-80c1-558f29efe798")
def minelevation_inrange(elevation: str, *, settings: Settings) -> Response:
    return _inrange("dwc:minimumElevationInMeters", elevation, "Elevation", settings, signed=True)


@implements("c971fe3f-84c1-4636-9f44-b1ec31fd63c7")
def maxelevation_inrange(elevation: str, *, settings: Settings) -> Response:
    return _inrange("dwc:maximumElevationInMeters", elevation, "Elevation", settings, signed=True)


@implements("04b2c8f3-c71b-4e95-8e43-f70374c5fb92")
def mindepth_inrange(depth: str, *, settings: Settings) -> Response:
    return _inrange("dwc:minimumDepthInMeters", depth, "Depth", settings, signed=False)


@implements("3f1db29a-bfa5-40db-9fd1-fde020d81939")
def maxdepth_inrange(depth: str, *, settings: Settings) -> Response:
    return _inrange("dwc:maximumDepthInMeters", depth, "Depth", settings, signed=False)


def _ordered(what: str, least: str, most: str, *, signed: bool) -> Response:
    if is_empty(least) or is_empty(most):
        return internal(f"the minimum or the maximum {what} is empty")
    low, high = number(least), number(most)
    if low is None or high is None or (not signed and min(low, high) < 0):
        return internal(
            f"the minimum or the maximum {what} is not a number"
            + ("" if signed else " from zero upwards")
        )
    return verdict(
        low <= high,
        f"the minimum {what} is not greater than the maximum",
        f"the minimum {what} is greater than the maximum",
    )


@implements("8f1e6e58-544b-4365-a569-fb781341644e")
def mindepth_lessthan_maxdepth(least: str, most: str) -> Response:
    return _ordered("depth", least, most, signed=False)


@implements("d708526b-6561-438e-aa1a-82cd80b06396")
def minelevation_lessthan_maxelevation(least: str, most: str) -> Response:
    return _ordered("elevation", least, most, signed=True)


@implements("c6adf2ea-3051-4498-97f4-4b2f8a105f57")
def coordinateuncertainty_inrange(uncertainty: str) -> Response:
    """A word where a number should stand does not comply: only Empty has no prerequisites."""
    if is_empty(uncertainty):
        return internal("dwc:coordinateUncertaintyInMeters is empty")
    figure = number(uncertainty)
    return verdict(
        figure is not None and 1 <= figure <= Decimal(WIDEST),
        "dwc:coordinateUncertaintyInMeters lies within the range",
        "dwc:coordinateUncertaintyInMeters is not a number from 1 to 20037509",
    )


def _from_verbatim(
    terms: tuple[str, str], given: tuple[str, str], text: str, kind: Kind
) -> Response:
    if not all(map(is_empty, given)):
        return internal(f"{terms[0]} or {terms[1]} is filled in already")
    if is_empty(text):
        return internal("there is no verbatim value to read")
    found = metres(text, kind)
    if found is None:
        return not_amended("the verbatim value cannot be read as one value or range with its unit")
    return filled_in(
        dict(zip(terms, found, strict=True)), "read from the verbatim value, in metres"
    )


@implements("c5658b83-4471-4f57-9d94-bf7d0a96900c")
def depths_from_verbatim(least: str, most: str, verbatim: str) -> Response:
    terms = ("dwc:minimumDepthInMeters", "dwc:maximumDepthInMeters")
    return _from_verbatim(terms, (least, most), verbatim, DEPTH)


@implements("2d638c8b-4c62-44a0-a14d-fa147bf9823d")
def elevations_from_verbatim(least: str, most: str, verbatim: str) -> Response:
    terms = ("dwc:minimumElevationInMeters", "dwc:maximumElevationInMeters")
    return _from_verbatim(terms, (least, most), verbatim, ELEVATION)
