"""The sample is drawn by lot, whatever the blocks, and its score is weighted back."""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path

import pytest
from archives import read, rows, write

from crossproof.audit import run
from crossproof.audit.run import Settings, audit_to
from crossproof.audit.scoring import ScoreRefused, score


def sampled(tmp_path: Path, name: str, seed: int = 1, precision: float = 0.1) -> Path:
    source = tmp_path / "records.csv"
    if not source.exists():
        write(source, rows(600))
    settings = Settings(precision=precision, seed=seed, form="csv")
    audit_to([source], tmp_path / name, settings=settings)
    return tmp_path / name


def test_the_sample_does_not_depend_on_the_blocks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = sampled(tmp_path, "whole")
    monkeypatch.setattr(run, "BLOCK_BYTES", 3000)
    cut = sampled(tmp_path, "cut")
    assert (cut / "sample.csv").read_bytes() == (whole / "sample.csv").read_bytes()


def test_another_seed_draws_another_sample(tmp_path: Path) -> None:
    first, second = sampled(tmp_path, "a", seed=1), sampled(tmp_path, "b", seed=2)
    ids = [{row["occurrenceID"] for row in read(f / "sample.csv")} for f in (first, second)]
    assert ids[0] != ids[1]


def test_the_sample_shows_the_record_and_hides_the_verdict(tmp_path: Path) -> None:
    folder = sampled(tmp_path, "out")
    sample = read(folder / "sample.csv")
    verdicts = {v["source_row"]: v for v in read(folder / "verdicts.csv")}
    own = {str(i): r for i, r in enumerate(read(tmp_path / "records.csv"), start=2)}
    assert not {"outcome", "reasons", "stratum"} & set(sample[0])
    for row, key in zip(sample, read(folder / "sample_key.csv"), strict=True):
        assert row["sample_id"] == key["sample_id"]
        assert key["outcome"] == verdicts[key["source_row"]]["outcome"]
        for heading, cell in own[key["source_row"]].items():
            assert row[heading] == cell


def test_every_record_is_as_likely(tmp_path: Path) -> None:
    """Over forty seeds the first and the second half are drawn about equally often."""
    halves: Counter[bool] = Counter()
    for seed in range(40):
        folder = sampled(tmp_path, f"s{seed}", seed=seed, precision=0.3)
        for key in read(folder / "sample_key.csv"):
            halves[int(key["source_row"]) < 302] += 1
    assert abs(halves[True] / halves.total() - 0.5) < 0.05


def judged(folder: Path, wrong: frozenset[str] = frozenset()) -> Path:
    """Judge the sample as the audit did, but for the strata given."""
    key = {row["sample_id"]: row for row in read(folder / "sample_key.csv")}
    sample = read(folder / "sample.csv")
    for row in sample:
        own = key[row["sample_id"]]
        row["judged_outcome"] = own["outcome"]
        if own["stratum"] in wrong:
            row["judged_outcome"] = "upheld" if own["outcome"] != "upheld" else "lowered"
    path = folder.parent / "JUDGED.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, fieldnames=list(sample[0]))
        writer.writeheader()
        writer.writerows(sample)
    return path


def test_full_agreement(tmp_path: Path) -> None:
    folder = sampled(tmp_path, "out")
    found = score(folder, judged(folder))
    assert found["agreement"]["share"] == 1
    assert found["agreement"]["low"] > 0.9


def test_disagreement_counts_by_the_size_of_its_stratum(tmp_path: Path) -> None:
    folder = sampled(tmp_path, "out")
    found = score(folder, judged(folder, frozenset({"upheld"})))
    population = found["strata"]
    total = sum(row["population"] for row in population.values())
    expected = 1 - population["upheld"]["population"] / total
    assert found["agreement"]["share"] == pytest.approx(expected, abs=1e-4)
    assert found["strata"]["upheld"]["share"] == 0


def test_refusals(tmp_path: Path) -> None:
    folder = sampled(tmp_path, "out")
    with pytest.raises(ScoreRefused, match="no judged record"):
        score(folder, folder / "sample.csv")
    with pytest.raises(ScoreRefused, match="holds no audit"):
        score(tmp_path, folder / "sample.csv")
    bad = judged(folder)
    bad.write_text(bad.read_text().replace("lowered", "perhaps"))
    with pytest.raises(ScoreRefused, match="write one of upheld, lowered"):
        score(folder, bad)
