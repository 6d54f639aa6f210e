"""Arrow's arrays made from bytes, and columns of texts that are hardly ever alike."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

pa = pytest.importorskip("pyarrow")

from crossproof import arrow  # noqa: E402
from crossproof.arrow import Unlike, picked, utf8  # noqa: E402

columns = st.lists(st.text(max_size=6), max_size=20)


@given(columns)
def test_texts_are_what_arrow_itself_would_hold(column: list[str]) -> None:
    made = arrow.texts(column)
    made.validate(full=True)
    assert made.equals(pa.array(column, pa.string()))


def test_half_a_surrogate_pair_becomes_a_question_mark() -> None:
    assert arrow.texts(["a\ud800", "×"]).to_pylist() == ["a?", "×"]


@pytest.mark.parametrize("kind", [np.int32, np.int64, np.uint64])
def test_numbers(kind: type) -> None:
    numbers = np.arange(12, dtype=kind)[::3]
    assert arrow.numbers(numbers).equals(pa.array(numbers))


def test_values_of_a_slice() -> None:
    assert [*arrow.values(pa.array([5, 6, 7, 8])[1:3])] == [6, 7]
    assert [*arrow.values(pa.array([], pa.int64()))] == []


@given(columns, st.integers(0, 5))
def test_a_column_has_the_bytes_of_its_texts(column: list[str], start: int) -> None:
    for texts in (column[start:], Unlike(pa.array(column, pa.string())[start:])):
        data, lengths = utf8(texts)
        assert data.tobytes() == "".join(column[start:]).encode()
        assert [*lengths] == [len(text.encode()) for text in column[start:]]


@given(columns)
def test_an_unlike_column_is_a_sequence_of_its_texts(column: list[str]) -> None:
    texts = Unlike(pa.array(column, pa.string()))
    assert [*texts] == column
    assert [texts[i] for i in range(len(texts))] == column
    assert [*texts[1:3]] == column[1:3]
    last = np.arange(len(column))[::-1]
    assert [*picked(texts, last)] == [*picked(column, last)] == column[::-1]


@pytest.mark.parametrize(
    ("texts", "graphic"),
    [(["a-1", "~!"], True), (["a 1"], False), (["a\x7f"], False), (["é"], False), ([""], True)],
)
def test_is_graphic(texts: list[str], graphic: bool) -> None:
    assert Unlike(pa.array(texts, pa.string())).is_graphic is graphic


def test_first_rows_of_a_table(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    rows = [(str(n), "x" if n % 2 else "", 'two\r\nlines, "quoted"') for n in range(30_000)]
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([("n", "x", "words"), *rows])
    found = arrow.first_rows(path, ["words", "n"], 25_000)
    assert found["n"].to_pylist() == [row[0] for row in rows[:25_000]]
    assert found["words"].to_pylist() == [row[2] for row in rows[:25_000]]
    assert arrow.first_rows(path, ["n"], 0)["n"].to_pylist() == []
