"""Blocks hold what the plain readers give: the csv module's rows and pyarrow's own values."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crossproof import read
from crossproof.model import Chunk
from crossproof.read import plain_text
from crossproof.read.blocks import Ready, blocks, coded_chunks

MESSY = Path(__file__).parents[1] / "messy"
# No `__pycache__`: of several processes one may have made it before another looks.
FILES = sorted(path for path in MESSY.iterdir() if not path.name.startswith("__"))

loose = settings(
    deadline=None,
    max_examples=300,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


def rows_of(chunks: list[Chunk]) -> list[tuple[object, ...]]:
    """Every row with its number, whole or broken."""
    found: list[tuple[object, ...]] = []
    for chunk in chunks:
        found += [(n, cells) for n, *cells in zip(chunk.numbers, *chunk.columns, strict=True)]
        found += [(b.number, list(b.cells), b.problem) for b in chunk.broken]
    return sorted(found, key=lambda row: row[0])  # type: ignore[arg-type, return-value]


def by_blocks(path: Path, size: int = 64, rows: int = 7) -> list[Chunk]:
    found = blocks(path, extra_headings={}, size=size, rows=rows)
    return [chunk for block in found for chunk in block.chunks()]


@pytest.mark.parametrize("size", [1, 64, 1 << 20])
@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
def test_messy_files(path: Path, size: int) -> None:
    if path.suffix == ".py":
        pytest.skip("makes the files")
    try:
        expected = rows_of(list(read.chunks(path)))
    except read.Unreadable as refused:
        with pytest.raises(read.Unreadable, match=str(refused)[:20]):
            by_blocks(path, size)
        return
    assert rows_of(by_blocks(path, size)) == expected


@pytest.mark.parametrize("rows", [1, 3, 10_000])
@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
def test_coded_chunks_say_all_that_the_plain_reader_says(path: Path, rows: int) -> None:
    if path.suffix == ".py":
        pytest.skip("makes the files")
    try:
        expected = list(read.chunks(path, rows=rows))
    except read.Unreadable as refused:
        with pytest.raises(read.Unreadable) as ours:
            list(coded_chunks(path, extra_headings={}, rows=rows))
        assert str(ours.value) == str(refused)
        return
    found = list(coded_chunks(path, extra_headings={}, rows=rows))
    assert rows_of(found) == rows_of(expected)
    assert [f for c in found for f in c.findings] == [f for c in expected for f in c.findings]
    assert max(map(len, found)) <= rows
    assert {c.table.file for c in found} == {c.table.file for c in expected}


def test_a_table_without_rows_still_says_what_its_headings_were_taken_for(tmp_path: Path) -> None:
    path = tmp_path / "records.csv"
    path.write_text("Title of the list,\nspecies,Grid Ref\n")
    (expected,) = read.chunks(path)
    (found,) = coded_chunks(path, extra_headings={}, rows=10)
    assert found.findings and [*found.findings] == [*expected.findings]
    assert (len(found), found.table) == (0, expected.table)


CELL = st.text(st.sampled_from('ab ",\n\r×é;'), max_size=5)
HELD = st.one_of(st.integers(5, 60), st.just(1 << 20))
LINE = st.text(st.sampled_from('ab",  \r×'), max_size=12)


def same_as_plain_reader(path: Path, size: int, held: int) -> None:
    """`held` bytes are looked at together at a time, where it is millions otherwise."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plain_text, "_CACHED", held)
        patch.setattr(plain_text, "_READ", held)
        try:
            expected = rows_of(list(read.chunks(path, rows=10_000)))
        except read.Unreadable:
            with pytest.raises(read.Unreadable):
                by_blocks(path, size)
            return
        assert rows_of(by_blocks(path, size)) == expected


@loose
@given(
    table=st.lists(st.lists(CELL, min_size=3, max_size=3), max_size=8),
    quoting=st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
    end=st.sampled_from(["\n", "\r\n"]),
    size=st.integers(1, 80),
    held=HELD,
)
def test_tables_as_csv_writes_them(tmp_path, table, quoting, end, size, held) -> None:
    text = io.StringIO()
    writer = csv.writer(text, quoting=quoting, lineterminator=end)
    writer.writerows([["species", "Leaves", "Comments"], *table])
    path = tmp_path / "records.csv"
    path.write_bytes(text.getvalue().encode())
    same_as_plain_reader(path, size, held)


@loose
@given(
    lines=st.lists(LINE, max_size=8),
    last=st.sampled_from(["", "\n"]),
    size=st.integers(1, 60),
    held=HELD,
)
def test_any_text_at_all(tmp_path, lines, last, size, held) -> None:
    path = tmp_path / "records.csv"
    text = "\n".join(["species,Leaves,Comments", *lines]) + last
    path.write_bytes(text.encode())
    same_as_plain_reader(path, size, held)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("size", range(200, 230))  # a block may end anywhere in a line
def test_regular_files_are_cut_and_read_by_arrow(tmp_path: Path, size: int, end: str) -> None:
    path = tmp_path / "records.csv"
    head, line = f"species,Comments{end}", f'D. x grandis,"a, ""b""{end}c"{end}'
    path.write_bytes((head + line * 50).encode())
    cut = list(blocks(path, extra_headings={}, size=size))
    assert len(cut) > 3
    assert all(getattr(block, "regular", False) for block in cut)
    assert sum(block.size for block in cut) == path.stat().st_size - len(head)


@pytest.mark.parametrize("group", [3, 100])
def test_parquet(tmp_path: Path, group: int) -> None:
    path = tmp_path / "year=2019" / "records.parquet"
    path.parent.mkdir()
    table = pa.table(
        {
            "species": ["D. x grandis", None, "D. Ã— grandis", "", "Geum urbanum"] * 4,
            "year_found": [2019, None, 2020, None, 7] * 4,
            "leaves": pa.array(["a", "b", "a", None, ""] * 4).dictionary_encode(),
            "width": [1.5, 2.0, None, None, 3.25] * 4,
        }
    )
    pq.write_table(table, path, row_group_size=group)
    cut = list(blocks(tmp_path, extra_headings={}, rows=2))
    assert len(cut) == -(-20 // group)
    assert not any(isinstance(block, Ready) for block in cut)
    got = rows_of([chunk for block in cut for chunk in block.chunks()])
    assert got == rows_of(list(read.chunks(tmp_path)))


@pytest.mark.parametrize(
    ("rows", "sizes"), [(0, []), (1, [1]), (8, [8]), (9, [5, 4]), (20, [7, 7, 6])]
)
def test_a_row_group_is_cut_evenly(tmp_path: Path, rows: int, sizes: list[int]) -> None:
    path = tmp_path / "records.parquet"
    species = pa.array(["D. x grandis"] * rows, pa.string())
    pq.write_table(pa.table({"species": species}), path)
    cut = blocks(path, extra_headings={}, rows=8)
    assert [len(chunk) for block in cut for chunk in block.chunks()] == sizes
