"""What a remark's end was once read as is known again behind other places, the same to a letter."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from crossproof.parse.remark import RemarkReader
from crossproof.parse.remarks.states import told
from crossproof.rulebooks.load import shipped_rulebook

CASES = json.loads((Path(__file__).parents[1] / "vectors" / "remarks.json").read_text("utf-8"))
TEXTS = [case[0] for case in CASES["cases"]][::3]
BEGINNINGS = (
    *("Wetherlow 123, 4.vi.1999. ", "Long Carrow. ", "With Mab Tarn, in good light. "),
    *("Seen at O'Marl's bog. ", "Leaves? ", "At noon! ", "Wether fen 3; ", "No idea of the day. "),
)


def test_the_same_end_is_read_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    book = shipped_rulebook("dactylorhiza")
    remembering, forgetful = RemarkReader(book), RemarkReader(book)
    remarks = [f"{beginning}{text}" for text in TEXTS for beginning in BEGINNINGS]
    known = [remembering.read(remark) for remark in remarks]
    monkeypatch.setattr(told, "_LONGEST", 0)
    assert known == [forgetful.read(remark) for remark in remarks]


def test_an_end_is_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    reader = RemarkReader(shipped_rulebook("dactylorhiza"))
    first = reader.read("Wetherlow, 3.vi.1998. Leaves spotted, stem hollow.")
    monkeypatch.setattr(told.Teller, "items", None)  # nothing is looked at again
    second = reader.read("Wetherlow, 12.vi.1999. Leaves spotted, stem hollow.")
    assert [(e.words, e.start + 1) for e in first.evidence] == [
        (e.words, e.start) for e in second.evidence
    ]
    with pytest.raises(TypeError):
        reader.read("Wetherlow, 12.vi.1999. Leaves plain, stem hollow.")


def test_ends_are_forgotten_where_they_are_too_many(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(told, "_REMEMBERED", 2)
    reader = RemarkReader(shipped_rulebook("dactylorhiza"))
    for state, leaf in (
        ("plain", "unmarked"),
        ("ringed", "ring_spots"),
        ("barred", "transverse_bars"),
    ):
        for _ in range(2):
            assert reader.read(f"Wetherlow. Leaves {state}.").leaf == leaf
