"""The pages on places and dates: their examples run, and they name every reason and code."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest

from crossproof.parse import date_error, place_error

DOCS = Path(__file__).parents[2] / "docs" / "reference"


@pytest.mark.parametrize("page", ["reading-places.md", "reading-dates.md"])
def test_examples_run(page: str) -> None:
    result = doctest.testfile(str(DOCS / page), module_relative=False)
    assert result.attempted > 0
    assert result.failed == 0


def test_every_reason_is_explained() -> None:
    page = (DOCS / "reading-places.md").read_text(encoding="utf-8")
    for reason in place_error.vocabulary()["remedies"]:
        assert f"`{reason}`" in page, reason


def test_every_code_is_explained() -> None:
    page = (DOCS / "reading-dates.md").read_text(encoding="utf-8")
    for code, (reason, _) in date_error.vocabulary()["codes"].items():
        assert f"| {reason} | `{code}` |" in page, code
