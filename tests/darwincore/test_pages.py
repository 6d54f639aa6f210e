"""The pages on the outputs say what the code does."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path

import pytest

from crossproof.darwincore.metadata import MetadataError, load_metadata

ROOT = Path(__file__).parents[2]


def test_the_lists_of_fields_are_those_of_the_schemas() -> None:
    spec = importlib.util.spec_from_file_location("make_schemas", ROOT / "schemas/make.py")
    assert spec is not None
    assert spec.loader is not None
    make = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(make)
    text = (ROOT / "docs/reference/outputs.md").read_text(encoding="utf-8")
    assert text.count("<!-- fields: ") == 13
    assert make.page(text) == text


def test_the_example_of_a_data_set_is_one(tmp_path: Path) -> None:
    text = (ROOT / "docs/how-to/describe-a-dataset.md").read_text(encoding="utf-8")
    (example,) = re.findall(r"```toml\n(.*?)```", text, re.DOTALL)
    path = tmp_path / "dataset.toml"
    path.write_text(example, encoding="utf-8")
    assert load_metadata(path).missing == ()
    mistake = example.replace('name = "Creative Commons Zero 1.0 Universal"\n', "")
    path.write_text(mistake, encoding="utf-8")
    with pytest.raises(MetadataError) as caught:
        load_metadata(path)
    assert str(caught.value) in text
