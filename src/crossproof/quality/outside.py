"""Tests that need an authority this package does not carry: polygons, gazetteers, annotations."""

from __future__ import annotations

from .registry import implements
from .response import Response, external, internal
from .values import is_empty

_REASONS = {
    "fecaa8a3-bbd8-4c5a-a424-13c37c4bb7b1": "a system of annotations",
    "adb27d29-9f0d-4d52-b760-a77ba57a69c9": "the boundaries of countries and their sea zones",
    "b9c184ce-a859-410c-9d12-71a338200380": "the outlines of land and the taxa of the sea",
    "f18a470b-3fe1-4aae-9c65-a6d3db6b550c": "the boundaries of states and provinces",
    "8c5fe9c9-4ba9-49ef-b15a-9ccd0424e6ae": "the boundaries of countries and their sea zones",
    "4daa7986-d9b0-4dd5-ad17-2d7a771ea71a": "a gazetteer of states and provinces",
    "d257eb98-27cb-48e5-8d3c-ab9fca4edd11": "a gazetteer of states and provinces",
    "256e51b3-1e08-4349-bb7e-5186631c3f8e": "the middles and areas of countries",
}


def _outside(guid: str, what: str) -> None:
    @implements(guid, presence_only=True)
    def outside(*values: str) -> Response:
        return external(f"this test needs {what}, which does not come with this package")


for _guid, _what in _REASONS.items():
    _outside(_guid, _what)


@implements("f2b4a50a-6b2f-4930-b9df-da87b6a21082", presence_only=True)
def coordinates_transposed(latitude: str, longitude: str, code: str) -> Response:
    """The specification of this one asks for its inputs before it asks for the boundaries."""
    if any(map(is_empty, (latitude, longitude, code))):
        return internal("one of the coordinates or dwc:countryCode is empty")
    return external(
        "this test needs the boundaries of countries, which do not come with this package"
    )
