"""The page on the format: its example is a sound rulebook, and it names every key there is."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from crossproof.judge import judge
from crossproof.model import Case, Name
from crossproof.parse.remark import RemarkReader
from crossproof.resources import folder
from crossproof.rulebooks.check import load_checked, problems

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "rulebook-format.md"


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file that a reader gets by copying the grey pieces one after the other."""
    pieces = re.findall(r"```toml\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    path = tmp_path_factory.mktemp("docs") / "stachys.toml"
    path.write_text("\n".join(pieces), encoding="utf-8")
    return path


def test_the_example_is_a_sound_rulebook(example: Path) -> None:
    assert [str(problem) for problem in problems(example)] == []


JUDGED = [
    ({"petiole": "12", "leaf_shape": "between", "corolla": "dark"}, "upheld", ()),
    ({"petiole": "12", "leaf_shape": "between"}, "lowered", ("corolla_missing",)),
    (
        {"petiole": "2", "leaf_shape": "narrow", "corolla": "between"},
        "lowered",
        ("petiole_against", "leaf_shape_against"),
    ),
]


@pytest.mark.parametrize(("stated", "outcome", "reasons"), JUDGED)
def test_the_example_judges_as_the_page_says(
    example: Path, stated: dict[str, str], outcome: str, reasons: tuple[str, ...]
) -> None:
    case = Case(
        name=Name(verbatim="Stachys × ambigua", kind="hybrid", taxon="ambigua"),
        evidence=tuple((c, state, "stated", "column") for c, state in stated.items()),
        photo="stated",
    )
    verdict = judge(case, load_checked(example))
    assert (verdict.outcome, verdict.reasons) == (outcome, reasons)


REMARKS = [
    ("petiole 12 mm, leaves intermediate, flowers dark", "12", "between", "dark"),
    ("leaf stalks 1.2 cm long; lvs narrow; corolla pale", "12", "narrow", "pale"),
    ("leaves sessile", "0", "not_recorded", "not_recorded"),
]


@pytest.mark.parametrize(("text", "petiole", "leaf_shape", "corolla"), REMARKS)
def test_the_example_reads_remarks(
    example: Path, text: str, petiole: str, leaf_shape: str, corolla: str
) -> None:
    remark = RemarkReader(load_checked(example)).read(text)
    assert remark.state("petiole") == petiole
    assert remark.state("leaf_shape") == leaf_shape
    assert remark.state("corolla") == corolla


def _keys(schema: object) -> Iterator[str]:
    if isinstance(schema, dict):
        for key, value in schema.items():
            if key == "properties":
                yield from value
            yield from _keys(value)
    elif isinstance(schema, list):
        for item in schema:
            yield from _keys(item)


def _descriptions(schema: object) -> Iterator[tuple[str, object]]:
    if isinstance(schema, dict):
        for name, value in schema.get("properties", {}).items():
            yield name, value
        for value in schema.values():
            yield from _descriptions(value)
    elif isinstance(schema, list):
        for item in schema:
            yield from _descriptions(item)


SCHEMA = json.loads((folder("schemas") / "rulebook.schema.json").read_text(encoding="utf-8"))


def test_the_page_names_every_key_of_the_schema() -> None:
    text = PAGE.read_text(encoding="utf-8")
    spoken = set(re.findall(r"[a-z_]+", " ".join(re.findall(r"`[^`\n]+`|```.*?```", text, re.S))))
    elsewhere = set(_keys(SCHEMA["$defs"]["characterPhrases"]))  # on the page of phrases
    assert set(_keys(SCHEMA)) - spoken - elsewhere == set()


def test_the_schema_describes_every_key_in_a_sentence() -> None:
    for name, value in _descriptions(SCHEMA):
        if isinstance(value, dict) and "$ref" not in value:
            assert len(value.get("description", "").split()) > 2, name
