"""Cases of our own for what the published rows leave out; each names the section it tests."""

from __future__ import annotations

import json
from collections import Counter
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from crossproof import quality

TODAY = date(2026, 11, 25)
_FILE = Path(__file__).resolve().parents[1] / "vectors" / "quality_cases.json"
CASES: list[dict[str, Any]] = json.loads(_FILE.read_text(encoding="utf-8"))["cases"]


@pytest.mark.parametrize("topic", sorted({case["topic"] for case in CASES}))
def test_every_case_of_a_topic_is_answered_as_its_section_says(topic: str) -> None:
    wrong = []
    for case in CASES:
        if case["topic"] != topic:
            continue
        response = quality.run(case["test"], case["record"], case.get("parameters"), TODAY)
        result = response.proposed if isinstance(case["result"], dict) else response.result
        if (response.status, result) != (case["status"], case["result"]) or not response.comment:
            wrong.append(f"{case['test']} {case['record']}: {response} ({case['section']})")
    assert not wrong, "\n".join(wrong)


def test_no_case_stands_twice() -> None:
    seen = Counter(
        json.dumps([case["test"], case["record"], case.get("parameters")]) for case in CASES
    )
    assert [case for case, times in seen.items() if times > 1] == []
