"""After rulings, everything in an output folder tells one story, and it can be taken back.

Source of what the figures must agree on: the folder's own `dwca/occurrence.csv`, read here by the
standard library; the rest is common practice, no published source.
"""

from __future__ import annotations

import csv
import json
import re
import shutil
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from lxml import etree, html

from crossproof.checks import check_output
from crossproof.cli import main
from crossproof.closing import RULING_COLUMNS
from crossproof.desk.export import export
from crossproof.model import Determination
from crossproof.options import Options
from crossproof.pipeline import vet_to
from crossproof.resources import folder as shipped_folder
from crossproof.rulebooks.load import shipped
from crossproof.rulings.ledger import NAME, Ledger
from crossproof.rulings.records import OutputRecord, records
from crossproof.rulings.ruling import NO_NAME, Ruling

SOURCE = shipped_folder("demo_data") / "fen_records.csv"
TODAY = "2026-06-01"
UPHELD = Determination(
    scientific_name="Dactylorhiza × grandis", authorship="(Druce) P.F.Hunt", rank="nothospecies"
)
NEWLY = Determination(scientific_name="Dactylorhiza elata", rank="species")  # nobody claimed it


def vet(out: Path, source: Path = SOURCE, **options: Any) -> dict[str, Any]:
    return vet_to([source], out, Options(issued=TODAY, validate="always", **options))


def ruling(record: OutputRecord, action: str, name: Determination = NO_NAME, **more: str) -> Ruling:
    values = {
        "uid": "",
        "record": record.id,
        "action": action,
        "by": "Ann Example",
        "on": "2026-06-14",
        "reason": f"{action}, after a look",
        "content": record.content,
        "file": record.verdict["source_file"],
        "claim": record.verdict["claim"],
    }
    row = int(record.verdict["source_row"])
    return Ruling(**{**values, **more}, determination=name, row=row)


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def files(folder: Path) -> Mapping[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.startswith((NAME, ".desk"))
    }


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("judged") / "out"
    vet(out)
    return out


@pytest.fixture(scope="module")
def ruled(judged: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with rulings of every kind: applied, keeping the verdict, and stale."""
    out = Path(shutil.copytree(judged, tmp_path_factory.mktemp("ruled") / "out"))
    lowered = [r for r in records(out) if r.verdict["outcome"] == "lowered"]
    contested = next(r for r in records(out) if r.verdict["outcome"] == "contested")
    plain = next(r for r in records(out) if r.verdict["outcome"] == "no_claim")
    back = next(r for r in records(out) if r.id and r.verdict["outcome"] == "returned")
    Ledger(out / NAME).add(
        [
            *(ruling(record, "uphold", UPHELD) for record in lowered[:3]),
            ruling(contested, "determine", NEWLY, by="Bo Sample"),
            ruling(plain, "uphold", Determination(scientific_name=plain.verdict["claimed_name"])),
            ruling(lowered[3], "ask"),
            ruling(back, "set_aside"),
            ruling(lowered[4], "uphold", UPHELD, content="what it said once"),
        ]
    )
    vet(out)
    return out


def summary(folder: Path) -> dict[str, Any]:
    told: dict[str, Any] = json.loads((folder / "summary.json").read_text("utf-8"))
    return told


def test_the_counts_are_of_what_stands_and_say_who_ruled(judged: Path, ruled: Path) -> None:
    before, after = summary(judged), summary(ruled)
    assert after["rulings"] == {
        "applied": 5,
        "kept_verdict": 2,
        "changed": 1,
        "gone": 0,
        "by": {"Ann Example": 4, "Bo Sample": 1},
        "actions": {"uphold": 4, "determine": 1},
        "verdicts": {"lowered": 3, "contested": 1, "no_claim": 1},
    }
    assert after["outcomes"]["ruled"] == 5
    assert sum(after["outcomes"].values()) == after["rows"] == before["rows"]
    for outcome, count in before["outcomes"].items():
        assert after["outcomes"][outcome] == count - after["rulings"]["verdicts"].get(outcome, 0)
    claimed = {name: sum(counts.values()) for name, counts in before["hybrids"].items()}
    assert claimed == {name: sum(counts.values()) for name, counts in after["hybrids"].items()}
    assert after["checks"] == {"tables_validated": True, "table_problems": []}


def test_verdicts_and_archive_agree_record_by_record(ruled: Path) -> None:
    verdicts = {row["occurrenceID"]: row for row in rows(ruled / "verdicts.csv")}
    told = Counter((row["ruling"], row["ruling_state"]) for row in verdicts.values())
    assert told - Counter([("", "")] * len(verdicts)) == {
        ("uphold", "holds"): 4,
        ("determine", "holds"): 1,
        ("ask", "holds"): 1,
        ("set_aside", "holds"): 1,
        ("uphold", "changed"): 1,
    }
    for row in rows(ruled / "dwca" / "occurrence.csv"):
        verdict = verdicts[row["occurrenceID"]]
        is_ruled = verdict["ruled_name"] and verdict["ruling_state"] == "holds"
        name = verdict["ruled_name"] if is_ruled else verdict["determined_name"]
        assert row["scientificName"].removesuffix(f" {row['scientificNameAuthorship']}") == name
        assert not is_ruled or row["identifiedBy"] == verdict["ruled_by"]


def test_the_page_lists_what_stands(judged: Path, ruled: Path) -> None:
    page = html.fromstring((ruled / "report.html").read_text("utf-8"))
    head = " ".join(page.xpath("//header")[0].text_content().split())
    assert "5 rulings outrank their verdicts, by Ann Example (4), Bo Sample (1)" in head
    figures = {
        row.xpath("string(th/b)"): int(row.xpath("string(td[2])"))
        for row in page.xpath("(//table[contains(@class, 'figures')])[1]/tbody/tr")
    }
    outcomes = summary(ruled)["outcomes"]
    assert figures == {name.replace("_", " "): count for name, count in outcomes.items()}
    listed = Counter(
        group.get("data-outcome")
        for group in page.xpath("//article[@data-outcome]")
        for _ in group.xpath(".//div[@class='records']//tbody/tr")
    )
    assert listed == {o: outcomes[o] for o in ("lowered", "contested", "returned") if outcomes[o]}
    (section,) = page.xpath("//section[@aria-labelledby='rulings']")
    found = [len(table.xpath("./tbody/tr")) for table in section.xpath("./table")]
    assert found == [5, 2, 1]
    assert "rulings" not in (judged / "report.html").read_text("utf-8").split("<main")[1]


def test_quality_and_metadata_are_of_the_names_that_go_out(judged: Path, ruled: Path) -> None:
    names = {row["scientificName"] for row in rows(ruled / "dwca" / "occurrence.csv")}
    assert NEWLY.scientific_name in names
    for part in ("dwca", "dwc-dp"):
        taxa = {
            folder: etree.parse(folder / part / "eml.xml").xpath("//taxonRankValue/text()")
            for folder in (judged, ruled)
        }
        assert NEWLY.scientific_name not in taxa[judged]
        assert NEWLY.scientific_name in taxa[ruled]
    ranks = Counter(row["taxonRank"] for row in rows(ruled / "dwca" / "occurrence.csv"))
    tests = {row["test"]: row for row in rows(ruled / "quality.csv")}
    blank = tests["VALIDATION_TAXONRANK_NOTEMPTY"]
    assert int(blank["not_compliant"]) == ranks[""]
    before = {row["test"]: row for row in rows(judged / "quality.csv")}
    assert int(before["VALIDATION_TAXONRANK_NOTEMPTY"]["not_compliant"]) == ranks[""] - 1
    told = {test["test"]: test["counts"] for test in summary(ruled)["quality"]["tests"]}
    assert told["VALIDATION_TAXONRANK_NOTEMPTY"]["NOT_COMPLIANT"] == ranks[""]


def test_the_desk_exports_the_very_bytes_that_vet_writes(ruled: Path, tmp_path: Path) -> None:
    export(ruled, tmp_path / "exported", shipped())
    assert files(tmp_path / "exported") == files(ruled)
    # The folder stands by itself: its ledger holds the rulings it was written with.
    export(tmp_path / "exported", tmp_path / "again", shipped())
    assert files(tmp_path / "again") == files(ruled)


def test_rulings_taken_back_leave_the_folder_as_it_was_judged(
    judged: Path, ruled: Path, tmp_path: Path
) -> None:
    out = Path(shutil.copytree(ruled, tmp_path / "out"))
    ledger = Ledger(out / NAME)
    ledger.undo([entry.uid for entry in ledger.entries()], "Ann Example", "2026-06-15")
    export(out, tmp_path / "exported", shipped())
    before, after = files(judged), files(tmp_path / "exported")
    assert before.keys() == after.keys()
    # Only that rulings were looked for is told; everything else is as if there had been none.
    assert [name for name in before if before[name] != after[name]] == ["summary.json"]
    none = summary(tmp_path / "exported").pop("rulings")
    assert not any(none.values())
    assert not set(RULING_COLUMNS) & set(rows(tmp_path / "exported" / "verdicts.csv")[0])


def test_rulings_of_a_table_are_in_the_ledger_once(judged: Path, tmp_path: Path) -> None:
    record = next(r for r in records(judged) if r.verdict["outcome"] == "lowered")
    back = next(r for r in records(judged) if r.id and r.verdict["outcome"] == "returned")
    table = tmp_path / "mine.csv"
    table.write_text(
        "record,ruling,name,rank,reason,ruled_by,ruled_on\n"
        f"{record.id},determine,Dactylorhiza elata,species,seen,Bo Sample,2026-06-14\n"
        f"{back.id},determine,Dactylorhiza elata,species,seen,Bo Sample,2026-06-14\n"
    )
    out = tmp_path / "out"
    for _ in range(2):
        told = vet(out, rulings=(table,), quality=False)
        # A row that went back has no name to rule on.
        assert told["rulings"]["applied"] == told["outcomes"]["ruled"] == 1
        assert told["rulings"]["gone"] == 1
        (entry, other) = Ledger(out / NAME).entries()
        assert {entry.content, other.content} == {record.content, back.content}
    assert vet(out, quality=False)["rulings"]["applied"] == 1  # of the ledger now


def test_an_afternoon_from_the_command_line(tmp_path: Path, capsys: Any) -> None:
    """Vet, rule by table, vet again, pre-check: end to end, as a data manager types it."""
    source, out, table = tmp_path / "mine.csv", tmp_path / "out", tmp_path / "rulings.csv"
    source.write_text(
        "occurrenceID,species,grid ref,date,recorder,leaves,stem,photo\n"
        "r-1,D. x grandis,TL 611 821,14/06/2024,Mab Thornley,ring spots,,\n"
        "r-2,D. x grandis,TL 611 822,14/06/2024,Mab Thornley,ring spots,,\n"
    )
    assert main(["vet", str(source), "--out", str(out), "--date", TODAY]) == 0
    table.write_text(
        "record,ruling,name,rank,reason,ruled_by,ruled_on\n"
        "r-1,uphold,Dactylorhiza × grandis,nothospecies,stem squeezed: gives,Ann,2026-06-14\n"
    )
    assert main(["rulings", "import", str(out), str(table)]) == 0
    capsys.readouterr()
    assert main(["vet", str(source), "--out", str(out), "--date", TODAY, "--rows"]) == 0
    said = capsys.readouterr().out
    assert "Rulings: 1 outrank the verdict, by Ann 1" in said
    assert re.search(r"^ +1  ruled ", said, re.MULTILINE)
    assert "1 of 2 rows need nothing" in said
    assert main(["conform", "--strict", str(out / "dwca.zip")]) == 0
    assert main(["conform", str(out / "dwc-dp")]) == 0
    assert main(["letters", str(out), "--out", str(tmp_path / "letters")]) == 0
    (letter,) = rows(tmp_path / "letters" / "letters.csv")
    assert (letter["records"], letter["lowered"], letter["ruled"]) == ("2", "1", "1")
    assert check_output(out) == []
