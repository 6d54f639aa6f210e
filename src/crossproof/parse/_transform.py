"""From each grid and datum to WGS 84, by one named operation each.

PROJ left alone picks an operation by itself, and outside an operation's area it may fall back on a
"ballpark" that ignores the change of datum. So each system here has its operations pinned by their
EPSG codes, first choice first; nothing else is ever used.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from threading import get_ident
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pyproj import Transformer


@dataclass(frozen=True, slots=True)
class Operation:
    """One coordinate operation of the EPSG register, with the accuracy that it states in metres."""

    code: int
    name: str
    accuracy_m: int

    def __str__(self) -> str:
        if not self.code:
            return f"{self.name} (no change of datum)"
        return f"{self.name}, EPSG:{self.code}, accuracy {self.accuracy_m} m"


@dataclass(frozen=True, slots=True)
class System:
    """A coordinate reference system we read, and the operations allowed from it to WGS 84."""

    epsg: int
    name: str
    operations: tuple[Operation, ...]


# Names, codes and accuracies: EPSG Geodetic Parameter Dataset, as shipped with PROJ.
_OSTN15 = Operation(7710, "OSGB36 to WGS 84 (9), the OSTN15 grid shift", 1)
_OSGB_HELMERT = Operation(1314, "OSGB36 to WGS 84 (6), a Helmert transformation", 2)
_TM75 = Operation(1954, "TM75 to WGS 84 (2)", 1)
_TM65 = Operation(1641, "TM65 to WGS 84 (2)", 1)
_IRENET = Operation(1678, "IRENET95 to WGS 84 (1)", 1)
_ETRS89 = Operation(1149, "ETRS89 to WGS 84 (1)", 1)

SYSTEMS = {
    "GB": System(27700, "British National Grid", (_OSTN15, _OSGB_HELMERT)),
    "IE": System(29903, "Irish Grid", (_TM75,)),
    "CI": System(32630, "UTM zone 30N", (Operation(0, "WGS 84 / UTM zone 30N", 0),)),
    "ITM": System(2157, "Irish Transverse Mercator", (_IRENET,)),
    **{
        f"UTM{zone}": System(
            32600 + zone,
            f"UTM zone {zone}N",
            (Operation(0, f"WGS 84 / UTM zone {zone}N", 0),),
        )
        for zone in (29, 30, 31)
    },
    "EPSG:4277": System(4277, "OSGB36", (_OSTN15, _OSGB_HELMERT)),
    "EPSG:4300": System(4300, "TM75", (_TM75,)),
    "EPSG:4299": System(4299, "TM65", (_TM65,)),
    "EPSG:4258": System(4258, "ETRS89", (_ETRS89,)),
}


@cache
def transformers(key: str, thread: int) -> tuple[tuple[Operation, Transformer], ...]:
    """The installed ones among the operations of a system; one set for each thread.

    The OSTN15 operation is there only where PROJ finds its grid file.
    """
    from pyproj.transformer import TransformerGroup

    system = SYSTEMS[key]
    with warnings.catch_warnings():
        # PROJ warns that a better operation lacks its grid: the record says which one was used.
        warnings.simplefilter("ignore", UserWarning)
        group = TransformerGroup(system.epsg, 4326, always_xy=True, allow_ballpark=False)
    found = []
    for operation in system.operations:
        for transformer in group.transformers:
            steps = transformer.operations or ()
            codes = {(step.to_json_dict().get("id") or {}).get("code") for step in steps}
            if operation.code in codes or not operation.code:
                found.append((operation, transformer))
                break
    if not found:
        raise RuntimeError(f"PROJ knows no pinned operation from EPSG:{system.epsg} to WGS 84")
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Shape:
    """Points in WGS 84 as (longitude, latitude) in degrees, and the operation that moved them."""

    points: tuple[tuple[float, float], ...]
    operation: Operation


def to_wgs84(key: str, shapes: Sequence[Sequence[tuple[float, float]]]) -> list[Shape]:
    """Transform many shapes of one system at once; each shape by one operation throughout.

    Args:
        key: a key of `SYSTEMS`.
        shapes: lists of (x, y): metres east and north, or degrees east and north.

    Raises:
        ValueError: no pinned operation reaches a point (it is not finite).
    """
    done: list[Shape | None] = [None] * len(shapes)
    waiting = list(range(len(shapes)))
    for operation, transformer in transformers(key, get_ident()):
        flat = [point for i in waiting for point in shapes[i]]
        xs, ys = transformer.transform([x for x, _ in flat], [y for _, y in flat])
        start, missed = 0, []
        for i in waiting:
            end = start + len(shapes[i])
            points = tuple(zip(xs[start:end], ys[start:end], strict=True))
            start = end
            # Beyond the edge of a grid file PROJ answers infinity: the next operation's turn.
            if all(math.isfinite(x) and math.isfinite(y) for x, y in points):
                done[i] = Shape(points, operation)
            else:
                missed.append(i)
        waiting = missed
        if not waiting:
            break
    shaped = [shape for shape in done if shape is not None]
    if len(shaped) != len(done):
        raise ValueError(f"no pinned operation from {SYSTEMS[key].name} reaches the point")
    return shaped
