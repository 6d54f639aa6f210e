"""The catalogue of findings, and a finding's place in words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import crossproof
from crossproof.findings import Finding, catalogue, finding

SOURCE = Path(crossproof.__file__).parent


@pytest.mark.parametrize("entry", catalogue().values(), ids=lambda entry: entry.code)
def test_every_entry_says_what_why_and_what_mends_it(entry) -> None:
    assert re.fullmatch(r"[a-z]+(_[a-z]+)*", entry.code)
    assert entry.severity in ("error", "warning", "note")
    assert not entry.title.endswith(".")
    for text in (entry.why, entry.remedy):
        assert text.endswith(".")
        assert len(text) < 160


def test_a_finding_takes_what_it_lacks_from_the_catalogue() -> None:
    found = finding("name_missing", file="a.csv", row=3)
    entry = catalogue()["name_missing"]
    assert (found.message, found.remedy, found.severity) == (entry.title, entry.remedy, "error")
    own = finding("name_missing", "nothing here", remedy="write one")
    assert (own.message, own.remedy) == ("nothing here", "write one")


def test_an_unknown_code_is_a_defect() -> None:
    with pytest.raises(KeyError):
        finding("no_such_code")


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ({}, ""),
        ({"file": "a.csv"}, "a.csv"),
        ({"file": "a.csv", "row": 3}, "a.csv, row 3"),
        (
            {"file": "a.xlsx", "sheet": "2019", "row": 14, "column": "Date"},
            "a.xlsx, sheet 2019, row 14, column Date",
        ),
    ],
)
def test_the_place_in_words(place, words) -> None:
    assert Finding(code="name_missing", message="", **place).place == words


def test_every_code_that_is_raised_is_in_the_catalogue() -> None:
    raised = re.compile(r"""(?:\bfinding|\bProblem)\(\s*["']([a-z_]+)["']""")
    used = {
        code for path in SOURCE.rglob("*.py") for code in raised.findall(path.read_text("utf-8"))
    }
    assert len(used) > 10
    assert {code for code in used if "-" not in code} <= set(catalogue())
