"""Tables written piece by piece are read back as they were by the standard library's csv."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crossproof.coding import code
from crossproof.tabular import AT_ONCE, REMEMBERED, Block, Strip, TableFile, block

# csv reads back anything but a lone surrogate, which UTF-8 can't hold.
cell = st.text(st.characters(exclude_categories=["Cs"]), max_size=6) | st.sampled_from(
    ["", '"', ",", "\r", "\n", "\r\n", '"a', "a,b", " x ", "\0", "'"]
)


def read(path: Path, delimiter: str = ",") -> list[list[str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file, delimiter=delimiter))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(rows=st.lists(st.tuples(*[cell] * 5), max_size=12), delimiter=st.sampled_from(",\t;"))
def test_what_is_written_reads_back(tmp_path: Path, rows, delimiter) -> None:
    path = tmp_path / "t.csv"
    first, last = code([row[0] for row in rows]), code([row[4] for row in rows])
    with TableFile(path, "abcde", delimiter=delimiter) as table:
        table.write(
            [
                block("a", first, lambda text: (text,)),
                Block(("b", "c"), [row[1:3] for row in rows]),
                Strip("d", [row[3] for row in rows]),
                Strip("e", last.values, last.codes),
            ]
        )
        assert table.rows == len(rows)
    assert read(path, delimiter) == [[*"abcde"], *map(list, rows)]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(rows=st.lists(st.tuples(cell, cell, cell), max_size=12), width=st.integers(1, 3))
def test_quoting_is_that_of_csv(tmp_path: Path, rows, width) -> None:
    """The standard library's csv, `QUOTE_MINIMAL`, is the reference for which cells are quoted."""
    columns, rows = tuple("abc"[:width]), [row[:width] for row in rows]
    with TableFile(tmp_path / "ours.csv", columns) as table:
        table.write([Block(columns, rows)])
        table.write([Block(columns, rows, np.arange(len(rows))[::-1])])
    with (tmp_path / "csv.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([columns, *rows, *reversed(rows)])
    assert (tmp_path / "ours.csv").read_bytes() == (tmp_path / "csv.csv").read_bytes()


def test_more_rows_and_cells_than_are_held_at_a_time(tmp_path: Path) -> None:
    texts = [f"text {n}, {n}" for n in range(REMEMBERED + 10)]
    codes = np.arange(len(texts))[::-1]
    with TableFile(tmp_path / "t.csv", ("a", "b")) as table:
        rows = [(text,) for text in texts]
        table.write([Block(("a",), rows), Block(("b",), rows, codes)])
    assert len(texts) > AT_ONCE
    assert read(tmp_path / "t.csv")[1:] == [
        list(row) for row in zip(texts, reversed(texts), strict=True)
    ]


def test_half_a_surrogate_pair_becomes_a_question_mark(tmp_path: Path) -> None:
    """The Unicode Standard, D92: UTF-8 has no place for it."""
    with TableFile(tmp_path / "t.csv", ("a", "b")) as table:
        table.write([Block(("a", "b"), [("x\ud800", "\udc00,")])])
    assert read(tmp_path / "t.csv") == [["a", "b"], ["x?", "?,"]]


def test_blocks_of_unequal_length_are_refused(tmp_path: Path) -> None:
    with (
        TableFile(tmp_path / "t.csv", ("a", "b")) as table,
        pytest.raises(ValueError, match="rows"),
    ):
        table.write([Block(("a",), [("1",)]), Block(("b",), [])])


@pytest.mark.parametrize("rows", [[("",)], [("a",), ("",), ("b",)]])
def test_a_blank_cell_alone_in_its_row_reads_back(tmp_path: Path, rows) -> None:
    path = tmp_path / "t.csv"
    with TableFile(path, ("a",)) as table:
        table.write([Block(("a",), rows)])
    assert read(path) == [["a"], *map(list, rows)]


def test_chunks_follow_each_other(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    with TableFile(path, ("a", "b"), terminator="\n") as table:
        for rows in ([("1", "2")], [], [("3", "x\r\ny")]):
            table.write([Block(("a", "b"), rows)])
    assert path.read_bytes() == b'a,b\n1,2\n3,"x\r\ny"\n'


def test_a_table_without_rows_is_a_table(tmp_path: Path) -> None:
    with TableFile(tmp_path / "t.csv", ("a", "b")):
        pass
    assert read(tmp_path / "t.csv") == [["a", "b"]]


@pytest.mark.parametrize("columns", [("a",), ("b", "a"), ("a", "b", "c")])
def test_other_columns_are_refused(tmp_path: Path, columns) -> None:
    with (
        TableFile(tmp_path / "t.csv", ("a", "b")) as table,
        pytest.raises(ValueError, match=r"t\.csv has"),
    ):
        table.write([Block(columns, [])])


def test_codes_pick_the_rows(tmp_path: Path) -> None:
    with TableFile(tmp_path / "t.csv", ("a",)) as table:
        table.write([Block(("a",), [("x",), ("y",)], np.array([1, 1, 0]))])
    assert read(tmp_path / "t.csv") == [["a"], ["y"], ["y"], ["x"]]
