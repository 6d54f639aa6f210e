"""Rulings and a second submission: kept where the record says the same, looked at again where not.

Source: a person's identification stays until somebody identifies again, one of them accepted at a
time (Darwin Core list of terms, 2026-05-26: isAcceptedIdentification); the rest is common practice,
no published source.
"""

from __future__ import annotations

import csv
import json
import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from crossproof.cli import main
from crossproof.darwincore.conform import check
from crossproof.desk.export import export
from crossproof.model import Determination
from crossproof.options import Options
from crossproof.pipeline import vet_to
from crossproof.rulebooks.load import shipped
from crossproof.rulings.ledger import NAME, Ledger
from crossproof.rulings.records import records
from crossproof.rulings.ruling import NO_NAME, Ruling

HEADING = "occurrenceID,species,date,grid ref,site,recorder,leaves,stem,photo"
LACKING = "D. x grandis,2024-06-14,SU 123 456,Quillmere Fen,Mab Thornley,ring spots,,"
MENDED = "D. x grandis,2024-06-14,SU 123 456,Quillmere Fen,Mab Thornley,ring spots,solid,"
PLAIN = "D. praetermissa,2024-06-14,SU 123 456,Quillmere Fen,Mab Thornley,unmarked,hollow,"
FIRST = [f"r-{n},{LACKING}" for n in range(1, 6)] + [f"p-1,{PLAIN}"]
GRANDIS = Determination(
    scientific_name="Dactylorhiza × grandis",
    authorship="(Druce) P.F.Hunt",
    rank="nothospecies",
    formula="A x B",
    components=(
        ("Dactylorhiza fuchsii", "(Druce) Soó", "species"),
        ("Dactylorhiza praetermissa", "(Druce) Soó", "species"),
    ),
)
RULED = ("r-1", "r-2", "r-3", "r-4")


def vet(out: Path, rows: Sequence[str], heading: str = HEADING, **options: Any) -> dict[str, Any]:
    source = out.with_suffix(".csv")
    source.write_text("\n".join([heading, *rows]) + "\n", encoding="utf-8")
    options = {"issued": "2026-02-02", "quality": False, "validate": "always", **options}
    told = vet_to([source], out, Options(**options))
    assert told["checks"] == {"tables_validated": True, "table_problems": []}
    return told


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def since(out: Path) -> dict[str, tuple[str, str, str]]:
    return {
        row["occurrenceID"]: (row["status"], row["changed"], row["ruling"])
        for row in table(out / "delta" / "since.csv")
    }


def names(path: Path) -> dict[str, str]:
    return {row["occurrenceID"]: row["scientificName"] for row in table(path / "occurrence.csv")}


def rule(folder: Path, *wanted: str, action: str = "uphold") -> None:
    said = {record.id: record.content for record in records(folder)}
    name = GRANDIS if action == "uphold" else NO_NAME
    Ledger(folder / NAME).add(
        [
            Ruling(
                uid="",
                record=record,
                action=action,
                by="Ann Example",
                on="2026-01-20",
                reason="seen at the visit",
                content=said[record],
                determination=name,
                claim="D. x grandis",
            )
            for record in wanted
        ]
    )


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An output as it was published: vetted, ruled on at the desk, vetted again."""
    out = tmp_path_factory.mktemp("first") / "first"
    vet(out, FIRST, issued="2026-01-01")
    rule(out, *RULED)
    rule(out, "r-5", action="ask")
    vet(out, FIRST, issued="2026-01-01")
    return out


# r-1 comes as it was, r-2 with a stem, r-3 with a stem and a photo, r-4 not at all; r-5's recorder
# answers; r-6 is new.
SECOND = [
    f"r-1,{LACKING}",
    f"r-2,{MENDED}",
    f"r-3,{LACKING.removesuffix(',')}partly hollow,img_3.jpg",
    f"r-5,{MENDED}",
    f"r-6,{LACKING}",
    f"p-1,{PLAIN}",
]


@pytest.mark.parametrize("form", ["", "dwca", "dwca.zip"])
def test_each_ruling_is_kept_or_looked_at_again(first: Path, tmp_path: Path, form: str) -> None:
    out = tmp_path / "second"
    told = vet(out, SECOND, since=first / form)
    assert since(out) == {
        "r-1": ("unchanged", "", "kept"),
        "r-2": ("changed", "record; ruling", "look_again"),
        "r-3": ("changed", "record; ruling", "look_again"),
        "r-4": ("withdrawn", "", "gone"),
        "r-5": ("changed", "record", "look_again"),
        "r-6": ("new", "", ""),
        "p-1": ("unchanged", "", ""),
    }
    assert told["since"]["rulings"] == {"kept": 1, "look_again": 3, "gone": 1}
    assert told["rulings"]["applied"] == 1
    assert (told["rulings"]["changed"], told["rulings"]["gone"]) == (3, 1)
    whole = names(out / "dwca")
    assert whole["r-1"] == "Dactylorhiza × grandis (Druce) P.F.Hunt"
    assert whole["r-2"].startswith("Dactylorhiza Neck.")  # a solid stem speaks against the cross
    states = {row["record"]: row["state"] for row in table(out / "rulings.csv")}
    assert states == {"r-1": "holds", "r-4": "gone"} | dict.fromkeys(
        ("r-2", "r-3", "r-5"), "changed"
    )
    page = (out / "report.html").read_text("utf-8")
    assert "Need another look" in page
    # The desk opens on the new output with all of them.
    assert {entry.record for entry in Ledger(out / NAME).standing()} == {*RULED, "r-5"}


def test_the_delta_is_what_its_receiver_lacks(first: Path, tmp_path: Path) -> None:
    out = tmp_path / "second"
    vet(out, SECOND, since=first)
    delta = names(out / "delta" / "dwca")
    whole = names(out / "dwca")
    assert delta == {record: whole[record] for record in ("r-2", "r-3", "r-5", "r-6")}
    assert check(out / "delta" / "dwca") == []
    told = {row["occurrenceID"]: row for row in table(out / "delta" / "since.csv")}
    assert told["r-2"]["name_before"] == "Dactylorhiza × grandis"
    assert told["r-2"]["name_after"] == "Dactylorhiza"
    assert told["r-1"]["name_before"] == told["r-1"]["name_after"] == "Dactylorhiza × grandis"
    assert told["r-1"]["ruling_before"] == told["r-1"]["ruling_after"] != ""


def test_a_ruling_made_since_is_a_change_that_goes_out(first: Path, tmp_path: Path) -> None:
    """The archive's holder has the name that was judged, so the ruled one is news."""
    out, source = tmp_path / "out", [*FIRST]
    vet(out, source, since=first)
    assert {told[0] for told in since(out).values()} == {"unchanged"}
    assert names(out / "delta" / "dwca") == {}
    rule(out, "r-5")
    ledger = Ledger(out / NAME)
    (mine,) = [entry.uid for entry in ledger.standing() if entry.record == "r-1"]
    ledger.undo([mine], "Bo Sample", "2026-01-30")
    export(out, tmp_path / "exported", shipped())
    told = since(tmp_path / "exported")
    assert told["r-5"] == ("changed", "ruling", "new")
    assert told["r-1"] == ("changed", "ruling", "taken_back")
    assert told["r-2"] == ("unchanged", "", "kept")
    delta = names(tmp_path / "exported" / "delta" / "dwca")
    assert delta["r-5"] == "Dactylorhiza × grandis (Druce) P.F.Hunt"
    assert delta["r-1"].startswith("Dactylorhiza Neck.")
    assert {*delta} == {"r-1", "r-5"}
    # `vet` says the same, into the same folder, with the folder's own ledger.
    vet(out, source, since=first)
    for name in ("delta/since.csv", "delta/dwca.zip", "summary.json", "report.html"):
        assert (tmp_path / "exported" / name).read_bytes() == (out / name).read_bytes(), name


def test_a_desk_that_was_not_exported_is_taken_along_too(first: Path, tmp_path: Path) -> None:
    plain = tmp_path / "plain"
    vet(plain, FIRST)
    rule(plain, "r-1")
    told = vet(tmp_path / "second", FIRST, since=plain)
    assert told["rulings"]["applied"] == 1
    assert since(tmp_path / "second")["r-1"] == ("changed", "ruling", "new")


def test_an_export_has_its_rulings_in_a_table_where_it_has_no_ledger(
    first: Path, tmp_path: Path
) -> None:
    sent = Path(shutil.copytree(first, tmp_path / "sent"))
    (sent / NAME).unlink()
    vet(tmp_path / "second", SECOND, since=sent)
    assert since(tmp_path / "second")["r-1"] == ("unchanged", "", "kept")
    assert since(tmp_path / "second")["r-2"][2] == "look_again"


def test_an_archive_alone_cannot_vouch_for_its_rulings(first: Path, tmp_path: Path) -> None:
    """Whether the record still says what was ruled on is not in it: nothing is kept unseen."""
    alone = tmp_path / "alone.zip"
    shutil.copy(first / "dwca.zip", alone)
    vet(tmp_path / "second", FIRST, since=alone)
    told = since(tmp_path / "second")
    assert {told[record][2] for record in RULED} == {"look_again"}
    assert told["p-1"] == ("unchanged", "", "")
    entries = Ledger(tmp_path / "second" / NAME).standing()
    assert {(e.record, e.by, e.reason) for e in entries} == {
        (record, "Ann Example", "seen at the visit") for record in RULED
    }


def test_a_record_without_an_identifier_is_known_again(tmp_path: Path) -> None:
    heading = HEADING.removeprefix("occurrenceID,")
    vet(tmp_path / "first", [LACKING, PLAIN], heading)
    (record,) = [r.id for r in records(tmp_path / "first") if r.verdict["outcome"] == "lowered"]
    rule(tmp_path / "first", record)
    vet(tmp_path / "first", [LACKING, PLAIN], heading)
    vet(tmp_path / "same", [LACKING, PLAIN], heading, since=tmp_path / "first")
    assert since(tmp_path / "same")[record] == ("unchanged", "", "kept")
    vet(tmp_path / "other", [MENDED, PLAIN], heading, since=tmp_path / "first")
    assert since(tmp_path / "other")[record] == ("changed", "record; ruling", "look_again")


def test_from_run_to_run_at_the_command_line(tmp_path: Path, capsys: Any) -> None:
    """Vet, rule, publish, correct, look again, publish: end to end."""
    one, two = tmp_path / "one.csv", tmp_path / "two.csv"
    one.write_text("\n".join([HEADING, *FIRST]) + "\n", encoding="utf-8")
    two.write_text("\n".join([HEADING, *SECOND]) + "\n", encoding="utf-8")
    out, next_out = tmp_path / "out", tmp_path / "next"
    assert main(["vet", str(one), "--out", str(out)]) == 0
    rule(out, "r-1", "r-2")
    assert main(["vet", str(one), "--out", str(out)]) == 0
    capsys.readouterr()
    command = ["vet", str(two), "--out", str(next_out), "--since", str(out)]
    assert main(command) == 0
    said = capsys.readouterr().out
    assert "its rulings: 1 kept, 1 look again" in said
    assert "need another look" in said
    rule(next_out, "r-2")  # somebody looks again, at the record as it is now
    assert main(command) == 0
    told = json.loads((next_out / "summary.json").read_text("utf-8"))
    assert told["since"]["rulings"] == {"kept": 1, "replaced": 1}
    assert told["rulings"]["changed"] == 0
    assert names(next_out / "delta" / "dwca")["r-2"].startswith("Dactylorhiza × grandis")
