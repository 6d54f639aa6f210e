"""What is written can be read again, and says the same: the archive and the data package.

Source: common practice for lossless formats, no published source; the archive's own guide asks
only that it can be read (TDWG, Darwin Core text guide).
"""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from itertools import pairwise
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
from crossproof.read import Unreadable
from crossproof.spreadsheet import unguard

FORMS = ("dwca", "dwca.zip", "dwc-dp")


# No shrinking: a run takes a while, and the tables are small to begin with.
quick = settings(
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    max_examples=40,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)


def vetted(source: Path, out: Path, **options: Any) -> Path:
    vet_to([source], out, Options(validate="never", quality=False, **options))
    return out


def rows(path: Path) -> list[dict[str, str]]:
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def told(folder: Path) -> dict[str, dict[str, Any]]:
    """What is known of each record exported, but for where it was read."""
    known: dict[str, dict[str, Any]] = {}
    for guarded in rows(folder / "verdicts.csv"):  # a table for people's spreadsheets
        row = {column: unguard(cell) for column, cell in guarded.items()}
        if row["outcome"] != "returned":
            place = ("source_file", "source_sheet", "source_row")
            known[row["occurrenceID"]] = {k: v for k, v in row.items() if k not in place}
    for name in ("occurrence", "identification", "measurementorfact", "multimedia"):
        for row in rows(folder / "dwca" / f"{name}.csv"):
            mine = known[row["occurrenceID"]].setdefault(name, [])
            mine.append({k: v for k, v in row.items() if v and k != "dynamicProperties"})
    return known


def data(folder: Path) -> dict[str, bytes]:
    """The tables and descriptors of both standards. The headings tell the time of nothing."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for part in ("dwca", "dwc-dp")
        for path in sorted((folder / part).rglob("*"))
        if path.is_file()
    }


def differing(one: dict[str, bytes], other: dict[str, bytes]) -> list[str]:
    return sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name))


@pytest.mark.parametrize("form", FORMS)
@quick
@given(table=tables(), lenient=st.booleans())
def test_a_round_says_the_same_and_a_second_gives_the_same_bytes(
    tmp_path_factory: pytest.TempPathFactory, form: str, table: list[list[str]], lenient: bool
) -> None:
    """`lenient` lets rows out whose place or date cannot be read, so that these come back too."""
    home = tmp_path_factory.mktemp("round")
    try:
        source = write(home / "records.csv", table)
        first = vetted(source, home / "first", lenient=lenient)
    except Unreadable:
        reject()
    second = vetted(first / form, home / "second", lenient=lenient)
    assert told(second) == told(first)
    third = vetted(second / form, home / "third", lenient=lenient)
    assert differing(data(second), data(third)) == []


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("demo") / "out"
    vet_to(demo_submission(), out, demo_options())
    return out


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("size", [20_000, 5])
def test_the_demonstration_comes_back_to_the_byte(
    demo: Path, tmp_path: Path, form: str, size: int
) -> None:
    again = tmp_path / "again"
    vet_to([demo / form], again, replace(demo_options(), chunk_rows=size))
    assert told(again) == told(demo)
    assert differing(data(again), data(demo)) == []
    outcomes = [json.loads((f / "summary.json").read_text())["outcomes"] for f in (again, demo)]
    assert outcomes[0] | {"returned": 0} == outcomes[1] | {"returned": 0}


LINE = "2024-06-14,SU 123 456,Quillmere Fen"


def rounds(home: Path, sources: list[tuple[str, str]], form: str, **options: Any) -> list[Path]:
    """Vet the sources, and what came of them twice more."""
    paths = []
    for name, text in sources:
        paths.append(home / name)
        paths[-1].write_text(text, encoding="utf-8")
    chosen = Options(validate="never", quality=False, **options)
    outs = [home / "first", home / "second", home / "third"]
    vet_to(paths, outs[0], chosen)
    for before, after in pairwise(outs):
        vet_to([before / form], after, chosen)
    return outs


@pytest.mark.parametrize("form", FORMS)
def test_headings_that_differ_from_file_to_file(tmp_path: Path, form: str) -> None:
    """One archive of two groups' files, in which one field has two headings."""
    sources = [
        (
            "a.csv",
            f"species,date,grid ref,site,Leaves,Photo\nD. x grandis,{LINE},faint rings,yes\n",
        ),
        ("b.csv", f"taxon,date,grid ref,site,Leaf markings\nD. fuchsii,{LINE},spotted\n"),
        ("c.csv", f"species,date,grid ref,site,Leaves\nD. x venusta,{LINE},no spots\n"),
    ]
    first, second, third = rounds(tmp_path, sources, form)
    assert [row["leaf"] for row in rows(first / "verdicts.csv")] == [
        "ring_spots (faint)",
        "solid_spots",
        "unmarked",
    ]
    assert told(second) == told(first)
    assert differing(data(first), data(third)) == []


@pytest.mark.parametrize("form", FORMS)
def test_words_of_a_person_stand_before_ours(tmp_path: Path, form: str) -> None:
    text = (
        "species,date,grid ref,site,identificationRemarks,identifiedBy,dateIdentified,"
        "previousIdentifications\n"
        f'D. x grandis,{LINE},"leaves with rings | stem hollow",Idris Quell,2024-07-01,D. fuchsii\n'
    )
    first, second, third = rounds(tmp_path, [("a.csv", text)], form)
    assert told(second) == told(first)
    assert differing(data(first), data(third)) == []
    (row,) = rows(third / "dwca" / "occurrence.csv")
    assert row["identificationRemarks"].startswith("leaves with rings | stem hollow | crossproof: ")
    assert row["identificationRemarks"].count("crossproof: ") == 1
    assert row["previousIdentifications"] == (
        "D. fuchsii | Dactylorhiza × grandis (Druce) P.F.Hunt, "
        "identified by Idris Quell, 2024-07-01"
    )
    assert (row["identifiedBy"], row["dateIdentified"]) == ("Idris Quell", "2024-07-01")


@pytest.mark.parametrize("form", FORMS)
def test_a_mapping_is_not_needed_again_for_the_evidence(tmp_path: Path, form: str) -> None:
    """A heading that only a mapping knows is no column any more, but its states are told beside."""
    text = f"species,date,grid ref,site,Blotches,stem\nD. x grandis,{LINE},ring spots,hollow\n"
    (first, *_) = rounds(tmp_path, [("a.csv", text)], form, mapping={"leaf": "Blotches"})
    plain = vetted(first / form, tmp_path / "plain")
    before, after = (rows(out / "verdicts.csv")[0] for out in (first, plain))
    assert (after["outcome"], after["leaf"], after["reasons"]) == (
        before["outcome"],
        "ring_spots",
        before["reasons"],
    )


@pytest.mark.parametrize("form", FORMS)
def test_no_place_is_assumed_anew(tmp_path: Path, form: str) -> None:
    text = (
        "species,date,lat,long,datum,accuracy\nD. fuchsii,2024-06-14,51.2,-1.8,OSGB36,10\n"
        "D. fuchsii,2024-06-14,51.2,-1.8,,\n"
    )
    first, second, third = rounds(tmp_path, [("a.csv", text)], form)
    assert differing(data(first), data(third)) == []
    codes = [row["code"] for row in rows(second / "findings.csv")]
    assert not {"place_assumed", "date_assumed"} & {*codes}
