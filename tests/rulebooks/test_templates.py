"""Classes of words in phrases: `like {rod}` (the format is this project's own)."""

from __future__ import annotations

import copy
import tomllib

import pytest

from crossproof.rulebooks.check_characters import phrases
from crossproof.rulebooks.load import HOME
from crossproof.rulebooks.templates import Phrases, expanded, spelled_out

CLASSES = {"a": ("", "a"), "rod": ("nail", "twig")}


@pytest.mark.parametrize(
    ("phrase", "stands_for"),
    [
        ("solid", ["solid"]),
        ("like {a} {rod}", ["like nail", "like twig", "like a nail", "like a twig"]),
        ("{rod}like", ["naillike", "twiglike"]),
        ("like {none}", ["like {none}"]),
    ],
)
def test_a_phrase_is_spelled_out(phrase: str, stands_for: list[str]) -> None:
    assert list(spelled_out(phrase, CLASSES)) == stands_for


def test_classes_are_made_of_earlier_ones_and_known_in_tables_below() -> None:
    said = {
        "classes": {"rod": ["nail"], "a_rod": ["a {rod}", "a bit of wire"]},
        "stem": {"states": {"solid": {"words": ["like {a_rod}"], "denied": "hollow"}}},
    }
    solid = expanded(said)["stem"]["states"]["solid"]
    assert list(solid["words"]) == ["like a nail", "like a bit of wire"]
    assert solid["denied"] == "hollow"


def test_classes_themselves_are_no_phrases() -> None:
    said = {"classes": {"rod": ["nail"]}, "solid": ["like a {rod}"]}
    assert expanded(said).keys() == {"solid"}


@pytest.mark.parametrize(
    ("phrase", "places"),
    [
        ("solid as rock", (("solid as rock",),)),
        ("like {a} {rod}", (("like",), ("", "a"), ("nail", "twig"))),
        ("bent {rod}like now", (("bent",), ("naillike", "twiglike"), ("now",))),
    ],
)
def test_a_phrase_has_places_for_its_classes(phrase: str, places: object) -> None:
    assert Phrases((phrase,), CLASSES).places(phrase) == places


def test_a_class_that_does_not_exist_is_complained_of() -> None:
    data = copy.deepcopy(tomllib.loads((HOME / "dactylorhiza.toml").read_text(encoding="utf-8")))
    data["phrases"]["stem"]["states"]["solid"]["words"].append("like {nothing}")
    complaints = [complaint.message for complaint in phrases(data)]
    assert complaints == ["{nothing} is no class of words of 'stem'"]
