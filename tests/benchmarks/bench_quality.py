"""Time the quality tests over a made-up table, and against a plain loop over its first records.

Run it by hand: `python tests/benchmarks/bench_quality.py [RECORDS]`. It prints seconds, records a
second and the greatest memory of the process; the table is made chunk by chunk, so that it never
lies in memory whole.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pandas as pd

from crossproof import quality

RECORDS = 1_000_000
CHUNK = 50_000
LOOPED = 1_000


def chunks(records: int, seed: int = 20261125) -> Iterator[pd.DataFrame]:
    """Yield a table as a county's archive has it: many records of few names, dates and places.

    Identifiers are all different, coordinates nearly so; one value in twenty is missing or wrong.
    """
    pick = np.random.default_rng(seed)
    stems = ["".join("abcdefghij"[int(figure)] for figure in f"{n:04}") for n in range(4000)]
    names = np.array([f"Herba{stem[1:]} {stem}folia" for stem in stems])
    days = pd.date_range("1950-01-01", "2026-10-31").strftime("%Y-%m-%d").to_numpy()
    odd_days = np.array(["12.vi.1987", "1987-06", "1990-02-30", "", "3/4/1999", "June 1971"])
    places = np.array([f"Parish {n}" for n in range(2500)])
    for start in range(0, records, CHUNK):
        rows = min(CHUNK, records - start)
        which = pick.integers(0, len(names), rows)
        dates = days[pick.integers(0, len(days), rows)]
        odd = pick.random(rows) < 0.05
        dates = np.where(odd, odd_days[pick.integers(0, len(odd_days), rows)], dates)
        year = np.where(odd, "", [date[:4] for date in dates])
        yield pd.DataFrame(
            {
                "occurrenceID": [f"urn:example:{start + row}" for row in range(rows)],
                "basisOfRecord": pick.choice(
                    ["HumanObservation", "human obs", "PreservedSpecimen"], rows
                ),
                "scientificName": names[which],
                "genericName": [name.split()[0] for name in names[which]],
                "specificEpithet": [name.split()[1] for name in names[which]],
                "taxonRank": pick.choice(
                    ["species", "sp.", "nothospecies", ""], rows, p=[0.9, 0.04, 0.03, 0.03]
                ),
                "kingdom": "Plantae",
                "eventDate": dates,
                "year": year,
                "verbatimEventDate": np.where(odd, dates, ""),
                "country": pick.choice(
                    ["United Kingdom", "Ireland", ""], rows, p=[0.8, 0.15, 0.05]
                ),
                "countryCode": pick.choice(["GB", "IE", "gb"], rows, p=[0.8, 0.15, 0.05]),
                "locality": places[pick.integers(0, len(places), rows)],
                "decimalLatitude": np.round(pick.uniform(50, 60, rows), 4).astype(str),
                "decimalLongitude": np.round(pick.uniform(-8, 2, rows), 4).astype(str),
                "geodeticDatum": pick.choice(["EPSG:4326", "WGS84", ""], rows, p=[0.8, 0.1, 0.1]),
                "coordinateUncertaintyInMeters": pick.choice(["71", "708", "7072", ""], rows),
                "verbatimElevation": pick.choice(["", "120 m", "300-400 ft", "c. 200 m"], rows),
                "occurrenceStatus": pick.choice(["present", "", "1"], rows),
                "license": "https://creativecommons.org/licenses/by/4.0/",
                "recordedBy": pick.choice(["A. Recorder", "B. Recorder"], rows),
            }
        )


def loop(records: int) -> float:
    """Put every test to every record in turn, and return the seconds for one record."""
    frame = next(chunks(records))
    rows = [
        {("dcterms:" if term == "license" else "dwc:") + term: value for term, value in row.items()}
        for row in frame.head(records).to_dict("records")
    ]
    single = [each for each in quality.tests() if each.kind != "MEASURE"]
    quality.run(single[0].guid, rows[0])
    began = time.perf_counter()
    for row in rows:
        for each in single:
            quality.run(each.guid, row)
    return (time.perf_counter() - began) / len(rows)


def main() -> None:
    records = int(sys.argv[1]) if len(sys.argv) > 1 else RECORDS
    with tempfile.TemporaryDirectory() as folder:
        made = time.perf_counter()
        for _ in chunks(records):
            pass
        making = time.perf_counter() - made
        began, cpu = time.perf_counter(), time.process_time()
        outcome = quality.check_table(chunks(records), folder, source="a made-up table")
        seconds = time.perf_counter() - began - making
        used = time.process_time() - cpu - making
        written = sum(path.stat().st_size for path in outcome.files)
        print(f"{outcome.records:,} records x {len(outcome.tallies)} tests: {seconds:.1f} s")
        print(f"  {used:.1f} s of processor time, {records / seconds:,.0f} records a second")
        print(f"  {written / 1e6:,.0f} MB written in {len(list(Path(folder).iterdir()))} files")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"  greatest memory of the process: {peak:,.0f} MB")
    each = loop(min(LOOPED, records))
    print(f"  a plain loop: {each * 1e3:.2f} ms a record, {each * records:,.0f} s for all of them")
    print(f"  {each * records / seconds:,.0f} times as long")


if __name__ == "__main__":
    main()
