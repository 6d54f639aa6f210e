"""The exact place of a sensitive record is in no byte that is written, whatever it was planted in.

The places and their notations are made with PROJ (`planted.py`), not with this project.
"""

from __future__ import annotations

import planted
import pytest

from crossproof.options import Options
from crossproof.pipeline import vet_to

PLACES = 10_000


def _leaks(folder, places) -> set[str]:
    levels = [planted.LEVELS[number % len(planted.LEVELS)] for number in range(len(places))]
    wanted = frozenset(
        needle
        for place, level in zip(places, levels, strict=True)
        for needle in planted.needles(place, level)
    )
    # One record's published square of 100 m may by chance hold another's hidden place.
    wanted -= {
        planted.six_figures(place)
        for place, level in zip(places, levels, strict=True)
        if level == "100 m"
    }
    seen = set()
    for name, text in planted.texts(folder):
        seen |= {f"{name}: {needle}" for needle in planted.found_in(text, wanted)}
    return seen


def test_ten_thousand_planted_places_leave_no_trace(tmp_path) -> None:
    places = planted.plant(PLACES)
    records = list(planted.rows(places, plants=2))
    source = planted.write(tmp_path / "records.csv", records)
    summary = vet_to([source], tmp_path / "out", Options(validate="never", quality=False))
    assert summary["rows"] == PLACES
    assert _leaks(tmp_path / "out", places) == set()


def test_every_field_at_once(tmp_path) -> None:
    """Records that hold the place in all fields, each in another notation."""
    places = planted.plant(200, seed=7)
    source = planted.write(
        tmp_path / "records.csv", list(planted.rows(places, plants=len(planted.FIELDS)))
    )
    vet_to([source], tmp_path / "out", Options(validate="never"))
    assert _leaks(tmp_path / "out", places) == set()


@pytest.mark.parametrize("field", planted.FIELDS)
def test_the_search_finds_what_is_not_kept_back(tmp_path, field: str) -> None:
    """The same search over records that are not sensitive: it must find the place."""
    (place,) = planted.plant(1, seed=8)
    record = {
        "species": "D. x grandis",
        "date": "2024-06-14",
        "locality": "Osier Fen",
        field: f"at {place.letters}{place.digits[0]}{place.digits[1]}",
    }
    vet_to([planted.write(tmp_path / "r.csv", [record])], tmp_path / "out", Options())
    assert _leaks(tmp_path / "out", [place])
