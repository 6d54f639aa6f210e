"""Tables that grow, columns that combine, and cells that stay as they are."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossproof.coding import cross
from crossproof.darwincore.columns import itemise, masked
from crossproof.darwincore.conform.lines import lines
from crossproof.darwincore.coverage import Coverage
from crossproof.darwincore.tables import GrowingTable, chosen, each
from crossproof.spreadsheet import guard

from .builder import Row, code, judged

CELL = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12)
ROWS = st.lists(st.dictionaries(st.sampled_from("abcd"), CELL.filter(bool)), max_size=8)


@settings(max_examples=60)
@given(rows=ROWS, cuts=st.sets(st.integers(0, 8)))
def test_rows_come_back_however_chunked(
    rows: list[dict[str, str]], cuts: set[int], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Any text but NUL, in any chunks, through the standard library's csv."""
    path = tmp_path_factory.mktemp("table") / "table.csv"
    table = GrowingTable(path)
    edges = sorted({0, len(rows), *(cut for cut in cuts if cut <= len(rows))})
    for start, end in pairwise(edges):
        part = rows[start:end]
        texts = {name: code(row.get(name, "") for row in part) for name in "abcd"}
        numbers = each("n", [str(number) for number in range(start, end)])
        table.write([numbers, chosen(texts, (), "abcd", len(part))], "nabcd".index)
    table.close(("n",))
    with path.open(encoding="utf-8", newline="") as file:
        read = list(csv.DictReader(file))
    assert table.rows == len(rows)
    assert [path.name] == [p.name for p in path.parent.iterdir()]
    used = {name for row in rows for name in row}
    assert set(table.columns) == {"n", *used}
    assert read == [
        {"n": str(number), **{name: row.get(name, "") for name in sorted(used)}}
        for number, row in enumerate(rows)
    ]


@given(st.lists(st.tuples(st.sampled_from("ab"), st.integers(0, 3), st.booleans())))
def test_combinations_are_the_rows(rows: list[tuple[str, int, bool]]) -> None:
    columns = [code(column) for column in zip(*rows, strict=True)] or [code([])]
    together = cross(*columns)
    assert list(together) == rows
    assert len(set(together.values)) == len(together.values)


@given(st.lists(st.tuples(st.lists(st.integers()), st.lists(st.integers()))))
def test_items_follow_their_rows(rows: list[tuple[list[int], list[int]]]) -> None:
    one, other = code(tuple(row[0]) for row in rows), code(tuple(row[1]) for row in rows)
    items = itemise(one, other)
    expected = [
        (row, number, item)
        for row, (first, second) in enumerate(rows)
        for number, item in enumerate([*first, *second], 1)
    ]
    found = zip(items.rows.tolist(), items.numbers.tolist(), items.items, strict=True)
    assert list(found) == expected


def test_masked_rows_are_blank() -> None:
    assert list(masked(code(["a", "b", "a"]), np.array([True, False, False]))) == ["a", "", ""]


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
)


@given(JSON, st.sampled_from([None, 0, 2]))
def test_every_piece_of_json_has_its_line(value: object, indent: int | None) -> None:
    """The standard library's json is the reference for what a piece is."""
    text = json.dumps(value, indent=indent)
    found = lines(text)

    def paths(piece: object, path: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
        pairs: Iterable[tuple[str | int, object]] = ()
        if isinstance(piece, dict):
            pairs = piece.items()
        elif isinstance(piece, list):
            pairs = enumerate(piece)
        return {path}.union(*(paths(inner, (*path, key)) for key, inner in pairs))

    assert set(found) == paths(value)
    assert all(1 <= line <= text.count("\n") + 1 for line in found.values())


def test_a_line_of_json() -> None:
    text = '{\n  "a": [\n    {"b": 1},\n    "c,]"\n  ],\n  "d": {}\n}\n'
    assert lines(text) == {
        (): 1,
        ("a",): 2,
        ("a", 0): 3,
        ("a", 0, "b"): 3,
        ("a", 1): 4,
        ("d",): 6,
    }


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("=1+1", "'=1+1"),
        ("+44 20", "'+44 20"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("-2+3", "'-2+3"),
        ("\t=1", "'\t=1"),
        ("\r=1", "'\r=1"),
        ("-1.8239", "-1.8239"),
        ("+5", "+5"),
        ("-", "'-"),
        ("Osier Fen", "Osier Fen"),
        ("", ""),
        ("×", "×"),
        ("1=1", "1=1"),
    ],
)
def test_a_spreadsheet_cannot_run_a_cell(cell: str, expected: str) -> None:
    """OWASP, "CSV Injection", for the signs that start a formula."""
    assert guard(cell) == expected


@pytest.mark.parametrize(
    ("dates", "first", "last"),
    [
        (["2019-06-14"], "2019-06-14", "2019-06-14"),
        (["2019"], "2019-01-01", "2019-12-31"),
        (["2020-02"], "2020-02-01", "2020-02-29"),
        (["1987-06-12/1987-06-14", "1986-12-31"], "1986-12-31", "1987-06-14"),
        (["1987-06-12/14"], "1987-06-12", "1987-06-14"),
        (["1987-05/06"], "1987-05-01", "1987-06-30"),
        (["2019-06-14T10:00:00Z"], "2019-06-14", "2019-06-14"),
        (["2019-02-30", "?", ""], "", ""),
        (["2019-13-01"], "", ""),
    ],
)
def test_dates_covered(dates: list[str], first: str, last: str) -> None:
    """ISO 8601-1:2019, dates and intervals, the shortened end (4.4.5) among them."""
    coverage = Coverage()
    coverage.add(judged([Row(when={"eventDate": date}) for date in dates]))
    assert (coverage.first, coverage.last) == (first, last)


def test_places_covered() -> None:
    places = [("51.5", "-1.8"), ("53", "-9.25"), ("", ""), ("95", "0"), ("x", "y")]
    coverage = Coverage()
    coverage.add(
        judged([Row(where={"decimalLatitude": y, "decimalLongitude": x}) for y, x in places])
    )
    assert (coverage.west, coverage.east, coverage.south, coverage.north) == (-9.25, -1.8, 51.5, 53)
