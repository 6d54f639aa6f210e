from __future__ import annotations

import pandas as pd
import pytest

from crossproof.read import Unreadable
from crossproof.read.frame import chunk_of


def test_a_frame_is_read_like_a_file() -> None:
    frame = pd.DataFrame(
        {
            "Species": ["D. × grandis", None, "NA"],
            "Date": pd.to_datetime(["2019-06-14", None, "2020-01-02"]),
            "count": [12, 3, 1],
            "lat": [51.5, float("nan"), 52.0],
            "seen": pd.array([True, None, False], dtype="boolean"),
        },
        index=[7, 7, 9],
    )
    chunk = chunk_of(frame)
    assert list(zip(*chunk.columns, strict=True)) == [
        ("D. × grandis", "2019-06-14", "12", "51.5", "TRUE"),
        ("", "", "3", "", ""),
        ("NA", "2020-01-02", "1", "52", "FALSE"),
    ]
    assert list(chunk.numbers) == [1, 2, 3]
    assert chunk.table.fields["eventDate"] == "Date"


def test_an_empty_frame_and_one_without_a_plant() -> None:
    assert len(chunk_of(pd.DataFrame({"species": []}))) == 0
    with pytest.raises(Unreadable, match="the frame: no column names the plant"):
        chunk_of(pd.DataFrame({"Wo": ["hier"]}))
