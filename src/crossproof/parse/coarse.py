"""Make a place coarser: the grid square of a given side that holds it.

Squares of 100 m, 1 km, 2 km (tetrads) and 10 km are counted from their grid's origin, so each lies
whole within the next: two releases of one record tell no more than the finer one.
"""

from __future__ import annotations

import math
from functools import cache
from threading import get_ident
from typing import TYPE_CHECKING

from crossproof.parse._transform import Operation, transformers
from crossproof.parse.grid import Grid, size_words, square_over
from crossproof.parse.grid_text import read_reference
from crossproof.parse.place import Place, PlaceError, parse_place

if TYPE_CHECKING:
    from pyproj import Transformer

_POLEWARD = 84.0  # degrees; beyond it there is no UTM zone (and none beyond 80 south)


def coarsen(place: Place, side: int) -> Place | None:
    """The square of the place's own grid that holds it, with its centre, footprint, uncertainty.

    A place given as latitude and longitude lies on the British, Irish or Channel Islands' grid
    where there is one, elsewhere in its UTM zone. A square that is as large already stays.

    Args:
        side: 100, 1000, 2000 or 10000, in metres.

    Returns:
        None where no grid holds the place (near the poles).
    """
    if place.grid_reference:
        own = read_reference(place.grid_reference, [])
        if own is None:
            return None
        if own.side >= side:
            return parse_place(place.grid_reference)
        return parse_place(square_over(own.grid, *own.centre, side).reference)
    grid = _grid_at(place.latitude, place.longitude)
    try:
        if grid:
            east, north = _on(grid, place)
            if not math.isfinite(east):
                return _utm_square(place, side)
            return parse_place(square_over(grid, east, north, side).reference)
    except PlaceError:
        pass  # the lettered squares end at the sea
    return _utm_square(place, side)


def figures(place: Place) -> tuple[tuple[float, float], ...]:
    """The place's easting and northing in metres, in every grid that people may write it in."""
    found = []
    for key in ("GB", "IE", "ITM"):
        east, north = _on(key, place)
        if math.isfinite(east) and math.isfinite(north) and min(east, north) >= 0:
            found.append((east, north))
    if -80 <= place.latitude <= _POLEWARD:
        transformer = _to_utm(_utm_epsg(place), get_ident())
        found.append(transformer.transform(place.longitude, place.latitude))
    if abs(place.latitude) < 85:
        radius = 6_378_137.0  # of the sphere of EPSG:3857, used by maps on the web
        north = radius * math.log(math.tan(math.pi / 4 + math.radians(place.latitude) / 2))
        found.append((radius * math.radians(place.longitude), north))
    return tuple(found)


def _grid_at(latitude: float, longitude: float) -> Grid | None:
    """The grid that is used where a position lies. Bounds by eye (from memory)."""
    if latitude < 49.8 and -3.0 <= longitude <= -1.85:
        return "CI"
    kintyre = latitude > 55.25 and longitude > -6.0
    if 51.2 < latitude < 55.5 and longitude < (-5.4 if latitude > 53.5 else -5.9) and not kintyre:
        return "IE"
    # The box of `latlon`, and no further: the projection goes astray on the far side of the Earth.
    return "GB" if 48.9 <= latitude <= 61.1 and -11.0 <= longitude <= 2.2 else None


def _on(key: str, place: Place) -> tuple[float, float]:
    """The position on a grid, by the operation that brings its squares to WGS 84."""
    for _, transformer in transformers(key, get_ident()):
        east, north = transformer.transform(place.longitude, place.latitude, direction="INVERSE")
        if math.isfinite(east) and math.isfinite(north):
            return east, north
    return math.inf, math.inf


def _utm_epsg(place: Place) -> int:
    zone = min(int((place.longitude + 180) // 6) + 1, 60)
    return (32600 if place.latitude >= 0 else 32700) + zone


@cache
def _to_utm(epsg: int, thread: int) -> Transformer:
    from pyproj import Transformer

    return Transformer.from_crs(4326, epsg, always_xy=True)


def _utm_square(place: Place, side: int) -> Place | None:
    if not -80 <= place.latitude <= _POLEWARD:
        return None
    epsg = _utm_epsg(place)
    transformer = _to_utm(epsg, get_ident())
    east, north = transformer.transform(place.longitude, place.latitude)
    west, south = east // side * side, north // side * side
    corners = [(0, 0), (1, 0), (1, 1), (0, 1), (0, 0), (0.5, 0.5)]
    points = [(west + x * side, south + y * side) for x, y in corners]
    eastings, northings = zip(*points, strict=True)
    xs, ys = transformer.transform(eastings, northings, direction="INVERSE")
    ring = ", ".join(f"{x:.7f} {y:.7f}" for x, y in zip(xs[:-1], ys[:-1], strict=True))
    name = f"UTM zone {epsg % 100}{'N' if epsg < 32700 else 'S'}"
    return Place(
        round(ys[-1], 7),
        round(xs[-1], 7),
        # Half the diagonal, by a hundredth more: the scale of UTM is off by 0.1 % at most.
        math.ceil(side / math.sqrt(2) * 1.01),
        "",
        f"POLYGON (({ring}))",
        "EPSG:4326",
        f"WGS 84 / {name} (EPSG:{epsg}) to WGS 84 (EPSG:4326) by "
        f"{Operation(0, f'WGS 84 / {name}', 0)}",
        f"Centre of a {size_words(side)} square of {name}; the uncertainty is half its diagonal.",
        "latlon",
    )
