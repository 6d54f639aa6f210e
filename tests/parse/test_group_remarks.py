"""Remarks on bluebells, primulas, avens, oaks, hawthorns and campions, as recorders write them.

The remarks are invented; what they say is plain to read (common practice, no published source).
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.model import Remark
from crossproof.parse.remark import RemarkReader
from crossproof.parse.remarks.states.measures import measured, measures_of
from crossproof.rulebooks.load import shipped, shipped_rulebook

CASES = json.loads(Path(__file__).with_name("group_remarks.json").read_text(encoding="utf-8"))
GROUPS = sorted({case["group"] for case in CASES})


@cache
def reader(group: str) -> RemarkReader:
    return RemarkReader(shipped_rulebook(group))


def stated(remark: Remark) -> dict[str, str]:
    """What the judge may weigh: neither faint nor questioned."""
    return {e.character: remark.state(e.character) for e in remark.evidence if e.counts}


@pytest.mark.parametrize("case", CASES, ids=[case["remark"] for case in CASES])
def test_what_a_remark_states(case: dict[str, object]) -> None:
    found = reader(str(case["group"])).read(str(case["remark"]))
    assert stated(found) == case["states"]


@pytest.mark.parametrize("case", CASES, ids=[case["remark"] for case in CASES])
def test_evidence_carries_the_words_it_was_read_from(case: dict[str, object]) -> None:
    text = str(case["remark"])
    for evidence in reader(str(case["group"])).read(text).evidence:
        assert text[evidence.start : evidence.end] == evidence.words


OAKS = measures_of(shipped_rulebook("quercus"))


@pytest.mark.parametrize(
    ("text", "states"),
    [
        ("petiole 12 mm", ["12"]),
        ("petioles 8-14mm", ["8-14"]),
        ("petiole 14 to 8 mm", ["8-14"]),
        ("petiole: c. 1,2 cm", ["12"]),
        ("12 mm petioles", ["12"]),
        ("15 mm long petioles", ["15"]),
        ("petiole about 9.5 mm long", ["9.5"]),
        ("petiole 12 mm, acorn stalk up to 3 cm", ["12", "30"]),
        ("acorns sessile", ["0"]),
        ("petiole 3 mm wide", []),  # not its length
        ("petiole 12", []),  # of what?
        ("acorn 20 mm long", []),  # not its stalk
        ("girth 310 cm, 12 m from petiole", []),
        ("petiole under 5 mm", []),  # a bound is no measurement
    ],
)
def test_measurements(text: str, states: list[str]) -> None:
    found, rest = measured(text, OAKS)
    assert [evidence.state for evidence in found] == states
    assert len(rest) == len(text)
    assert all(text[e.start : e.end] == e.words for e in found)


def test_a_questioned_measurement_does_not_count() -> None:
    (found,), _ = measured("petiole 12 mm?", OAKS)
    assert found.weight == "questioned"


def test_what_else_is_said_of_a_measured_organ_is_read() -> None:
    remark = reader("primula").read("corolla 20 mm across, deep yellow")
    assert stated(remark) == {"corolla": "20", "petals": "yellow"}


@given(st.sampled_from(GROUPS), st.text())
def test_any_text_is_read_without_a_stumble(group: str, text: str) -> None:
    for evidence in reader(group).read(text).evidence:
        assert text[evidence.start : evidence.end] == evidence.words


@given(st.sampled_from([case["remark"] for case in CASES]), st.sampled_from(GROUPS))
def test_reading_with_another_groups_words_states_only_that_groups_characters(
    text: str, group: str
) -> None:
    rulebook = shipped_rulebook(group)
    for evidence in reader(group).read(text).evidence:
        assert evidence.character in rulebook.characters


def test_every_state_of_every_needed_character_can_be_said() -> None:
    # A state that no phrase means could never be read from a remark.
    silent = []
    for rulebook in shipped():
        needed = {c for r in rulebook.requirements for c in (*r.all_of, *r.any_of)}
        for character in rulebook.ordered_characters:
            if character.id not in needed:
                continue
            said = rulebook.phrases.get(character.id, {})
            assert isinstance(said, dict)
            if character.is_measured:
                silent += [character.id] if not said.get("named") else []
            silent += [
                f"{rulebook.id}.{character.id}.{state.id}"
                for state in character.states
                if state.id not in said.get("states", {}) and state.id != "mixed"
            ]
    assert silent == []
