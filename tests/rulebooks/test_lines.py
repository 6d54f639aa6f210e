"""The locator, against the TOML that people write, and against the standard reader's keys."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from crossproof.rulebooks.lines import line_of, lines_of
from crossproof.rulebooks.load import HOME

TEXT = '''# a comment with a = "sign"
format = "1.0"
[rulebook]
id = "x"          # trailing
title = """two
lines # no comment"""
"quoted key" = 'it'
dotted.key = 3

[[taxon]]
id = "a"
list = [
    "one",        # [not a header]
    'two',
]
[[taxon]]
id = "b"
sources = { name = ["S1"], months = ["S2", "S3"] }
[taxon.deep]
er = 1979-05-27T07:32:00Z
[[character]]
id = "leaf"
state = [
    { id = "plain", title = "plain" },
    { id = "marked", title = "a ] and a } inside" },
]
[states.leaf]
a = { states = ["plain"], source = ["S1"] }
'''

PLACES = [
    (("format",), 2),
    (("rulebook",), 3),
    (("rulebook", "id"), 4),
    (("rulebook", "title"), 5),
    (("rulebook", "quoted key"), 7),
    (("rulebook", "dotted", "key"), 8),
    (("taxon", 0), 10),
    (("taxon", 0, "id"), 11),
    (("taxon", 0, "list", 1), 14),
    (("taxon", 1), 16),
    (("taxon", 1, "sources", "months", 1), 18),
    (("taxon", 1, "deep", "er"), 20),
    (("character", 0, "state", 1, "title"), 25),
    (("states", "leaf", "a", "source", 0), 28),
]


@pytest.mark.parametrize(("path", "line"), PLACES)
def test_every_key_has_its_line(path: tuple[str | int, ...], line: int) -> None:
    tomllib.loads(TEXT)
    assert lines_of(TEXT)[path] == line


def test_what_is_absent_is_sought_around() -> None:
    lines = lines_of(TEXT)
    assert line_of(lines, ("taxon", 1, "name")) == 16
    assert line_of(lines, ("nowhere",)) == 1


def _paths(value: object, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    if isinstance(value, dict):
        inner = value.items()
    elif isinstance(value, list):
        inner = enumerate(value)
    else:
        return [path]
    return [path, *(p for key, item in inner for p in _paths(item, (*path, key)))]


@pytest.mark.parametrize("path", sorted(HOME.glob("*.toml")), ids=lambda path: path.stem)
def test_finds_every_key_that_the_standard_reader_finds(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    lines = lines_of(text)
    assert not set(_paths(tomllib.loads(text))) - {()} - set(lines)
    assert all(1 <= line <= len(text.splitlines()) for line in lines.values())
