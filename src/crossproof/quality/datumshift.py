"""How far coordinates on an unknown datum could be off, from the EPSG dataset's transformations."""

from __future__ import annotations

import math
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from .datum import database

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_A, _F = 6_378_137.0, 1 / 298.257223563  # WGS 84, EPSG:7030


PLACES = 2  # decimals of a degree; over a kilometre the shift changes by some 0.4 m at most


def widest_shift(default: str, latitude: float, longitude: float) -> int | None:
    """Return in whole metres how far any datum lies from `default` at a place in degrees.

    Every datum of the EPSG dataset that has a three- or seven-parameter transformation to WGS 84 is
    held against `default` by its geocentric shift alone: rotations and scale add a few metres at
    most. None where `default` is not an EPSG geographic system among them.
    """
    return _widest(default, round(latitude, PLACES), round(longitude, PLACES))


@lru_cache(maxsize=1 << 16)
def _widest(default: str, latitude: float, longitude: float) -> int | None:
    import numpy as np

    own = _of(default)
    if own is None:
        return None
    phi, lam = math.radians(latitude), math.radians(longitude)
    x, y, z, stretch, flattening = _shifts() - np.array(own)[:, None]
    # Molodensky's abridged formulas (EPSG Guidance Note 7-2, method 9605), in metres.
    to_north = (_A * flattening + _F * stretch) * math.sin(2 * phi) + z * math.cos(phi)
    to_north -= math.sin(phi) * (x * math.cos(lam) + y * math.sin(lam))
    to_east = y * math.cos(lam) - x * math.sin(lam)
    return math.ceil(float(np.sqrt(to_north**2 + to_east**2).max()))


Shift = tuple[float, float, float, float, float]  # x, y, z in metres; WGS 84 less its ellipsoid


@cache
def _shifts() -> NDArray[np.float64]:
    import numpy as np

    return np.array([*_by_code().values(), _of("EPSG:4326")]).T


def _of(default: str) -> Shift | None:
    if default == "EPSG:4326":
        return 0.0, 0.0, 0.0, 0.0, 0.0
    return _by_code().get(default.removeprefix("EPSG:"))


@cache
def _by_code() -> dict[str, Shift]:
    """Return each geographic system's shift to WGS 84: the most accurate one listed for it."""
    query = """
        SELECT t.source_crs_code, t.tx, t.ty, t.tz, e.semi_major_axis, e.inv_flattening,
               e.semi_minor_axis
        FROM helmert_transformation_table t
        JOIN geodetic_crs g ON g.auth_name = 'EPSG' AND g.code = t.source_crs_code
        JOIN geodetic_datum d ON d.auth_name = g.datum_auth_name AND d.code = g.datum_code
        JOIN ellipsoid e ON e.auth_name = d.ellipsoid_auth_name AND e.code = d.ellipsoid_code
        WHERE t.auth_name = 'EPSG' AND t.source_crs_auth_name = 'EPSG'
          AND t.target_crs_code = '4326' AND t.target_crs_auth_name = 'EPSG'
          AND NOT t.deprecated AND NOT g.deprecated AND e.uom_code = '9001'
          AND t.translation_uom_code = '9001'
        ORDER BY t.accuracy DESC
    """
    found = {}
    with database() as connection:
        for code, x, y, z, major, inverse, minor in connection.execute(query):
            flattening = 1 / inverse if inverse else 1 - minor / major
            found[str(code)] = (x, y, z, _A - major, _F - flattening)
    return found
