"""Where a record lies: its square, and what else was recorded around it, drawn in metres."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import atan2, cos, degrees, radians

from crossproof.desk.record import DeskRecord, taxon_named
from crossproof.nearby import DEGREE_M, Spot, metres
from crossproof.rulebooks.model import Rulebook

NEAR_M = 5_000.0  # how far around is looked; common practice, no published source
MOST = 120  # other records that are drawn
SEEN = 20  # as many as are to be seen at once, if they are not too far
LISTED = 8
SIZE = 400  # of the drawing
_RING = re.compile(r"-?\d+(?:\.\d+)? -?\d+(?:\.\d+)?")
_STEPS = (50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000)
_WINDS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")


@dataclass(frozen=True, slots=True)
class Other:
    """Another record near by: `role` is `first`, `second` (a parent) or `same`."""

    id: int
    role: str
    name: str
    date: str
    place: str
    metres: int
    towards: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Drawing:
    """The record in the middle of a square picture of `SIZE`, north up.

    `ring` holds its footprint as points of an SVG polygon, `radius` the circle of its uncertainty;
    `bar` and `bar_m` are the scale.
    """

    ring: str
    radius: float
    uncertainty: str
    others: Sequence[Other]  # those within the picture
    nearest: Sequence[Other]
    roles: Sequence[tuple[str, str, int]]  # role, name, how many
    bar: float
    bar_m: int
    lines: Sequence[float]


def draw(
    connection: sqlite3.Connection, record: DeskRecord, book: Rulebook | None
) -> Drawing | None:
    """The drawing of a record's place; None where it has no coordinates."""
    middle = record.position
    if middle is None:
        return None
    wanted = _wanted(record, book)
    found = _around(connection, record, middle, wanted)
    ring = [_apart(middle, (lat, lon)) for lon, lat in _corners(record.cells)]
    try:
        uncertainty = float(record.cells.get("coordinateUncertaintyInMeters", "") or 0)
    except ValueError:
        uncertainty = 0.0
    own = max([uncertainty, *(max(abs(x), abs(y)) for x, y in ring)], default=0.0)
    # So near that its own square is seen, and as far as the nearest few of the others.
    farthest = found[: min(SEEN, len(found))][-1].metres if found else 0
    reach = max(300.0, own * 1.3, min(farthest * 1.1, max(own * 12, 1_500.0)))
    scale = SIZE / 2 / reach
    bar_m = max((step for step in _STEPS if step * scale <= SIZE / 3), default=_STEPS[0])
    middle_x = SIZE / 2
    count = int(reach // bar_m)
    return Drawing(
        ring=" ".join(f"{middle_x + x * scale:.1f},{middle_x - y * scale:.1f}" for x, y in ring),
        radius=round(uncertainty * scale, 1),
        uncertainty=f"{uncertainty:g}" if uncertainty else "",
        others=[
            Other(
                o.id,
                o.role,
                o.name,
                o.date,
                o.place,
                o.metres,
                o.towards,
                round(middle_x + o.x * scale, 1),
                round(middle_x - o.y * scale, 1),
            )
            for o in found
            if abs(o.x) <= reach and abs(o.y) <= reach
        ],
        nearest=found[:LISTED],
        roles=[(role, name, sum(o.role == role for o in found)) for name, role in wanted.items()],
        bar=round(bar_m * scale, 1),
        bar_m=bar_m,
        lines=[round(middle_x + n * bar_m * scale, 1) for n in range(-count, count + 1)],
    )


def _wanted(record: DeskRecord, book: Rulebook | None) -> dict[str, str]:
    """The names looked for around a record: both parents of a cross, and the plant itself."""
    name = record.verdict["claimed_name"]
    taxon = taxon_named(name, book) if book else None
    found = {}
    if book and taxon and taxon.is_hybrid:
        parents = [book.written(parent) for parent in taxon.parents[:2]]
        found = dict(zip(parents, ("first", "second"), strict=False))
    return {**found, name: "same"} if name else found


def _around(
    connection: sqlite3.Connection,
    record: DeskRecord,
    middle: tuple[float, float],
    wanted: dict[str, str],
) -> list[Other]:
    if not wanted:
        return []
    high = NEAR_M / DEGREE_M
    wide = high / max(cos(radians(middle[0])), 0.01)
    rows = connection.execute(
        "SELECT id, taxon, date, place, latitude, longitude FROM record"
        f" WHERE taxon IN ({','.join('?' * len(wanted))}) AND latitude BETWEEN ? AND ?"
        " AND longitude BETWEEN ? AND ? AND id <> ?",
        [
            *wanted,
            middle[0] - high,
            middle[0] + high,
            middle[1] - wide,
            middle[1] + wide,
            record.id,
        ],
    )
    here, found = Spot(*middle), []
    for row in rows:
        away = metres(here, Spot(row["latitude"], row["longitude"]))
        if away <= NEAR_M:
            x, y = _apart(middle, (row["latitude"], row["longitude"]))
            found.append(
                Other(
                    row["id"],
                    wanted[row["taxon"]],
                    row["taxon"],
                    row["date"],
                    row["place"],
                    round(away),
                    _wind(x, y),
                    x,
                    y,
                )
            )
    return sorted(found, key=lambda o: (o.metres, o.id))[:MOST]


def _apart(middle: tuple[float, float], other: tuple[float, float]) -> tuple[float, float]:
    """Metres east and north of the middle; true enough over some kilometres."""
    east = (other[1] - middle[1]) * DEGREE_M * cos(radians(middle[0]))
    return east, (other[0] - middle[0]) * DEGREE_M


def _wind(x: float, y: float) -> str:
    return _WINDS[round(degrees(atan2(x, y)) / 45) % 8] if x or y else ""


def _corners(cells: Mapping[str, str]) -> list[tuple[float, float]]:
    """Longitude and latitude of the corners of a footprint (one ring)."""
    text = cells.get("footprintWKT", "")
    if not text.startswith("POLYGON"):
        return []
    points = _RING.findall(text.partition(")")[0])
    return [(float(a), float(b)) for a, b in (point.split() for point in points[:400])]
