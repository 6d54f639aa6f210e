"""Rulings outrank the verdict, in the tables that go out, and only where they still hold."""

from __future__ import annotations

import csv
import json
import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

from crossproof.checks import check_output
from crossproof.cli import main
from crossproof.darwincore.ruled import BEFORE
from crossproof.model import Determination
from crossproof.options import Options
from crossproof.pipeline import vet_to
from crossproof.resources import folder as shipped_folder
from crossproof.rulings.applying import apply_rulings, tally
from crossproof.rulings.ledger import NAME, Ledger
from crossproof.rulings.records import OutputError, OutputRecord, contents, records
from crossproof.rulings.ruling import Ruling

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
NONE = {"applied": 0, "kept_verdict": 0, "changed": 0, "gone": 0, "by": {}, "actions": {}}
SOURCE = shipped_folder("demo_data") / "fen_records.csv"


def vet(source: Path, out: Path, *rulings: Path, since: Path | None = None) -> dict[str, object]:
    options = Options(
        issued="2026-06-01",
        metadata=shipped_folder("demo_data") / "dataset.toml",
        quality=False,
        validate="always",
        rulings=rulings,
        since=since,
    )
    return vet_to([source], out, options)


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("judged") / "out"
    vet(SOURCE, out)
    return out


@pytest.fixture
def out(judged: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(judged, tmp_path / "out"))


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def first(folder: Path, outcome: str) -> OutputRecord:
    return next(r for r in records(folder) if r.verdict["outcome"] == outcome)


def ruling_on(record: OutputRecord, action: str = "uphold", **changes: object) -> Ruling:
    named = GRANDIS if action in ("uphold", "determine") else Determination(scientific_name="")
    values: dict[str, object] = {
        "uid": "",
        "record": record.id,
        "action": action,
        "by": "Ann Example",
        "on": "2026-06-14",
        "reason": "seen at the visit",
        "content": record.content,
        "determination": named,
        "file": record.verdict["source_file"],
        "row": int(record.verdict["source_row"]),
        "claim": record.verdict["claim"],
    }
    return Ruling(**{**values, **changes})  # type: ignore[arg-type]


def snapshot(folder: Path) -> Mapping[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for part in ("dwca", "dwc-dp")
        for path in sorted((folder / part).iterdir())
    }


def test_a_ruling_is_the_accepted_identification_by_its_maker(out: Path) -> None:
    record = first(out, "lowered")
    Ledger(out / NAME).add([ruling_on(record)])
    entries = Ledger(out / NAME).entries()
    assert tally(apply_rulings(out, entries)) == {
        **NONE,
        "applied": 1,
        "by": {"Ann Example": 1},
        "actions": {"uphold": 1},
    }
    core = next(r for r in rows(out / "dwca/occurrence.csv") if r["occurrenceID"] == record.id)
    before = record.occurrence
    assert core["scientificName"] == "Dactylorhiza × grandis (Druce) P.F.Hunt"
    assert core["identifiedBy"] == "Ann Example"
    assert core["dateIdentified"] == "2026-06-14"
    assert core["identificationRemarks"] == "seen at the visit"
    assert core["taxonRank"] == "nothospecies"
    assert core["identificationQualifier"] == ""
    assert core["verbatimIdentification"] == before["verbatimIdentification"]
    assert before["scientificName"] in core["previousIdentifications"]
    # Never set by the tool (the design): a person's ruling is an identification, no verification.
    assert core["identificationVerificationStatus"] == before["identificationVerificationStatus"]
    told = [r for r in rows(out / "dwca/identification.csv") if r["occurrenceID"] == record.id]
    assert [r["isAcceptedIdentification"] for r in told] == ["false", "false", "true"]
    assert told[-1]["identificationID"] == f"{record.id}#ruling-{entries[0].uid}"
    assert told[-1]["taxonFormula"] == "A x B"
    package = rows(out / "dwc-dp/identification.csv")
    told = [r for r in package if r["occurrence_fk"] == record.id]
    assert [r["isAcceptedIdentification"] for r in told] == ["false", "false", "true"]
    taxa = rows(out / "dwc-dp/identification-taxon.csv")
    parents = [r for r in taxa if r["identification_fk"] == told[-1]["identification_pk"]]
    assert [r["scientificName"] for r in parents] == [
        "Dactylorhiza fuchsii",
        "Dactylorhiza praetermissa",
    ]
    assert check_output(out) == []
    assert main(["conform", "--strict", str(out / "dwca")]) == 0
    assert main(["conform", "--strict", str(out / "dwc-dp")]) == 0


def test_every_other_record_stays_as_it_was(out: Path, judged: Path) -> None:
    record = first(out, "lowered")
    apply_rulings(out, [ruling_on(record, uid="u")])
    for name in ("dwca/occurrence.csv", "dwc-dp/occurrence.csv", "dwc-dp/event.csv"):
        before = {r[next(iter(r))]: r for r in rows(judged / name)}
        changed = {k for r in rows(out / name) if before[k := r[next(iter(r))]] != r}
        assert changed <= {record.id}, name


def test_taking_all_rulings_back_leaves_every_byte_as_judged(out: Path, judged: Path) -> None:
    some = [r for r in records(out) if r.verdict["outcome"] in ("lowered", "upheld", "no_claim")]
    apply_rulings(out, [ruling_on(r, uid=f"u{n}") for n, r in enumerate(some[:40])])
    assert snapshot(out) != snapshot(judged)
    assert tally(apply_rulings(out, [])) == NONE
    assert snapshot(out) == snapshot(judged)
    assert not (out / BEFORE).exists()


def test_applying_again_changes_nothing_and_the_records_are_told_as_judged(out: Path) -> None:
    record = first(out, "lowered")
    said = contents(out)
    rulings = [ruling_on(record, uid="u")]
    apply_rulings(out, rulings)
    once = snapshot(out)
    apply_rulings(out, rulings)
    assert snapshot(out) == once
    assert contents(out) == said
    again = next(r for r in records(out) if r.id == record.id)
    assert again.occurrence["scientificName"] == record.occurrence["scientificName"]


def test_a_ruling_that_asks_or_sets_aside_leaves_the_verdict(out: Path, judged: Path) -> None:
    lowered, returned = first(out, "lowered"), first(out, "returned")
    found = apply_rulings(
        out, [ruling_on(lowered, "ask", uid="a"), ruling_on(returned, "set_aside", uid="b")]
    )
    assert tally(found)["kept_verdict"] == 2
    assert snapshot(out) == snapshot(judged)
    assert {row["ruling"] for row in rows(out / "rulings.csv")} == {"ask", "set_aside"}


def test_the_first_hybrid_of_a_package_brings_its_table(tmp_path: Path) -> None:
    source = tmp_path / "plain.csv"
    source.write_text("Species,Grid ref,Date\nDactylorhiza fuchsii,TL6183,14/06/2024\n")
    out = tmp_path / "out"
    vet(source, out)
    assert not (out / "dwc-dp/identification-taxon.csv").exists()
    apply_rulings(out, [ruling_on(next(records(out)), "determine", uid="u")])
    assert len(rows(out / "dwc-dp/identification-taxon.csv")) == 2
    named = json.loads((out / "dwc-dp/datapackage.json").read_text(encoding="utf-8"))["resources"]
    assert "identification-taxon" in {resource["name"] for resource in named}
    assert check_output(out) == []
    assert main(["conform", "--strict", str(out / "dwc-dp")]) == 0


def test_the_next_vet_keeps_the_ledger_and_applies_it(out: Path) -> None:
    record = first(out, "lowered")
    Ledger(out / NAME).add([ruling_on(record)])
    summary = vet(SOURCE, out)
    assert summary["rulings"]["applied"] == 1  # type: ignore[index]
    assert len(Ledger(out / NAME).entries()) == 1
    core = next(r for r in rows(out / "dwca/occurrence.csv") if r["occurrenceID"] == record.id)
    assert core["identifiedBy"] == "Ann Example"


@pytest.mark.parametrize("form", ["ledger", "table"])
def test_another_folder_takes_rulings_from_a_ledger_or_a_table(
    out: Path, tmp_path: Path, form: str
) -> None:
    Ledger(out / NAME).add([ruling_on(first(out, "lowered"))])
    path = out / NAME
    if form == "table":
        path = tmp_path / "rulings.csv"
        assert main(["rulings", "export", str(out), str(path)]) == 0
    vet(SOURCE, tmp_path / "other", path)
    vet(SOURCE, out)
    assert snapshot(tmp_path / "other") == snapshot(out)


@pytest.mark.parametrize("part", ["", "dwca"])
def test_a_ruling_alone_is_no_change_since_an_earlier_output(
    out: Path, tmp_path: Path, part: str
) -> None:
    some = [r for r in records(out) if r.verdict["outcome"] == "lowered"][:5]
    Ledger(out / NAME).add([ruling_on(record) for record in some])
    ledger = out / NAME
    assert vet(SOURCE, out)["rulings"]["applied"] == 5  # type: ignore[index]
    summary = vet(SOURCE, tmp_path / "next", ledger, since=out / part)
    counts = summary["since"]["records"]  # type: ignore[index]
    assert counts["changed"] == counts["new"] == counts["withdrawn"] == 0
    assert counts["unchanged"] > 50
    told = rows(tmp_path / "next/dwca/identification.csv")
    assert sum("#ruling-" in row["identificationID"] for row in told) == 5


ROWS = "occurrenceID,Species,Grid ref,Date,Comments\nr-1,D. x grandis,TL6183,14/06/2024,{said}\n"


@pytest.mark.parametrize(
    ("said", "state"),
    [
        ("stem hollow", "holds"),
        ("stem hollow ", "holds"),
        ("stem solid", "changed"),
    ],
)
def test_a_ruling_holds_for_as_long_as_the_record_says_the_same(
    tmp_path: Path, said: str, state: str
) -> None:
    source, out = tmp_path / "mine.csv", tmp_path / "out"
    source.write_text(ROWS.format(said="stem hollow"))
    vet(source, out)
    Ledger(out / NAME).add([ruling_on(next(records(out)))])
    source.write_text(ROWS.format(said=said))
    summary = vet(source, out)
    assert summary["rulings"]["applied" if state == "holds" else state] == 1  # type: ignore[index]
    (row,) = rows(out / "rulings.csv")
    assert row["state"] == state
    (core,) = rows(out / "dwca/occurrence.csv")
    assert (core["identifiedBy"] == "Ann Example") == (state == "holds")


def test_a_record_that_is_gone_keeps_its_ruling_in_the_ledger(tmp_path: Path) -> None:
    source, out = tmp_path / "mine.csv", tmp_path / "out"
    source.write_text(ROWS.format(said="stem hollow"))
    vet(source, out)
    Ledger(out / NAME).add([ruling_on(next(records(out)))])
    source.write_text(ROWS.format(said="stem hollow").replace("r-1", "r-2"))
    assert vet(source, out)["rulings"] == {**NONE, "gone": 1, "verdicts": {}}
    assert len(Ledger(out / NAME).entries()) == 1


def test_a_ruling_made_by_hand_is_about_the_record_as_it_is(out: Path, tmp_path: Path) -> None:
    record = first(out, "lowered")
    path = tmp_path / "mine.csv"
    path.write_text(
        "record,ruling,name,rank,reason,ruled_by,ruled_on\n"
        f"{record.id},determine,Dactylorhiza fuchsii,species,a solid stem,Bo Sample,2026-06-14\n"
    )
    assert main(["rulings", "import", str(out), str(path)]) == 0
    assert Ledger(out / NAME).entries()[0].content == record.content
    summary = vet(SOURCE, tmp_path / "other", path)
    assert summary["rulings"]["applied"] == 1  # type: ignore[index]


def test_what_is_no_output_is_refused_in_words(tmp_path: Path, out: Path) -> None:
    with pytest.raises(OutputError, match=r"verdicts\.csv is not there"):
        list(records(tmp_path))
    shutil.copy(out / "dwc-dp/occurrence.csv", out / "dwca/occurrence.csv")
    lines = (out / "dwca/occurrence.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    (out / "dwca/occurrence.csv").write_text("".join(lines[:1] + lines[2:]), encoding="utf-8")
    with pytest.raises(OutputError, match="do not belong together"):
        list(records(out))
