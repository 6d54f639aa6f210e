"""A second submission told apart from the first: new, unchanged, changed, withdrawn.

Source: the determinations of a record are kept, one of them accepted at a time (Darwin Core list of
terms, 2026-05-26: isAcceptedIdentification, previousIdentifications); the rest is common practice,
no published source.
"""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from crossproof.darwincore.conform import check
from crossproof.options import OptionError, Options
from crossproof.pipeline import vet_to

HEADING = "species,date,grid ref,site,recorder,leaves,stem,photo"
GRANDIS = "D. x grandis,2024-06-14,SU 123 456,Quillmere Fen,Mab Thornley,ring spots,partly hollow,"
PLAIN = "D. praetermissa,2024-06-14,SU 123 456,Quillmere Fen,Mab Thornley,unmarked,hollow,"
FUCHSII = "D. fuchsii,2024-06-15,SU 125 456,Quillmere Fen,Mab Thornley,solid spots,solid,"
MACULATA = "D. maculata,2024-06-17,SU 125 459,Quillmere Fen,Mab Thornley,,,"
FIRST = (GRANDIS, PLAIN, FUCHSII)
SECOND = (f"{GRANDIS}img_7.jpg", PLAIN, MACULATA)


def vetted(
    home: Path,
    name: str,
    rows: tuple[str, ...],
    day: str,
    heading: str = HEADING,
    **options: object,
) -> Path:
    source = home / f"{name}.csv"
    source.write_text("\n".join([heading, *rows]) + "\n", encoding="utf-8")
    vet_to([source], home / name, Options(issued=day, **options))  # type: ignore[arg-type]
    return home / name


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def statuses(out: Path) -> list[tuple[str, str, str]]:
    told = table(out / "delta" / "since.csv")
    return [(row["status"], row["outcome_before"], row["outcome_after"]) for row in told]


@pytest.mark.parametrize("form", ["", "dwca", "dwca.zip"])
def test_each_record_is_told_apart(tmp_path: Path, form: str) -> None:
    first = vetted(tmp_path, "first", FIRST, "2026-01-01")
    second = vetted(tmp_path, "second", SECOND, "2026-02-02", since=first / form)
    told = statuses(second)
    assert [status for status, *_ in told] == ["changed", "unchanged", "new", "withdrawn"]
    assert told[0] == ("changed", "lowered", "upheld")
    since = json.loads((second / "summary.json").read_text(encoding="utf-8"))["since"]
    assert since["records"] == {"new": 1, "unchanged": 1, "changed": 1, "withdrawn": 1}
    assert since["outcomes"].get("lowered → upheld") == 1


def test_a_claim_that_brings_its_photo_is_upheld_with_its_history(tmp_path: Path) -> None:
    first = vetted(tmp_path, "first", FIRST, "2026-01-01")
    second = vetted(tmp_path, "second", SECOND, "2026-02-02", since=first)
    before, after = (table(out / "dwca" / "occurrence.csv")[0] for out in (first, second))
    assert after["occurrenceID"] == before["occurrenceID"]
    assert after["scientificName"].startswith("Dactylorhiza × grandis")
    assert after["previousIdentifications"].startswith(
        "Dactylorhiza Neck. ex Nevski, cf. × grandis"
    )
    assert after["previousIdentifications"].endswith("2026-01-01")
    for home in ("dwca", "dwc-dp"):
        owner = "occurrenceID" if home == "dwca" else "occurrence_fk"
        mine = [
            (row["identificationID"].partition("#")[2], row["isAcceptedIdentification"])
            for row in table(second / home / "identification.csv")
            if row[owner] == after["occurrenceID"]
        ]
        assert mine == [("determination", "false"), ("claim", "true")]


def test_the_history_is_kept_from_run_to_run(tmp_path: Path) -> None:
    first = vetted(tmp_path, "first", FIRST, "2026-01-01")
    second = vetted(tmp_path, "second", SECOND, "2026-02-02", since=first)
    third = vetted(tmp_path, "third", SECOND, "2026-03-03", since=second)
    assert {status for status, *_ in statuses(third)} == {"unchanged"}
    name = Path("dwca") / "occurrence.csv"
    assert (third / name).read_bytes() == (second / name).read_bytes()
    fourth = vetted(tmp_path, "fourth", FIRST, "2026-04-04", since=third)
    roles = [
        row["identificationID"].partition("#")[2]
        for row in table(fourth / "dwca" / "identification.csv")[:2]
    ]
    assert roles == ["claim", "determination"]  # the same determination as at first, not another


def test_the_delta_holds_what_changed_with_its_day(tmp_path: Path) -> None:
    first = vetted(tmp_path, "first", FIRST, "2026-01-01")
    second = vetted(tmp_path, "second", SECOND, "2026-02-02", since=first)
    delta = table(second / "delta" / "dwca" / "occurrence.csv")
    assert [(row["verbatimIdentification"], row["modified"]) for row in delta] == [
        ("D. x grandis", "2026-02-02"),
        ("D. maculata", "2026-02-02"),
    ]
    assert check(second / "delta" / "dwca") == []
    assert (second / "delta" / "dwca.zip").is_file()


def test_a_given_identifier_outlasts_any_change(tmp_path: Path) -> None:
    heading = f"{HEADING},occurrenceID"
    first = vetted(tmp_path, "first", (f"{GRANDIS},r1", f"{PLAIN},r2"), "2026-01-01", heading)
    moved = GRANDIS.replace("SU 123 456", "SU 999 456").replace("Mab Thornley", "Idris Quell")
    rows = (f"{PLAIN},r9", f"{moved},r1")
    second = vetted(tmp_path, "second", rows, "2026-02-02", heading, since=first)
    told = {r["occurrenceID"]: r["status"] for r in table(second / "delta" / "since.csv")}
    assert told == {"r1": "changed", "r9": "new", "r2": "withdrawn"}


def test_two_records_alike_are_not_mistaken_for_each_other(tmp_path: Path) -> None:
    """Same claim, place, day and recorder: which of the two has changed cannot be known."""
    other = GRANDIS.replace("ring spots", "fine dots")
    first = vetted(tmp_path, "first", (GRANDIS, other), "2026-01-01")
    changed = (f"{GRANDIS}img_1.jpg", f"{other}img_2.jpg")
    second = vetted(tmp_path, "second", changed, "2026-02-02", since=first)
    assert [status for status, *_ in statuses(second)] == ["new", "new", "withdrawn", "withdrawn"]
    one = vetted(tmp_path, "one", (changed[0], other), "2026-02-02", since=first)
    assert [status for status, *_ in statuses(one)] == ["changed", "unchanged"]


def test_a_row_that_goes_back_now_is_withdrawn(tmp_path: Path) -> None:
    first = vetted(tmp_path, "first", (f"{GRANDIS},r1",), "2026-01-01", f"{HEADING},occurrenceID")
    blank = GRANDIS.replace("2024-06-14", "")
    second = vetted(
        tmp_path, "second", (f"{blank},r1",), "2026-02-02", f"{HEADING},occurrenceID", since=first
    )
    assert statuses(second) == [("withdrawn", "lowered", "returned")]


def test_an_output_may_be_written_over_itself(tmp_path: Path) -> None:
    first = vetted(tmp_path, "out", FIRST, "2026-01-01")
    again = vetted(tmp_path, "out", SECOND, "2026-02-02", since=first)
    assert statuses(again)[0] == ("changed", "lowered", "upheld")


def test_no_earlier_output_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(OptionError, match="no earlier output can be read there"):
        vetted(tmp_path, "out", FIRST, "2026-01-01", since=tmp_path)
    assert not (tmp_path / "out").exists()


def test_neither_place_nor_time_nor_seed_nor_chunks_change_a_byte(tmp_path: Path) -> None:
    first = vetted(tmp_path, "first", FIRST, "2026-01-01")
    source = tmp_path / "second.csv"
    source.write_text("\n".join([HEADING, *SECOND]) + "\n", encoding="utf-8")
    seen = set()
    for number, (zone, language, seed) in enumerate(
        [("UTC", "C", "0"), ("Pacific/Kiritimati", "C.UTF-8", "7")]
    ):
        out = tmp_path / f"out{number}"
        command = [sys.executable, "-m", "crossproof", "vet", str(source), "--out", str(out)]
        command += ["--since", str(first), "--date", "2026-02-02"]
        env = {**os.environ, "TZ": zone, "LC_ALL": language, "PYTHONHASHSEED": seed}
        subprocess.run(command, check=True, capture_output=True, env=env)
        seen.add(
            tuple(
                (str(path.relative_to(out)), path.read_bytes())
                for path in sorted(out.rglob("*"))
                if path.is_file()
            )
        )
    assert len(seen) == 1
    whole = vetted(tmp_path, "whole", SECOND, "2026-02-02", since=first)
    parts = vetted(tmp_path, "parts", SECOND, "2026-02-02", since=first, chunk_rows=1)
    for name in ("since.csv", "dwca/occurrence.csv", "dwca/identification.csv", "dwca.zip"):
        texts = [(out / "delta" / name).read_bytes() for out in (whole, parts)]
        assert texts[0].replace(b"whole.csv", b"parts.csv") == texts[1], name
