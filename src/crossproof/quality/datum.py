"""Geodetic codes and names, from the EPSG dataset that comes with pyproj."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from .registry import DATA

if TYPE_CHECKING:
    import sqlite3

NOT_RECORDED = "not recorded"

_CODE = re.compile(r"EPSG:([1-9][0-9]{3,4})")
# Other ways of writing a code: urn:ogc:def:crs:EPSG::4326, http://…/crs/EPSG/0/4326, EPSG 4326.
_WRITTEN_CODE = re.compile(r"(?:.*[:/ ])?epsg[ :/_-]*(?:[0-9.]*[:/])?([1-9][0-9]{3,4})")


@cache
def _codes(kind: str) -> frozenset[str]:
    """Return the current EPSG codes of one of pyproj's kinds of object."""
    from pyproj.database import get_codes
    from pyproj.enums import PJType

    return frozenset(get_codes("EPSG", getattr(PJType, kind)))


@lru_cache(maxsize=1 << 12)
def _in_degrees(code: str) -> bool:
    """Say whether a geographic system counts in degrees: some, as EPSG:4807, count in grads."""
    from pyproj import CRS

    return all(axis.unit_name == "degree" for axis in CRS.from_epsg(int(code)).axis_info)


@lru_cache(maxsize=1 << 12)
def is_valid_code(text: str) -> bool:
    """Say whether `text` is `EPSG:n` for a datum, an ellipsoid or a 2D system in degrees."""
    found = _CODE.fullmatch(text)
    return bool(found) and _is_suitable(found[1] if found else "")


def _is_suitable(code: str) -> bool:
    if code in _codes("GEOGRAPHIC_2D_CRS") and _in_degrees(code):
        return True
    return any(code in _codes(kind) for kind in (*_DATUMS, "ELLIPSOID"))


_DATUMS = ("GEODETIC_REFERENCE_FRAME", "DYNAMIC_GEODETIC_REFERENCE_FRAME", "DATUM_ENSEMBLE")


@lru_cache(maxsize=1 << 12)
def is_projected(text: str) -> bool:
    """Say whether `text` is the code of a projected system, whose coordinates are not degrees."""
    found = _WRITTEN_CODE.fullmatch(text.casefold())
    return bool(found) and (found[1] if found else "") in _codes("PROJECTED_CRS")


@lru_cache(maxsize=1 << 12)
def interpret(text: str) -> str | None:
    """Return the one code a name or another spelling stands for; `text` is trimmed already.

    A name is looked for among the geographic systems first, then the datums, then the ellipsoids,
    as the notes of AMENDMENT_GEODETICDATUM_STANDARDIZED ask. One datum is never taken for another.
    """
    if text.casefold() == NOT_RECORDED:
        return NOT_RECORDED
    written = _WRITTEN_CODE.fullmatch(text.casefold())
    code = written[1] if written else text
    if re.fullmatch(r"[1-9][0-9]{3,4}", code):
        return f"EPSG:{code}" if _is_suitable(code) else None
    if known := _spellings().get(_folded(text)):
        return known
    for names in _names():
        found = names.get(_folded(text), frozenset())
        if found:
            return f"EPSG:{min(found)}" if len(found) == 1 else None
    return None


def _folded(name: str) -> str:
    return re.sub(r"[^a-z0-9+]", "", name.casefold())


@cache
def _spellings() -> dict[str, str]:
    with (DATA / "datum_names.csv").open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {_folded(row["name"]): row["code"] for row in rows}


@contextmanager
def database() -> Iterator[sqlite3.Connection]:
    """Open the database that comes with pyproj, to read only.

    It is the one place where the names of datums and ellipsoids and the parameters of
    transformations can be asked for all at once.
    """
    import sqlite3
    from pathlib import Path

    from pyproj.datadir import get_data_dir

    separator = ";" if ";" in get_data_dir() else ":"
    folders = [get_data_dir()] if Path(get_data_dir()).is_dir() else get_data_dir().split(separator)
    path = next(path for folder in folders if (path := Path(folder) / "proj.db").is_file())
    connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)
    try:
        yield connection
    finally:
        connection.close()


@cache
def _names() -> tuple[dict[str, frozenset[str]], ...]:
    """Return folded name to codes, for geographic systems, datums and ellipsoids, in that order."""
    with database() as connection:
        tables = []
        for table, where in (
            ("geodetic_crs", "AND t.type = 'geographic 2D'"),
            ("geodetic_datum", ""),
            ("ellipsoid", ""),
        ):
            current = f"t.auth_name = 'EPSG' AND NOT t.deprecated {where}"
            own = f"SELECT t.name, t.code FROM {table} t WHERE {current}"
            also = (
                f"SELECT a.alt_name, a.code FROM alias_name a JOIN {table} t "
                "ON a.code = t.code AND a.auth_name = t.auth_name "
                f"WHERE a.table_name = '{table}' AND {current}"
            )
            tables.append(_indexed(connection.execute(own), connection.execute(also)))
    return tuple(tables)


def _indexed(*queries: object) -> dict[str, frozenset[str]]:
    """Index names; a name of its own outranks the same word as another's alias."""
    index: dict[str, frozenset[str]] = {}
    for rows in queries:
        found: dict[str, set[str]] = {}
        for name, code in rows:  # type: ignore[attr-defined]
            if _is_suitable(str(code)):
                found.setdefault(_folded(name), set()).add(str(code))
        index = {name: frozenset(codes) for name, codes in found.items()} | index
    return index
