"""The pinned operations, with and without the grid-shift file.

The official file cannot be fetched here, so a small one is made in its name and format (NTv2) from
`convertbng`, which embeds OSTN15: enough to see that PROJ's grid operation is chosen where its file
lies, that its accuracy and name are written, and that points beyond the file fall back.
"""

from __future__ import annotations

import json
import math
import os
import struct
import subprocess
import sys
from pathlib import Path
from typing import Any

import convertbng.cutil as convertbng
import pytest
from pyproj import Geod, Proj

from crossproof.parse.place import parse_place

GRID_FILE = "uk_os_OSTN15_NTv2_OSGBtoETRS.tif"  # PROJ looks at what is in it, not at its ending
SOUTH, NORTH, WEST, EAST, STEP = 51.0, 51.4, -2.0, -1.6, 0.02  # degrees; holds SU 123 456


def _record(name: str, value: bytes) -> bytes:
    return name.ljust(8).encode() + value.ljust(8, b"\0")


def _number(value: int) -> bytes:
    return struct.pack("<ii", value, 0)


def _real(value: float) -> bytes:
    return struct.pack("<d", value)


def shift_file() -> bytes:
    """An NTv2 file of OSGB36 to ETRS89 over the box: rows from the south, columns from the east."""
    # OSGB36 / British National Grid: EPSG:27700.
    grid = Proj(
        "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy"
    )
    rows, columns = round((NORTH - SOUTH) / STEP) + 1, round((EAST - WEST) / STEP) + 1
    airy, grs80 = (6377563.396, 6356256.909), (6378137.0, 6356752.314)
    head = [
        _record("NUM_OREC", _number(11)),
        _record("NUM_SREC", _number(11)),
        _record("NUM_FILE", _number(1)),
        _record("GS_TYPE", b"SECONDS "),
        _record("VERSION", b"TEST    "),
        _record("SYSTEM_F", b"OSGB36  "),
        _record("SYSTEM_T", b"ETRS89  "),
        *(_record(n, _real(v)) for n, v in zip(("MAJOR_F", "MINOR_F"), airy, strict=True)),
        *(_record(n, _real(v)) for n, v in zip(("MAJOR_T", "MINOR_T"), grs80, strict=True)),
        _record("SUB_NAME", b"TEST    "),
        _record("PARENT", b"NONE    "),
        _record("CREATED", b"20261125"),
        _record("UPDATED", b"20261125"),
        _record("S_LAT", _real(SOUTH * 3600)),
        _record("N_LAT", _real(NORTH * 3600)),
        _record("E_LONG", _real(-EAST * 3600)),  # west is positive in NTv2
        _record("W_LONG", _real(-WEST * 3600)),
        _record("LAT_INC", _real(STEP * 3600)),
        _record("LONG_INC", _real(STEP * 3600)),
        _record("GS_COUNT", _number(rows * columns)),
    ]
    nodes = []
    for row in range(rows):
        for column in range(columns):
            latitude, longitude = SOUTH + row * STEP, EAST - column * STEP
            lon, lat = convertbng.convert_osgb36_to_ll(*([c] for c in grid(longitude, latitude)))
            shifts = ((lat[0] - latitude) * 3600, -(lon[0] - longitude) * 3600)
            nodes.append(struct.pack("<ffff", *shifts, 0.0, 0.0))
    return b"".join([*head, *nodes, _record("END", b"\0" * 8)])


@pytest.fixture(scope="module")
def with_grid(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What a process that finds the grid file reads of three references."""
    folder = tmp_path_factory.mktemp("proj")
    (folder / GRID_FILE).write_bytes(shift_file())
    code = (
        "import json, sys, pyproj\n"
        "pyproj.datadir.append_data_dir(sys.argv[1])\n"
        "from crossproof.parse.place import places\n"
        "found = places(['SU 12345 45678', 'SU 123 456', 'NT 12345 67890'])\n"
        "print(json.dumps([[p.latitude, p.longitude, p.uncertainty_m, p.protocol] for p in found]))"
    )
    source = Path(__file__).parents[2] / "src"
    environment = {**os.environ, "PYTHONPATH": str(source)}
    done = subprocess.run(
        [sys.executable, "-c", code, str(folder)],
        capture_output=True, text=True, check=True, env=environment,
    )  # fmt: skip
    metre, hundred, beyond = json.loads(done.stdout)
    return {"metre": metre, "hundred": hundred, "beyond": beyond}


def test_the_grid_file_is_used_where_it_lies(with_grid: dict[str, Any]) -> None:
    latitude, longitude, uncertainty, protocol = with_grid["metre"]
    lon, lat = convertbng.convert_osgb36_to_ll([412345.5], [145678.5])
    assert Geod(ellps="WGS84").inv(longitude, latitude, lon[0], lat[0])[2] < 0.1
    assert "EPSG:7710" in protocol and "OSTN15" in protocol and "accuracy 1 m" in protocol
    assert uncertainty == math.ceil(1 / math.sqrt(2) + 1)


def test_the_uncertainty_holds_the_grid_operations_accuracy(with_grid: dict[str, Any]) -> None:
    assert with_grid["hundred"][2] == math.ceil(100 / math.sqrt(2) + 1)


def test_beyond_the_grid_file_the_helmert_stands_in(with_grid: dict[str, Any]) -> None:
    latitude, longitude, uncertainty, protocol = with_grid["beyond"]
    assert math.isfinite(latitude) and math.isfinite(longitude)
    assert "EPSG:1314" in protocol
    assert uncertainty == math.ceil(1 / math.sqrt(2) + 2)


def test_no_place_is_ever_a_ballpark() -> None:
    for text in ("SU123456", "N123456", "WV650480", "ITM 715830 734697"):
        assert "ballpark" not in parse_place(text).protocol.lower()
