"""Columns held as their distinct values."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.coding import (
    ByObject,
    Memo,
    Remembered,
    code,
    cross,
    distinct,
    numbered,
    rows_where,
    same,
)
from crossproof.model import Coded

texts = st.lists(st.text(max_size=3), max_size=30)


@given(texts)
def test_code_gives_every_row_its_text(column: list[str]) -> None:
    coded = code(column)
    assert [*coded] == column
    assert len(set(coded.values)) == len(coded.values)


@pytest.mark.parametrize(
    "column", [["a\0b", "a\0c", "a"], ["nan", "", "None", "NaN"], ["\ud800", "\ud801"], []]
)
def test_code_takes_no_text_for_another(column: list[str]) -> None:
    assert [*code(column)] == column


@given(st.lists(st.tuples(st.text(max_size=2), st.integers(0, 3), st.booleans()), max_size=30))
def test_cross_combines_row_by_row(rows: list[tuple[str, int, bool]]) -> None:
    columns = [code([str(row[i]) for row in rows]) for i in range(3)]
    crossed = cross(*columns)
    assert [*crossed] == [tuple(map(str, row)) for row in rows]
    assert sorted(crossed.values) == sorted(set(crossed))  # each once, and none that no row has


def test_cross_refuses_columns_of_different_length() -> None:
    with pytest.raises(ValueError):
        cross(code(["a", "b"]), code(["a"]))


def test_cross_of_many_wide_columns_does_not_overflow() -> None:
    columns = [code([f"{n}-{i}" for i in range(3_000)]) for n in range(8)]
    crossed = cross(*columns)
    assert len(crossed.values) == 3_000
    assert [*crossed][7] == tuple(f"{n}-7" for n in range(8))


@given(st.lists(st.integers(0, 30)), st.sampled_from([31, 10**6, 10**12]))
def test_numbered_leaves_no_gaps(codes: list[int], most: int) -> None:
    anew, before = numbered(np.array(codes, dtype=np.int64), most)
    assert [before[code] for code in anew] == codes
    assert [*before] == sorted(set(codes))


@given(st.lists(st.integers(0, 9), max_size=30))
def test_distinct_holds_equal_values_once(numbers: list[int]) -> None:
    coded = code([str(n) for n in numbers]).map(lambda text: int(text) % 3)
    once = distinct(coded)
    assert [*once] == [*coded]
    assert len(set(once.values)) == len(once.values)


def test_distinct_of_values_made_when_asked_for() -> None:
    """Each is gone when the next is made, and may have left its place in memory to it."""

    class Made(Sequence[str]):
        def __len__(self) -> int:
            return 500

        def __getitem__(self, i: Any) -> Any:
            if i >= 500:
                raise IndexError(i)
            return f"value {i % 250}"

    made = Coded(Made(), np.arange(500))
    once = distinct(made)
    assert [*once] == [f"value {i % 250}" for i in range(500)]
    assert len(once.values) == 250


def test_same() -> None:
    assert [*same("x", 3)] == ["x", "x", "x"]


def test_memo_asks_once_and_forgets_when_full() -> None:
    asked: list[int] = []
    memo = Memo(lambda n: asked.append(n) or n * n, limit=2)
    assert [memo(2), memo(2), memo(3), memo(2)] == [4, 4, 9, 4]
    assert asked == [2, 3]
    assert [memo(4), memo(2)] == [16, 4]
    assert asked == [2, 3, 4, 2]


@given(texts)
def test_rows_where(column: list[str]) -> None:
    found = list(rows_where(code(column), lambda text: "a" in text))
    assert found == [(i, text) for i, text in enumerate(column) if "a" in text]


def test_select() -> None:
    assert [*code(["a", "b", "a"]).select(np.array([2, 1]))] == ["a", "b"]


def test_many_are_asked_for_at_once_and_only_once() -> None:
    asked: list[list[int]] = []
    squares = Remembered(lambda many: asked.append([*many]) or [n * n for n in many], limit=3)
    assert squares([1, 2, 1]) == [1, 4, 1]
    assert squares([2, 3]) == [4, 9]
    assert squares([]) == []
    assert asked == [[1, 2], [3]]
    assert squares([4, 1]) == [16, 1]  # no room for a fourth: it begins anew
    assert squares([4, 1]) == [16, 1]
    assert asked[2:] == [[4], [1]]
    assert squares([5, 6, 7, 8]) == [25, 36, 49, 64]  # more than it can hold
    assert squares([5]) == [25]
    assert asked[4:] == [[5, 6, 7, 8], [5]]


def test_an_object_is_known_again_by_itself_not_by_its_value() -> None:
    asked: list[list[int]] = []
    first, equal = [1], [1]
    size = ByObject(lambda numbers: asked.append(numbers) or len(numbers))
    assert [size(first), size(equal), size(first)] == [1, 1, 1]
    assert list(map(id, asked)) == [id(first), id(equal)]


@given(st.lists(st.integers(0, 9), max_size=60), st.integers(1, 4))
def test_objects_that_came_and_went_are_never_taken_for_others(
    numbers: list[int], limit: int
) -> None:
    square = ByObject(lambda pair: pair[0] ** 2, limit)
    assert [square([n]) for n in numbers] == [n**2 for n in numbers]
