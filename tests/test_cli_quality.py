"""`crossproof quality`, as a person starts it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from lxml import html

from crossproof.cli import main
from crossproof.quality import writing

RECORDS = """\
occurrenceID,scientificName,eventDate,month,countryCode
o1,Bellis perennis,1990-02-30,2,UK
o2,Bellis perennis,1990-02-28,vi,UK
o3,Geum rivale,1990-02-28,2,GB
"""
GOOD = "scientificName\nBellis perennis\n"


@pytest.fixture
def records(tmp_path: Path) -> Path:
    path = tmp_path / "records.csv"
    path.write_text(RECORDS, encoding="utf-8")
    return path


def test_the_worst_tests_come_first(
    records: Path, tmp_path: Path, capsys: pytest.CaptureFixture
) -> None:
    assert main(["quality", str(records), "--out", str(tmp_path / "out")]) == 0
    shown = capsys.readouterr()
    assert shown.err == "", "no progress in a pipe"
    assert shown.out.startswith("3 records tested against the TDWG Biodiversity Data Quality")
    order = [
        shown.out.index(f"{count} {share:>5} %  {test}")
        for count, share, test in (
            (2, "66.7", "VALIDATION_COUNTRYCODE_STANDARD"),
            (1, "33.3", "VALIDATION_MONTH_STANDARD"),
        )
    ]
    assert order == sorted(order)
    assert "No record fills in " in shown.out and "dwc:basisOfRecord" in shown.out
    assert "dwc:countryCode," not in shown.out.split("\n")[1]
    assert "  AMENDMENT_MONTH_STANDARDIZED" in shown.out
    assert "nothing was changed" in shown.out


def test_the_page_is_whole_and_asks_for_nothing_from_outside(records: Path, tmp_path: Path) -> None:
    main(["quality", str(records), "--out", str(tmp_path / "out")])
    text = (tmp_path / "out" / "quality.html").read_text("utf-8")
    page = html.fromstring(text)
    assert not page.xpath("//script | //link | //img | //@src | //@href[not(starts-with(., '#'))]")
    assert "url(http" not in text and "@import" not in text
    labels = page.xpath("//section[@aria-labelledby='failing']//th/code/text()")
    assert {"VALIDATION_COUNTRYCODE_STANDARD", "VALIDATION_MONTH_STANDARD"} <= set(labels)
    for link in page.xpath("//nav//@href"):
        assert page.xpath(f"//*[@id='{link[1:]}']")


def test_json_prints_the_summary(
    records: Path, tmp_path: Path, capsys: pytest.CaptureFixture
) -> None:
    out = tmp_path / "out"
    assert main(["quality", str(records), "--out", str(out), "--json", "--date", "2026-11-25"]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed == json.loads((out / "summary.json").read_text("utf-8"))
    assert printed["today"] == "2026-11-25" and printed["records"] == 3


def test_strict_is_for_records_that_do_not_comply(records: Path, tmp_path: Path) -> None:
    assert main(["quality", str(records), "--out", str(tmp_path / "out"), "--strict"]) == 1


def test_apply_writes_a_copy(records: Path, tmp_path: Path, capsys: pytest.CaptureFixture) -> None:
    arguments = ["quality", str(records), "--out", str(tmp_path / "out"), "--apply"]
    assert main([*arguments, "--format", "csv"]) == 0
    text = (tmp_path / "out" / "amended.csv").read_text("utf-8")
    assert "o2,Bellis perennis,1990-02-28,6," in text
    assert records.read_text("utf-8") == RECORDS
    assert "once amended" in capsys.readouterr().out


def test_a_list_of_taxa_answers_the_tests_of_names(
    records: Path, tmp_path: Path, capsys: pytest.CaptureFixture
) -> None:
    taxa = tmp_path / "taxa.csv"
    taxa.write_text(GOOD, encoding="utf-8")
    main(["quality", str(records), "--out", str(tmp_path / "o"), "--taxa", str(taxa), "--json"])
    tests = {t["test"]: t["counts"] for t in json.loads(capsys.readouterr().out)["tests"]}
    assert tests["VALIDATION_SCIENTIFICNAME_FOUND"] == {"COMPLIANT": 2, "NOT_COMPLIANT": 1}


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["nowhere.csv"], "There is no file"),
        (["{records}", "--taxa", "nowhere.csv"], "nowhere.csv cannot be read"),
        (["{records}", "--taxa", "{records}", "--mapping", "no.toml"], "There is no mapping file"),
        (["{records}", "--taxa", "{broken}"], "has no column scientificName"),
        (["{records}", "--parameters", "nowhere.toml"], "nowhere.toml can't be opened"),
        (["{records}", "--parameters", "{broken}"], "is not a file of parameters"),
        (["{records}", "--date", "june"], "is not a date"),
        (["{records}", "--out", "{records}"], "is a file"),
        (["{broken}"], "no column names the plant"),
    ],
)
def test_what_cannot_be_used_is_one_sentence(
    records: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture,
    arguments: list[str],
    sentence: str,
) -> None:
    broken = tmp_path / "broken.txt"
    broken.write_text("when,where\nthen,there\n", encoding="utf-8")
    given = [argument.format(records=records, broken=broken) for argument in arguments]
    out = [] if "--out" in given else ["--out", str(tmp_path / "out")]
    assert main(["quality", *given, *out]) == 2
    said = capsys.readouterr()
    assert said.out == "" and said.err.startswith("crossproof: ")
    assert sentence in said.err and said.err.count("\n") == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["broken.txt", "records.csv"]


def test_parquet_without_its_library_is_one_sentence(
    records: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(writing, "find_spec", lambda name: None)
    arguments = ["quality", str(records), "--out", str(tmp_path / "out")]
    assert main([*arguments, "--format", "parquet"]) == 2
    assert "Parquet needs pyarrow" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
    assert main(arguments) == 0
    assert (tmp_path / "out" / "failing.csv").exists()
