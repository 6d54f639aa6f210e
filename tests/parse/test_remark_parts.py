"""Parts of the remark reader by themselves: what a form prints, cavities, shares, the memory."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.parse.remark import parse_remark
from crossproof.parse.remarks.states.cavities import by_measure, cavities_of
from crossproof.parse.remarks.states.known import StateReader
from crossproof.parse.remarks.text.brackets import opened
from crossproof.parse.remarks.text.compiled import vocabulary
from crossproof.parse.remarks.text.items import items
from crossproof.parse.remarks.text.mended import tokens_of
from crossproof.parse.remarks.text.mender import Mender
from crossproof.parse.remarks.text.printed import answers_only
from crossproof.rulebooks.load import shipped_rulebook

ORCHIDS = shipped_rulebook("dactylorhiza")
WORDS = vocabulary(ORCHIDS)
CAVITIES = cavities_of(ORCHIDS)
OTHER_WORDS = """
ridged market masks seals pedals followers impressed rigged loaf steps stacks tor son rein isle
topics holland palin horne dover barley moist meat ornatis tamen stroud thornwick
"""
with Path(__file__).with_name("remark_kinds.csv").open(encoding="utf-8", newline="") as file:
    REMARKS = [row["remark"] for row in csv.DictReader(file)]


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("spots [x] rings [ ]", "spots"),
        ("[ ] spots [x] rings", "rings"),
        ("☐ spots ☑ rings", "rings"),
        ("Stem hollow Y / N", ""),
        ("Stem hollow (y/n): n", "Stem hollow : n"),
        ("Stem (hollow/solid): solid", "Stem : solid"),
        ("Leaf (1 none, 2 spots): 2", "Leaf spots"),
        ("spots 0, cavity 1 (0 = absent, 1 = present)", "spots N, cavity Y"),
        ("~~hollow~~ solid", "solid"),
        ("5 plants (2 plain, 3 spotted)", "5 plants (2 plain, 3 spotted)"),  # no key to a code
        ("stem hollow (squeezed)", "stem hollow (squeezed)"),
    ],
)
def test_what_a_form_prints_is_left_out(text: str, left: str) -> None:
    assert " ".join(answers_only(text).replace(" ,", "").strip(" ,").split()) == left


@given(st.text(alphabet="()[]x/YN=:,;.~☐☑ 01ab\n", max_size=60))
def test_places_stay_where_a_form_is_blanked(text: str) -> None:
    assert len(answers_only(text)) == len(text)


@pytest.mark.parametrize(
    ("text", "states"),
    [
        ("stem 6 mm, cavity 1 mm", ["partly_hollow"]),
        ("stem 6 mm, cavity 4 mm", ["hollow"]),
        ("stem 6 mm, cavity 2.5 mm", []),  # neither narrow nor wide
        ("stem with walls 2 mm, cavity 0,5 mm", ["partly_hollow"]),
        ("stem cavity 0 mm", ["solid"]),
        ("stem cavity 0.8 mm", ["partly_hollow"]),
        ("stem cavity 3 mm", []),  # of what width?
        ("stem 5 mm, cavity 7 mm", []),  # can't be
        ("stem 6 mm", []),
        ("cavity 1 mm in the trunk of 6 mm", []),  # no stem of ours
        ("leaf spots 1 mm, stem 6 mm", []),
    ],
)
def test_cavities_by_their_measure(text: str, states: list[str]) -> None:
    found, rest = by_measure(text, CAVITIES)
    assert [evidence.state for evidence in found] == states
    assert len(rest) == len(text)
    assert all(text[e.start : e.end] == e.words for e in found)


@pytest.mark.parametrize(
    ("misread", "meant"),
    [
        ("hoiiow", "hollow"),
        ("h0llow", "hollow"),
        ("so1id", "solid"),
        ("rnarked", "marked"),
        ("shallow", "shallow"),  # a word of its own
        ("bell", "bell"),
    ],
)
def test_letters_that_scanners_mix_up(misread: str, meant: str) -> None:
    known = ("hollow", "solid", "marked")
    mender = Mender((), known, known, ("shallow",))
    assert mender.mend(misread) == meant


@pytest.mark.parametrize(
    ("damaged", "meant"),
    [
        ("stcm", "stem"),  # a scanner took one letter for another
        ("bollow", "hollow"),
        ("t1stular", "fistular"),
        ("dtem", "stem"),  # a finger struck the key beside
        ("stdem", "stem"),
        ("rihgs", "rings"),
        ("wiht", "with"),  # letters changed places
        ("ringd", "ringed"),  # rather than `rings`
        ("skwash", "squash"),  # as it is heard
        ("fotograff", "photograph"),
    ],
)
def test_what_became_of_a_word(damaged: str, meant: str) -> None:
    assert damaged in WORDS.every or WORDS.mender.mend(damaged) == meant


@pytest.mark.parametrize("word", OTHER_WORDS.split())
def test_words_of_their_own_are_left_alone(word: str) -> None:
    assert WORDS.mender.mend(word) == word
    assert [token[0] for token in tokens_of(f"an {word} of", WORDS)] == ["an", word, "of"]


@pytest.mark.parametrize("remark", REMARKS)
def test_what_is_remembered_is_what_would_be_read(remark: str) -> None:
    """A run of words met again, at another place and among other names, says the same."""
    warm = StateReader(WORDS)
    warm.read(remark, opened(items(remark, WORDS)))
    again = f"Thornwick. {remark}"
    cold = StateReader(WORDS).read(again, opened(items(again, WORDS)))
    assert warm.read(again, opened(items(again, WORDS))) == cold


@pytest.mark.parametrize(
    ("remark", "words"),
    [
        ("Leaf rings [x] Stem hollow [ ]", ["Leaf rings"]),
        ("stem 6 mm with a cavity of 1 mm", ["stem 6 mm with a cavity of 1 mm"]),
        ("Spotted (the leaves), hollow", ["Spotted (the leaves", "hollow"]),
        ("0/7 with leaf spots", ["0/7 with leaf spots"]),
    ],
)
def test_the_words_of_a_form_or_a_share(remark: str, words: list[str]) -> None:
    assert [evidence.words for evidence in parse_remark(remark).evidence] == words
