"""Ways of writing that a reader goes wrong on, each with a dozen siblings.

The remarks of `remark_kinds.csv` are invented; what they say is plain to read (common practice, no
published source). Marks of any sort but rings count as `marks`, `-` is nothing recorded.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from crossproof.parse.remark import parse_remark

COARSE = {
    "not_recorded": "-",
    "marked": "marks",
    "fine_dots": "marks",
    "solid_spots": "marks",
    "transverse_bars": "marks",
    "ring_spots": "ring",
}
with Path(__file__).with_name("remark_kinds.csv").open(encoding="utf-8", newline="") as file:
    CASES = [tuple(row.values()) for row in csv.DictReader(file)]


@pytest.mark.parametrize(("kind", "remark", "leaf", "stem"), CASES, ids=[c[1] for c in CASES])
def test_a_remark_of_this_kind_is_read(kind: str, remark: str, leaf: str, stem: str) -> None:
    read = parse_remark(remark)
    assert (COARSE.get(read.leaf, read.leaf), COARSE.get(read.stem, read.stem)) == (leaf, stem)
    for evidence in read.evidence:
        assert evidence.words == remark[evidence.start : evidence.end]
