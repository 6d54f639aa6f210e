"""What keeps the reader from taking a state out of words it did not understand.

Each gate has a pair: a remark that says a state, and one like it that does not. Invented remarks,
plain to read (common practice, no published source).
"""

from __future__ import annotations

import pytest

from crossproof.parse.remark import parse_remark
from crossproof.parse.remarks.text.unknown import by_ending
from crossproof.parse.remarks.text.vocabulary import ADVERB, VERB

PAIRS = [
    # gate, says a state, says none
    ("object of an unknown verb", "Conspicuous leaf spots.", "Wants leaf spots."),
    ("behind an unknown noun", "A sprinkling of leaf spots.", "A paper about leaf spots."),
    ("not the ground", "Named on leaf spots.", "Not named on leaf spots."),
    ("topic", "As to leaf spots, there were plenty.", "As to leaf spots, ask Harold."),
    ("loose over a comma", "The stem, hard and firm.", "Not got to the stem, raining hard."),
    ("loose over a word", "Stem really firm.", "Stem for a firm name."),
    ("loose alone", "No marks.", "Mark says there were more."),
    ("the plant's build", "Solid.", "The plant was solid, sturdy."),
    ("praise", "Solid.", "Solid, reliable recorder."),
    ("said to be another", "The plant on the left is spotted-leaved.",
     "The spotted-leaved plant on the left is fuchsii."),
    ("called a mistake", "The note of leaf spots is correct.",
     "The note of leaf spots is a mistake."),
    ("hearsay against hearsay", "Stem: she said hollow.", "Stem: she said hollow, he said solid."),
    ("marks that came off", "Leaf spots.", "The leaf spots rubbed off."),
    ("marks that proved dirt", "Leaf spots.", "Leaf spots, but they were only mud."),
    ("another's photo", "The photo shows spotted leaves.",
     "The photo shows spotted leaves but that's another plant."),
    ("half counted", "Four hollow, one firm (stem).", "Stems: four flat, one firm."),
    ("hoped for", "Leaf spots were what I found.", "Leaf spots were what I'd hoped for."),
    ("tried only", "Flattened the stem.", "Tried to flatten the stem."),
    ("lost", "The leaves had spots.", "The leaves had lost their spots."),
    ("counted by comparison", "As many leaf spots as fuchsii had.",
     "As many leaf spots as a fish."),
    ("heading over a list", "Looked: leaf spots.", "To look for in 2016: leaf spots."),
    ("limited somehow", "There's hollow and there's hollow, and this stem is a tube.",
     "There's hollow and there's hollow, and this stem is only slightly that way."),
    ("denied elsewhere", "Leaf spotting in the wettest part; there are thirty plants.",
     "Leaf spotting confined to plants in the wettest part; elsewhere in the colony, nil."),
    ("two tallies", "leaves: spots (plants 1,3,4)",
     "leaves: spots (plants 1,3,4) / none (plant 2)"),
    ("two shares", "A quarter of the stand carried ring-marked leaves.",
     "A quarter of the stand carried ring-marked leaves, three quarters solid-spotted."),
    ("two groups", "Two with leaf rings; the four behind not looked at.",
     "Two with leaf rings; in the four behind, filled blotches."),
    ("one only", "Leaf spots on the smaller one.", "Leaf spots only on the smaller one."),
    ("both states of no plants", "lvs sp. as well as top", "lvs sp. u/s as well as top"),
    ("doubted somehow", "Leaf spots so-so, the usual.",
     "Leaf spots so-so, the usual, couldn't tell you."),
]  # fmt: skip


@pytest.mark.parametrize(("gate", "says", "says_not"), PAIRS, ids=[p[0] for p in PAIRS])
def test_a_gate_lets_through_what_is_said_and_only_that(
    gate: str, says: str, says_not: str
) -> None:
    read, unread = parse_remark(says), parse_remark(says_not)
    assert (read.leaf, read.stem) != ("not_recorded", "not_recorded")
    assert (unread.leaf, unread.stem) == ("not_recorded", "not_recorded")


@pytest.mark.parametrize(
    "remark",
    [
        "Upper clump plain-leaved, the clump lower down blotched.",
        "Ditch plant plain-leaved, bank plant barred.",
    ],
)
def test_half_the_truth_is_not_read(remark: str) -> None:
    """A state that could not be placed stands beside: never one of the two alone."""
    assert parse_remark(remark).leaf in ("not_recorded", "mixed")


@pytest.mark.parametrize(
    ("word", "kind"),
    [("strikingly", ADVERB), ("wants", VERB), ("turning", VERB), ("grass", 0), ("something", 0)],
)
def test_the_ending_of_an_unknown_word_says_what_it_may_be(word: str, kind: int) -> None:
    assert by_ending(word).kinds & (ADVERB | VERB) == kind
