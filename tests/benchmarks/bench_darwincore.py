"""How long the archive and the data package of n records take, against copying as many bytes.

python tests/benchmarks/bench_darwincore.py [ROWS]
"""

from __future__ import annotations

import csv
import resource
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from crossproof.darwincore.archive import Archive
from crossproof.darwincore.ids import RecordIds
from crossproof.darwincore.metadata import DatasetMetadata
from crossproof.darwincore.package import DataPackage
from crossproof.darwincore.zipped import zip_folder
from crossproof.model import Coded, Evidence, Judged, Photo, Table
from darwincore.builder import (
    BELLIS,
    CLAIM,
    LOWERED,
    NO_CLAIM,
    STEM,
    UPHELD,
)

CHUNK = 20_000


def synthetic(rows: int, ids: list[str], seed: int) -> Judged:
    """A chunk with a few thousand distinct places, dates and remarks, as real ones have."""
    pick = np.random.default_rng(seed)

    def column(values: list) -> Coded:
        return Coded(values, pick.integers(0, len(values), rows).astype(np.intp))

    # Three records in ten are hybrid claims; what their remarks say decides the verdict.
    said: list[tuple[Evidence, ...]] = [
        (Evidence("leaf", "ring_spots", "remark", f"lvs w. rings, plant {n}", 0, 20), STEM)[
            : 1 + n % 2
        ]
        for n in range(1500)
    ]
    kind = np.where(pick.random(rows) < 0.3, pick.integers(1, len(said) + 1, rows), 0)
    places = [
        {
            "decimalLatitude": f"{51 + n / 4000:.5f}",
            "decimalLongitude": f"{-2 + n / 4000:.5f}",
            "geodeticDatum": "WGS84",
            "coordinateUncertaintyInMeters": "72",
            "verbatimCoordinates": f"SU {n:03} 456",
            "footprintWKT": f"POLYGON ((-1.8 51.{n}, -1.7 51.{n}, -1.7 51.6, -1.8 51.{n}))",
            "footprintSRS": "EPSG:4326",
            "georeferenceProtocol": "centre of the grid square",
            "georeferenceRemarks": "EPSG:1314, stated accuracy 2 m",
            "locality": f"Osier Fen, compartment {n}",
        }
        for n in range(3000)
    ]
    dates = [
        {"eventDate": f"{1980 + n // 300}-06-{1 + n % 30:02}", "verbatimEventDate": f"{n} June"}
        for n in range(2000)
    ]
    return Judged(
        table=Table("records.csv", "", ("Species",), 1, {}),
        numbers=range(rows),
        ids=ids,
        claims=Coded([BELLIS, CLAIM], np.minimum(kind, 1)),
        verdicts=Coded([NO_CLAIM, LOWERED, UPHELD], np.where(kind > 0, 1 + kind % 2, 0)),
        evidence=Coded([(), *said], kind),
        photos=column([*[()] * 5, (Photo(reference="IMG_0042.jpg", parts=("leaf",)),)]),
        where=column(places),
        when=column(dates),
        given={
            "recordedBy": column([f"Recorder {n}" for n in range(200)]),
            "occurrenceRemarks": column([f"by the ditch, {n}" for n in range(2000)]),
        },
        extra=column(["", *(f'{{"Weather": "wet {n}"}}' for n in range(50))]),
    )


def timed(what: str, do: Callable[[], object]) -> float:
    start = time.perf_counter()
    do()
    took = time.perf_counter() - start
    print(f"{what:<44}{took:8.2f} s")
    return took


def main(rows: int) -> None:
    contents = [(f"record {n}", "SU 123 456", "2019-06-14", "O. Marrable") for n in range(rows)]
    ids: list[str] = []
    timed(f"{rows:,} identifiers", lambda: ids.extend(RecordIds().assign(contents)))
    chunks = [
        synthetic(min(CHUNK, rows - at), ids[at : at + CHUNK], at) for at in range(0, rows, CHUNK)
    ]
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024

    def write(kind: type[Archive] | type[DataPackage], folder: Path) -> None:
        with kind(folder, DatasetMetadata(), issued="2026-11-25") as output:
            for chunk in chunks:
                output.write(chunk)

    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        took = timed("Darwin Core archive", lambda: write(Archive, folder / "dwca"))
        took += timed("Darwin Core Data Package", lambda: write(DataPackage, folder / "dwc-dp"))
        print(f"{'together':<44}{took:8.2f} s")
        timed("dwca.zip", lambda: zip_folder(folder / "dwca", folder / "dwca.zip"))
        tables = sorted(folder.rglob("*.csv"))

        def copy() -> None:
            for table in tables:
                with (
                    table.open(encoding="utf-8", newline="") as source,
                    (folder / "copy.csv").open("w", encoding="utf-8", newline="") as target,
                ):
                    csv.writer(target).writerows(csv.reader(source))

        baseline = timed("the same tables through csv, read and written", copy)
        size = sum(table.stat().st_size for table in tables) / 1e6
        print(f"{size:.0f} MB of tables; {took / baseline:.2f} times the csv module's time")
        if "--check" in sys.argv:
            from crossproof.darwincore.validate import validate_tables

            for name in ("dwca", "dwc-dp"):
                timed(f"validation of {name}", lambda name=name: validate_tables(folder / name))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak memory {peak:.0f} MB, of which {before:.0f} MB before writing")


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    main(numbers[0] if numbers else 100_000)
