"""What a person reads after a run."""

from __future__ import annotations

from pathlib import Path

import pytest

from crossproof.model import OUTCOMES
from crossproof.report.decisions import RULED
from crossproof.report.terminal import MEANING, SHOWN_REASONS, summary_lines


def summary(**changes):
    return {
        "rows": 12_345,
        "outcomes": {outcome: n for n, outcome in enumerate(OUTCOMES)},
        "reasons": {f"reason_{n}": 100 - n for n in range(9)},
        "findings": {"date_assumed": 25, "heading_assumed": 3, "name_missing": 2},
        "submission": [
            {"file": "a.csv", "sheet": "", "fields": {"scientificName": "Species", "leaf": "leaf"}},
            {"file": "b.csv", "sheet": "", "fields": {"scientificName": "Species"}},
        ],
        "checks": {"tables_validated": True, "table_problems": []},
        **changes,
    }


def lines(**changes) -> list[str]:
    return [*summary_lines(summary(**changes), Path("out"))]


def test_every_outcome_is_explained() -> None:
    assert set(MEANING) == {*OUTCOMES, RULED}
    said = "\n".join(lines(outcomes=dict.fromkeys(MEANING, 1)))
    for outcome, meaning in MEANING.items():
        assert outcome in said
        assert meaning in said


@pytest.mark.parametrize(("rows", "words"), [(0, "0 rows"), (1, "1 row"), (12_345, "12,345 rows")])
def test_how_many(rows, words) -> None:
    assert lines(rows=rows)[0] == f"{words} judged"


def test_only_the_commonest_reasons_are_shown() -> None:
    shown = [line for line in lines() if "reason_" in line]
    assert len(shown) == SHOWN_REASONS
    assert "reason_0" in shown[0]
    assert not [line for line in lines(reasons={}) if "reasons" in line.casefold()]


def test_what_was_taken_for_what() -> None:
    (taken,) = [line for line in lines() if line.startswith("Headings")]
    assert taken == "Headings taken for fields: 'Species' as scientificName"
    (assumed,) = [line for line in lines() if line.startswith("Assumed")]
    assert assumed.endswith("date_assumed 25")


@pytest.mark.parametrize(("returned", "shown"), [(0, False), (3, True)])
def test_the_file_of_returned_rows_is_named_only_if_it_holds_some(returned, shown) -> None:
    outcomes = {**summary()["outcomes"], "returned": returned}
    assert any("returned.csv" in line for line in lines(outcomes=outcomes)) is shown


def test_problems_are_never_silent() -> None:
    checks = {"tables_validated": True, "table_problems": ["first", "second"]}
    assert "Problems in the tables written: 2; the first: first" in lines(checks=checks)
    assert not [line for line in lines() if "Problems" in line]


def test_care_for_the_plants_comes_last() -> None:
    assert lines()[-2:] == [
        "Touch gently, pick nothing, and keep exact places of orchids to yourself.",
        "A verdict is advice; a determiner decides.",
    ]
