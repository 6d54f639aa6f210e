"""What a record rests on, read from remarks: photos, and flowers alone.

The remarks are invented (`remark_sources.csv`); what they mean is common practice, with no
published source. Each batch of them was written before the reader was run on it.
"""

from __future__ import annotations

import csv
import string
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossproof.parse.remark import RemarkReader, parse_remark
from crossproof.parse.remarks.sources.lexicon import Lexicon, basis_lexicon, photo_lexicon
from crossproof.parse.remarks.text.compiled import vocabulary
from crossproof.rulebooks.load import shipped, shipped_rulebook

with Path(__file__).with_name("remark_sources.csv").open(newline="", encoding="utf-8") as file:
    ROWS = [
        (row["remark"], row["flower_only"] == "yes", row["photo"]) for row in csv.DictReader(file)
    ]


@pytest.mark.parametrize(("text", "flower_only", "photo"), ROWS, ids=[row[0] for row in ROWS])
def test_a_source_is_read(text: str, flower_only: bool, photo: str) -> None:
    remark = parse_remark(text)
    assert (remark.flower_only, remark.photo) == (flower_only, photo)


FRAMES = [
    "{}",
    "{}.",
    "Lvs spotted, stem hollow. {}",
    "Leaves plain; stem solid; {}",
    "{}. Wet fen.",
]


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize(
    ("words", "photo"),
    [
        ("no photo", "denied"), ("photo", "stated"), ("photo: no", "denied"),
        ("photo: Y", "stated"),
        ("not photographed", "denied"), ("photographed", "stated"), ("camera flat", "denied"),
        ("photo needed", "not_recorded"), ("no shortage of photos", "stated"),
        ("pictures of the view only", "not_recorded"), ("no photo of the stem but one of the lip",
        "stated"), ("too dark to photograph it", "denied"), ("pH 6.5", "not_recorded"),
    ],
)  # fmt: skip
def test_a_photo_is_read_wherever_it_stands(frame: str, words: str, photo: str) -> None:
    assert parse_remark(frame.format(words)).photo == photo


@pytest.mark.parametrize("frame", ["{}", "{}.", "Wet fen, 5 plants; {}", "{}; leaves not seen"])
@pytest.mark.parametrize(
    ("words", "flower_only"),
    [
        ("named on the lip", True), ("det. from flowers alone", True), ("flowers only seen", True),
        ("it is the lip that decided me", True), ("nothing but the flowers to go on", True),
        ("flowers pink, lip three-lobed", False), ("not named on the flowers", False),
        ("the lip alone would not do", False), ("only one flower open", False),
        ("named on the leaves", False),
    ],
)  # fmt: skip
def test_a_basis_is_read_wherever_it_stands(frame: str, words: str, flower_only: bool) -> None:
    assert parse_remark(frame.format(words)).flower_only == flower_only


@pytest.mark.parametrize("column", ["flower_only_words", "photo_words"])
def test_the_words_are_those_of_the_text(column: str) -> None:
    for text, _, _ in ROWS:
        words = getattr(parse_remark(text), column)
        assert words in text


def lexicons() -> tuple[Lexicon, Lexicon]:
    words = vocabulary(shipped_rulebook("dactylorhiza"))
    return photo_lexicon(words), basis_lexicon(words)


SAYINGS = sorted({" ".join(phrase) for lexicon in lexicons() for phrase in lexicon.phrases})
READER = RemarkReader(shipped_rulebook("dactylorhiza"))


@settings(max_examples=400, deadline=None)
@given(
    st.lists(st.sampled_from([*SAYINGS, *string.punctuation, "photo", "lip", "\n"]), max_size=14)
)
def test_no_heap_of_our_words_raises(words: list[str]) -> None:
    text = " ".join(words)
    remark = READER.read(text)
    assert remark.photo_words in text
    assert (remark.photo == "not_recorded") == (remark.photo_words == "")


@pytest.mark.parametrize("book", shipped(), ids=lambda book: book.id)
def test_no_word_of_ours_is_mended_to_another(book) -> None:
    words = vocabulary(book)
    for lexicon in (photo_lexicon(words), basis_lexicon(words)):
        for word in lexicon.phrases.first:
            assert word in words.every or words.mender.mend(word) == word
