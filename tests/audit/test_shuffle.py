"""Every key comes once, with its place, and with all that are equal to it."""

from __future__ import annotations

import tempfile
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.audit import shuffle

KEYS = st.lists(st.integers(0, 2**64 - 1) | st.sampled_from([0, 1, 2**63]), max_size=30)
PARTS = st.lists(st.tuples(KEYS, KEYS), max_size=5)


@pytest.mark.parametrize("many", [1, 7, 500_000])
@given(parts=PARTS)
def test_keys_are_brought_together(many: int, parts: list[tuple[list[int], list[int]]]) -> None:
    parts = [(a[: len(b)], b[: len(a)]) for a, b in parts]
    rows = sum(len(part[0]) for part in parts)
    with tempfile.TemporaryDirectory() as home, pytest.MonkeyPatch.context() as patch:
        patch.setattr(shuffle, "MANY", many)
        folders = []
        for number, keys in enumerate(parts):
            folder = Path(home) / str(number)
            folder.mkdir()
            shuffle.lay_out(np.array(keys, dtype=np.uint64), folder)
            folders.append(folder)
        every = [(kind, pairs.tolist()) for kind, pairs in shuffle.gather(folders, rows)]
        for kind in range(2):
            buckets = [pairs for of, pairs in every if of == kind]
            found = [(key, position) for bucket in buckets for key, position in bucket]
            places = np.array([position for _, position in found], dtype=np.uint64)
            where = zip(shuffle.parts_of(places).tolist(), shuffle.rows_of(places), strict=True)
            told = {
                (number, int(row)): key
                for (number, row), (key, _) in zip(where, found, strict=True)
            }
            wanted = {
                (number, row): key
                for number, part in enumerate(parts)
                for row, key in enumerate(part[kind])
                if key
            }
            assert told == wanted
            assert len(found) == len(wanted)
            met = [key for bucket in buckets for key in {key for key, _ in bucket}]
            assert len(met) == len(set(met))  # equal keys are in one bucket
