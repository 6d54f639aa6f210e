"""Countries and their codes."""

from __future__ import annotations

from . import countries
from .registry import implements
from .response import Response, amended, internal, not_amended, verdict
from .values import is_empty, trim


@implements("0493bcfb-652e-4d17-815b-b0cce0742fbe")
def countrycode_standard(code: str) -> Response:
    if is_empty(code):
        return internal("dwc:countryCode is empty")
    return verdict(
        code in countries.codes(),
        "dwc:countryCode is an ISO 3166-1 alpha-2 code, or XZ or ZZ",
        "dwc:countryCode is not an ISO 3166-1 alpha-2 code, nor XZ or ZZ",
    )


@implements("69b2efdc-6269-45a4-aecb-4cb99c2ae134")
def country_found(country: str) -> Response:
    if is_empty(country):
        return internal("dwc:country is empty")
    found = countries.by_name().get(country, frozenset())
    return verdict(
        any(map(countries.is_independent, found)),
        "dwc:country is the name of an independent nation",
        "dwc:country is not the name of one independent nation",
    )


@implements("b23110e7-1be7-444a-a677-cdee0cf4330c")
def country_countrycode_consistent(country: str, code: str) -> Response:
    if is_empty(country) or is_empty(code):
        return internal("dwc:country or dwc:countryCode is empty")
    return verdict(
        code in countries.by_name().get(country, frozenset()),
        "dwc:country and dwc:countryCode name the same country",
        "dwc:country is not a name of the country that dwc:countryCode stands for",
    )


@implements("fec5ffe6-3958-4312-82d9-ebcca0efb350")
def countrycode_standardized(code: str) -> Response:
    if is_empty(code):
        return internal("dwc:countryCode is empty")
    if code in countries.codes():
        return not_amended("dwc:countryCode is a valid code already")
    meant = countries.code_for(trim(code))
    if meant is None:
        return not_amended("dwc:countryCode cannot be matched to one code")
    return amended({"dwc:countryCode": meant}, "dwc:countryCode was matched to its alpha-2 code")
