from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from crossproof.read import Unreadable, chunks


def test_a_folder_of_tables(tmp_path: Path) -> None:
    (tmp_path / "b").mkdir()
    (tmp_path / "b" / "two.tsv").write_text("taxon\tdate\nB\t2019\n", encoding="utf-8")
    (tmp_path / "one.csv").write_text("species\nA\n", encoding="utf-8")
    (tmp_path / "~$lock.xlsx").write_text("x", encoding="utf-8")
    (tmp_path / "photo.jpg").write_bytes(b"\xff\xd8\xff")
    pieces = list(chunks(tmp_path))
    assert [(p.table.file, p.columns[0]) for p in pieces] == [
        ("b/two.tsv", ["B"]),
        ("one.csv", ["A"]),
    ]


def test_a_folder_without_tables(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="holds no table"):
        list(chunks(tmp_path))


def test_parquet(tmp_path: Path) -> None:
    import pyarrow as pa
    import pyarrow.parquet as pq

    table = pa.table(
        {
            "species": ["D. × grandis", None, "D. fuchsii"],
            "date": [date(2019, 6, 14), None, date(2020, 1, 2)],
            "time": [datetime(2019, 6, 14, 13, 30), None, None],
            "count": pa.array([12, None, 9007199254740993], pa.int64()),
            "lat": [51.5, None, 52.0],
            "site": pa.array(["a", "b", "a"]).dictionary_encode(),
            "tags": [["x", "y"], None, []],
            "ok": [True, None, False],
        }
    )
    pq.write_table(table, tmp_path / "a.parquet")
    (piece,) = chunks(tmp_path / "a.parquet")
    assert list(zip(*piece.columns, strict=True)) == [
        (
            "D. × grandis",
            "2019-06-14",
            "2019-06-14T13:30:00",
            "12",
            "51.5",
            "a",
            '["x", "y"]',
            "TRUE",
        ),
        ("", "", "", "", "", "b", "", ""),
        ("D. fuchsii", "2020-01-02", "", "9007199254740993", "52", "a", "[]", "FALSE"),
    ]
    assert list(piece.numbers) == [1, 2, 3]


def test_parquet_in_parts(tmp_path: Path) -> None:
    import pyarrow as pa
    import pyarrow.parquet as pq

    for year in (2018, 2019):
        folder = tmp_path / f"year={year}"
        folder.mkdir()
        pq.write_table(pa.table({"species": ["A", "B"]}), folder / "part-0.parquet")
    pieces = list(chunks(tmp_path))
    assert [p.table.file for p in pieces] == [
        "year=2018/part-0.parquet",
        "year=2019/part-0.parquet",
    ]
    assert [p.columns[p.table.headings.index("year")] for p in pieces] == [
        ["2018", "2018"],
        ["2019", "2019"],
    ]


def test_a_damaged_parquet_file(tmp_path: Path) -> None:
    (tmp_path / "a.parquet").write_bytes(b"PAR1" + b"\0" * 64)
    with pytest.raises(Unreadable, match="is damaged"):
        list(chunks(tmp_path / "a.parquet"))


def test_nothing_heavy_is_imported_for_a_csv(tmp_path: Path) -> None:
    import subprocess
    import sys

    (tmp_path / "a.csv").write_text("species\nA\n", encoding="utf-8")
    code = (
        "import sys; from crossproof.read import chunks; list(chunks(sys.argv[1])); "
        "print({'lxml','pandas','pyarrow','python_calamine','jsonschema'} & {*sys.modules})"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, tmp_path / "a.csv"], capture_output=True, text=True, check=True
    )
    assert done.stdout == "set()\n"
