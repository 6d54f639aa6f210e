"""The geodetic datum: its code, its spellings, and the default where there is none."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal

from . import datum
from .datumshift import widest_shift
from .height_tests import WIDEST
from .registry import Settings, implements
from .response import Response, amended, external, filled_in, internal, not_amended, verdict
from .values import is_empty, number, plain, trim

_TERM = "dwc:geodeticDatum"
_UNCERTAINTY = "dwc:coordinateUncertaintyInMeters"


@implements("7e0c0418-fe16-4a39-98bd-80e19d95b9d1")
def geodeticdatum_standard(given: str) -> Response:
    if is_empty(given):
        return internal(f"{_TERM} is empty")
    return verdict(
        given == datum.NOT_RECORDED or datum.is_valid_code(given),
        f"{_TERM} is an EPSG code for geographic coordinates, or `not recorded`",
        f"{_TERM} is neither an EPSG code for geographic coordinates nor `not recorded`",
    )


@implements("0345b325-836d-4235-96d0-3b5caf150fc0")
def geodeticdatum_standardized(given: str) -> Response:
    if is_empty(given):
        return internal(f"{_TERM} is empty")
    if given == datum.NOT_RECORDED or datum.is_valid_code(given):
        return not_amended(f"{_TERM} is a valid value already")
    meant = datum.interpret(trim(given))
    if meant is None:
        return not_amended(f"{_TERM} cannot be matched to one EPSG code")
    return amended({_TERM: meant}, f"{_TERM} was matched to its EPSG code")


@implements("7498ca76-c4d4-42e2-8103-acacccbdffa7")
def geodeticdatum_assumeddefault(
    given: str, uncertainty: str, latitude: str, longitude: str, *, settings: Settings
) -> Response:
    """Fill in the default, and add to a stated uncertainty how far any other datum could be off."""
    default = trim(settings.parameters["bdqval:defaultGeodeticDatum"])
    if not is_empty(given):
        return not_amended(f"{_TERM} is filled in already")
    metres, north, east = number(uncertainty), number(latitude), number(longitude)
    known = metres is not None and 1 <= metres <= WIDEST and north is not None and east is not None
    if not known or metres is None or north is None or east is None:
        return filled_in({_TERM: default}, f"{_TERM} was empty: the default was assumed")
    if abs(north) > 90 or abs(east) > 180:
        return filled_in({_TERM: default}, f"{_TERM} was empty: the default was assumed")
    shift = widest_shift(default, float(north), float(east))
    if shift is None:
        return external("nothing is known of the datum given as bdqval:defaultGeodeticDatum")
    enlarged = min((metres + shift).to_integral_value(ROUND_CEILING), Decimal(WIDEST))
    return amended(
        {_TERM: default, _UNCERTAINTY: plain(enlarged)},
        f"the default was assumed, and {_UNCERTAINTY} enlarged by the {shift} m that another datum "
        "of the EPSG dataset could be off there",
    )
