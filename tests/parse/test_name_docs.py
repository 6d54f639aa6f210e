"""The page on names holds what it shows."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import pytest

from crossproof.parse.name import parse_name

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "reading-names.md"
REFUSED = PAGE.read_text(encoding="utf-8").partition("## What it refuses")[2].partition("##")[0]


def test_examples() -> None:
    result = doctest.testfile(str(PAGE), module_relative=False, encoding="utf-8")
    assert result.attempted > 3
    assert result.failed == 0


@pytest.mark.parametrize(
    "written",
    [
        written
        for line in REFUSED.splitlines()
        if line.startswith("| `")
        for written in re.findall("`([^`]+)`", line.split("|")[1])
    ],
)
def test_what_the_page_says_is_refused(written: str) -> None:
    assert parse_name(written).kind == "unresolved"
