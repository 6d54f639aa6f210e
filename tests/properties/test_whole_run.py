"""What must hold of any submission, from file to output folder."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from arbitrary_tables import tables, write
from hypothesis import HealthCheck, Phase, given, reject, settings
from hypothesis import strategies as st

from crossproof.demo import options as demo_options
from crossproof.demo import submission as demo_submission
from crossproof.options import Options
from crossproof.pipeline import vet_to
from crossproof.read import Unreadable, blocks
from crossproof.spreadsheet import unguard

quick = settings(
    # No shrinking: a run takes a while, and the tables are small to begin with.
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    max_examples=60,
    deadline=None,
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.filter_too_much,
        HealthCheck.data_too_large,
        HealthCheck.function_scoped_fixture,
    ],
)


def run(table: list[list[str]], home: Path, name: str = "out", **options: Any) -> Path:
    """Vet a table into a folder of its own; two headings for one field are rightly refused."""
    source = write(home / "records.csv", table)
    try:
        vet_to([source], home / name, Options(validate="never", **options))
    except Unreadable as refused:
        assert "both stand for" in str(refused) or "no column names" in str(refused), refused
        reject()
    return home / name


def read(path: Path) -> list[dict[str, str]]:
    """The rows of a table; those for people without the apostrophes that guard their cells."""
    if not path.exists():
        return []
    plain = str if path.parent.name in ("dwca", "dwc-dp") else unguard
    with path.open(encoding="utf-8", newline="") as file:
        return [{h: plain(cell) for h, cell in row.items()} for row in csv.DictReader(file)]


def files(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def texts(value: Any) -> Iterator[str]:
    """Every text in a JSON value, and the value's own text."""
    if isinstance(value, dict):
        for inner in value.values():
            yield from texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner)
    else:
        yield value if isinstance(value, str) else json.dumps(value)
    yield json.dumps(value, ensure_ascii=False)


def said_of(folder: Path) -> dict[str, set[str]]:
    """For each occurrenceID every text that the archive says of it."""
    said: dict[str, set[str]] = {}
    for name in ("occurrence", "identification", "measurementorfact", "multimedia"):
        for row in read(folder / "dwca" / f"{name}.csv"):
            mine = said.setdefault(row["occurrenceID"], set())
            for term, text in row.items():
                mine.add(text.strip())
                if term == "dynamicProperties" and text:
                    mine |= {inner.strip() for inner in texts(json.loads(text))}
    return said


@quick
@given(table=tables())
def test_every_row_in_exactly_one_outcome_out(tmp_path_factory, table) -> None:
    folder = run(table, tmp_path_factory.mktemp("run"))
    summary = json.loads((folder / "summary.json").read_text("utf-8"))
    verdicts = read(folder / "verdicts.csv")
    outcomes = Counter(row["outcome"] for row in verdicts)
    rows = [n for n, row in enumerate(table[1:], start=2) if any(cell.strip() for cell in row)]
    assert [int(row["source_row"]) for row in verdicts] == rows
    assert summary["rows"] == len(rows) == sum(summary["outcomes"].values())
    assert {o: n for o, n in summary["outcomes"].items() if n} == outcomes
    exported = {row["occurrenceID"] for row in verdicts if row["outcome"] != "returned"}
    occurrences = [row["occurrenceID"] for row in read(folder / "dwca" / "occurrence.csv")]
    assert len(occurrences) == len(set(occurrences)) == len(rows) - outcomes["returned"]
    assert set(occurrences) == exported
    returned = [int(row["source_row"]) for row in read(folder / "returned.csv")]
    assert returned == [int(r["source_row"]) for r in verdicts if r["outcome"] == "returned"]


@quick
@given(table=tables())
def test_nothing_submitted_is_lost(tmp_path_factory, table) -> None:
    """No plant here is sensitive: of those that are, words about the place are held back."""
    folder = run(table, tmp_path_factory.mktemp("run"))
    said = said_of(folder)
    back = {int(row["source_row"]): row for row in read(folder / "returned.csv")}
    noted = Counter()  # what was changed on purpose, with the text it had
    for row in read(folder / "findings.csv"):
        if row["code"] in ("text_repaired", "identifier_repeated"):
            noted[row["row"], row["value"].strip()] += 1
    for verdict in read(folder / "verdicts.csv"):
        number = int(verdict["source_row"])
        kept = (
            {text.strip() for text in back[number].values()}
            if verdict["outcome"] == "returned"
            else said[verdict["occurrenceID"]]
        )
        for heading, cell in zip(table[0], table[number - 1], strict=False):
            lost = (
                cell.strip() and cell.strip() not in kept and not noted[str(number), cell.strip()]
            )
            assert not lost, f"row {number}, {heading!r}: {cell!r}\n{sorted(kept)}"


@quick
@given(table=tables(), rows=st.integers(1, 4))
def test_chunks_of_any_size_give_the_same_bytes(tmp_path_factory, table, rows) -> None:
    home = tmp_path_factory.mktemp("run")
    whole = files(run(table, home, "whole"))
    parts = files(run(table, home, "parts", chunk_rows=rows))
    assert [name for name in whole if whole[name] != parts.get(name)] == []
    assert whole.keys() == parts.keys()


@quick
@given(table=tables())
def test_the_bytes_are_the_same_without_pyarrow(tmp_path_factory, table) -> None:
    home = tmp_path_factory.mktemp("run")
    arrow = files(run(table, home, "arrow"))
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(blocks, "find_spec", lambda name: None)
        plain = files(run(table, home, "plain"))
    assert arrow == plain


def test_the_page_with_a_broken_row_in_chunks(tmp_path: Path) -> None:
    table = [["species", "date"], ["D. fuchsii"], ["", ""], ["", "2019"]]
    whole = files(run(table, tmp_path, "whole"))
    assert files(run(table, tmp_path, "parts", chunk_rows=1)) == whole


@settings(quick, max_examples=10)
@given(table=tables())
def test_a_second_run_gives_the_same_bytes(tmp_path_factory, table) -> None:
    home = tmp_path_factory.mktemp("run")
    first = files(run(table, home))
    assert files(run(table, home)) == first  # over the first output


@settings(quick, max_examples=10)
@given(table=tables())
def test_what_is_written_keeps_its_schemas(tmp_path_factory, table) -> None:
    home = tmp_path_factory.mktemp("run")
    source = write(home / "records.csv", table)
    try:
        summary = vet_to([source], home / "out", Options(validate="always", issued="2026-11-25"))
    except Unreadable:
        reject()
    assert summary["checks"] == {"tables_validated": True, "table_problems": []}


def test_control_characters_go_through(tmp_path: Path) -> None:
    """A few of them don't make a file binary; XML 1.0 can't hold them, so metadata does without."""
    table = [
        ["species", "date", "site", "remarks", "own\x0cfield"],
        ["Bellis\x0b perennis", "2019", "Fen\x7f", "a\x1fb\u2028c", "\ufffe"],
    ]
    folder = run(table, tmp_path)
    (said,) = said_of(folder).values()
    assert {"Bellis\x0b perennis", "Fen\x7f", "a\x1fb\u2028c", "\ufffe"} <= said


def test_a_nul_far_down_goes_through(tmp_path: Path) -> None:
    """A NUL near the beginning tells binary data; further down it is a slip in one cell."""
    rows = [["Bellis perennis", "2019", f"Fen {n}", ""] for n in range(1_000)]
    folder = run(
        [["species", "date", "site", "tick"], *rows, ["D. fuchsii", "2019", "a\0b", "\0"]], tmp_path
    )
    summary = json.loads((folder / "summary.json").read_text("utf-8"))
    assert summary["rows"] == 1_001
    assert any("a\0b" in said for said in said_of(folder).values())


def test_a_row_of_white_space(tmp_path: Path) -> None:
    plain = [["species", "site"], ["a", "b"], [" ", " "]]
    ragged = [*plain, ["a"]]
    rows = []
    for name, table in (("plain", plain), ("ragged", ragged)):
        folder = run(table, tmp_path, name)
        verdicts = read(folder / "verdicts.csv")
        rows.append([v["source_row"] for v in verdicts if v["source_row"] != "4"])
    assert rows[0] == rows[1]


@pytest.fixture(scope="module")
def demo(tmp_path_factory) -> Path:
    out = tmp_path_factory.mktemp("demo") / "out"
    vet_to(demo_submission(), out, demo_options())
    return out


@pytest.mark.parametrize("rows", [7])
def test_the_demonstration_in_chunks(demo: Path, tmp_path: Path, rows: int) -> None:
    vet_to(demo_submission(), tmp_path / "out", replace(demo_options(), chunk_rows=rows))
    whole, parts = files(demo), files(tmp_path / "out")
    del whole["report.html"], parts["report.html"]  # it has a broken row; see the test above
    assert [name for name in whole if whole[name] != parts.get(name)] == []


@pytest.mark.parametrize(
    "changes", [{"TZ": "Pacific/Kiritimati", "LC_ALL": "C", "PYTHONHASHSEED": "7"}]
)
def test_the_demonstration_elsewhere(demo: Path, tmp_path: Path, changes) -> None:
    """Another time zone, language and order of hashes; another process and folder."""
    subprocess.run(
        [sys.executable, "-m", "crossproof", "demo", "--out", tmp_path / "out"],
        env={**os.environ, **changes},
        check=True,
        capture_output=True,
    )
    assert files(tmp_path / "out") == files(demo)


def test_the_demonstration_has_every_outcome(demo: Path) -> None:
    verdicts = read(demo / "verdicts.csv")
    summary = json.loads((demo / "summary.json").read_text("utf-8"))
    assert Counter(row["outcome"] for row in verdicts) == summary["outcomes"]
    assert all(summary["outcomes"].values())
    assert summary["checks"] == {"tables_validated": True, "table_problems": []}
