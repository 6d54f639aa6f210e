"""Names against the botanical Code's examples, published synonyms and the code pages themselves."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from crossproof.parse.name import parse_name

CASES = json.loads(
    (Path(__file__).parents[1] / "vectors" / "names.json").read_text(encoding="utf-8")
)["cases"]


@pytest.mark.parametrize("case", CASES, ids=[case["input"] for case in CASES])
def test_published_case(case: dict[str, Any]) -> None:
    name = parse_name(case["input"])
    assert (name.scientific_name, name.kind) == (case["scientific_name"], case["kind"])
    for field in ("taxon", "authorship"):
        if field in case:
            assert getattr(name, field) == case[field], case["source"]
