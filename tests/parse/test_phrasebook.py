"""The tree of phrases that unfolds as it is walked in (a data structure of our own)."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.parse.remarks.text.phrasebook import Pattern, Phrasebook, Tokens, patterns
from crossproof.parse.remarks.text.telling import telling_words
from crossproof.parse.remarks.text.tokens import spans
from crossproof.rulebooks.templates import Phrases

CLASSES = {"a": ("", "a", "a bit of"), "rod": ("nail", "old nail", "twig"), "none": ("",)}


def met(before: Tokens, meanings: Mapping[str, list[str]]) -> dict[str, str]:
    return {word: "+".join(several) for word, several in meanings.items()}


def book(**lists: list[str]) -> Phrasebook[str, str]:
    return Phrasebook(
        (
            (pattern, name)
            for name, phrases in lists.items()
            for pattern in patterns(Phrases(tuple(phrases), CLASSES))
        ),
        met,
    )


@pytest.mark.parametrize(
    ("phrase", "entry"),
    [
        ("like nail", "hard"),
        ("like a nail", "hard"),
        ("like a bit of old nail", "hard+long"),
        ("like", None),
        ("like a bit of", None),
        ("like a nail now", None),
        ("twig", "bare"),
        ("", None),
    ],
)
def test_a_phrase_is_found_that_a_pattern_stands_for(phrase: str, entry: str | None) -> None:
    phrases = book(
        hard=["like {a} {rod}"], long=["like a bit of old nail"], bare=["{none} {rod} {none}"]
    )
    assert phrases.find(tuple(phrase.split())) == entry


def test_of_several_phrases_the_longest_comes_first() -> None:
    phrases = book(state=["like {a} {rod}"], often=["like a"])
    tokens = spans("solid like a nail here")
    assert phrases.longer(phrases.first["like"], tokens, 1) == [("state", 3), ("often", 2)]
    assert phrases.longer(phrases.first["like"], spans("like glass"), 0) == ()


def test_nothing_unfolds_before_it_is_asked_for() -> None:
    phrases = book(state=["like {a} {rod}", "as {a} {rod}"])
    phrases.longer(phrases.first["like"], spans("like a twig"), 0)
    assert phrases.first["like"].behind is not None
    assert phrases.first["as"].behind is None


def spelled(pattern: Pattern) -> list[Tokens]:
    return [tuple(chain(*chosen)) for chosen in product(*pattern)]


WORDS = st.sampled_from(["like", "as", "a", "the", "it", "of", "nail", "twig", "stem"])
CHOICES = st.lists(st.lists(WORDS, max_size=3).map(tuple), min_size=1, max_size=3).map(tuple)
PATTERNS = st.lists(CHOICES, min_size=1, max_size=3).map(tuple)


@given(st.lists(PATTERNS, max_size=5))
def test_all_that_patterns_stand_for_is_there_and_nothing_else(several: list[Pattern]) -> None:
    phrases = Phrasebook(((pattern, "x") for pattern in several), met)
    wanted = {tokens for pattern in several for tokens in spelled(pattern) if tokens}
    assert set(phrases) == wanted
    assert all(phrases.find(tokens) for tokens in wanted)


@given(st.lists(PATTERNS, max_size=5))
def test_a_telling_word_stands_in_every_phrase(several: list[Pattern]) -> None:
    phrases = {tokens for pattern in several for tokens in spelled(pattern) if tokens}
    alone = (tokens[0] for tokens in phrases if len(tokens) == 1)
    told = telling_words([(pattern, 1) for pattern in several], dict.fromkeys(alone, 1), 1)
    assert all(not told.isdisjoint(tokens) for tokens in phrases)
