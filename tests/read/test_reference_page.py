"""The reference page says what the code does."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from crossproof.read import load_mapping
from crossproof.read.headings import OURS, Recogniser
from crossproof.read.repair import repair

PAGE = (Path(__file__).parents[2] / "docs/reference/reading-files.md").read_text(encoding="utf-8")


def test_its_mapping_is_one(tmp_path: Path) -> None:
    (block,) = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
    path = tmp_path / "m.toml"
    path.write_text(block, encoding="utf-8")
    assert load_mapping(path) == tomllib.loads(block)
    Recogniser(load_mapping(path), {"leaf": ()})


def test_it_names_our_fields() -> None:
    assert all(f"`{field}`" in PAGE for field in OURS)


def test_its_damaged_crosses_are_mended() -> None:
    whole = re.search(
        r"old value \(`text_repaired`\): (.*?), and a lone (.*?) between", PAGE, re.DOTALL
    )
    assert whole
    for sign in re.findall(r"`([^`]+)`", whole[1]):
        assert repair(sign) == "×"
    for sign in re.findall(r"`([^`]+)`", whole[2]):
        assert repair(f"D. {sign} grandis") == "D. × grandis"
