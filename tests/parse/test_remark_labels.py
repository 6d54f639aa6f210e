"""Labels and their answers in every arrangement: what each says is known by how it was made.

How forms and phone notes put a question and its answer: common practice, no published source.
"""

from __future__ import annotations

from itertools import product

import pytest
from read_states import leaf_and_stem

from crossproof.parse.remark import parse_remark

LEAF = (
    *("Leaf spots", "Spots on leaves", "Leaf markings", "Leaves spotted", "Spotted leaves"),
    *("Leaves (spots)", "Lvs spotted", "Lf spots", "Any leaf spots", "Are leaves spotted"),
)
STEM = (
    *("Stem hollow", "Hollow stem", "Stem (hollow)", "Stem cavity", "Cavity in stem"),
    *("Stem hollow when pressed", "Is stem hollow", "Is the stem hollow"),
)
MARKS = (": ", " - ", "? ", " = ", ":")
YES = ("yes", "Y", "present", "true", "positive", "✓", "+ve")
NO = ("no", "N", "absent", "none", "false", "negative", "-ve", "no - none at all")
SHORT = {True: YES[:2], False: NO[:2]}
ENDS = (". ", "; ", "\n", ", ", " | ")
STATES = {True: ("marked", "hollow"), False: ("unmarked", "solid")}


@pytest.mark.parametrize("label", LEAF)
def test_a_leaf_label_and_its_answer(label: str) -> None:
    for mark, said in product(MARKS, (True, False)):
        for answer in YES if said else NO:
            remark = f"{label}{mark}{answer}"
            assert (remark, leaf_and_stem(remark)[0]) == (remark, STATES[said][0])


@pytest.mark.parametrize("label", STEM)
def test_a_stem_label_and_its_answer(label: str) -> None:
    for mark, said in product(MARKS, (True, False)):
        for answer in YES[:-1] if said else NO[:-2]:
            remark = f"{label}{mark}{answer}"
            assert (remark, parse_remark(remark).stem) == (remark, STATES[said][1])


@pytest.mark.parametrize("end", ENDS)
def test_two_labels_do_not_answer_each_other(end: str) -> None:
    for mark, leaf, stem in product(MARKS, (True, False), (True, False)):
        for first, second in product(SHORT[leaf], SHORT[stem]):
            remark = f"Leaf spots{mark}{first}{end}Stem hollow{mark}{second}"
            read = leaf_and_stem(remark)
            assert (remark, read) == (remark, (STATES[leaf][0], STATES[stem][1]))


PHOTO = ("Photo", "Photos", "Leaf photo", "Image", "Pic")
TAKEN = {True: ("yes", "Y", "attached"), False: ("no", "N", "none", "not taken")}
SAID = {
    True: ("Leaf markings", "blotched", "marked"),
    False: ("Leaf markings", "no spots", "unmarked"),
}


@pytest.mark.parametrize("end", (*ENDS, " / "))
def test_a_photo_label_answers_no_other(end: str) -> None:
    for mark, label, taken in product((": ", " - ", " = "), PHOTO, (True, False)):
        for answer, spots, first in product(TAKEN[taken], (True, False), (True, False)):
            parts = [
                f"{label}{mark}{answer}",
                f"{SAID[spots][0]}{mark}{SAID[spots][1]}",
            ]
            remark = end.join(
                [*parts, f"Stem{mark}hollow"] if first else [*parts[::-1], "lip plain"]
            )
            read = (leaf_and_stem(remark)[0], parse_remark(remark).stem, parse_remark(remark).photo)
            meant = (SAID[spots][2], "hollow" if first else "not_recorded")
            assert (remark, read) == (remark, (*meant, "stated" if taken else "denied"))


@pytest.mark.parametrize("answer", ("stated", "denied"))
def test_a_photo_asked_for(answer: str) -> None:
    words = {"stated": ("yes", "attached", "taken"), "denied": ("no", "none", "not taken")}
    for label, said, end in product(PHOTO, words[answer], (". ", "\n", "; ", " / ")):
        remark = f"Stem: solid{end}{label}? {said}{end}Leaves: plain"
        read = parse_remark(remark)
        assert (remark, read.photo) == (remark, answer)
        assert (remark, read.leaf, read.stem) == (remark, "unmarked", "solid")


UNANSWERED = ("?", "not checked", "don't know", "not recorded", "n/a")
NOT_LOOKED = (*UNANSWERED[1:2], "forgot to check", "forgot to look")


@pytest.mark.parametrize("label", ("Stem hollow", "Hollow stem", "Stem cavity", "Leaf spots"))
def test_a_label_that_nobody_answered(label: str) -> None:
    for answer, end in product(UNANSWERED, ("", "\n", "; ")):
        remark = f"{label}: {answer}{end}"
        read = parse_remark(remark)
        assert (remark, read.leaf, read.stem) == (remark, "not_recorded", "not_recorded")
    for answer in NOT_LOOKED:
        remark = f"{label} - {answer}. Lip spotted."
        read = parse_remark(remark)
        assert (remark, read.leaf, read.stem) == (remark, "not_recorded", "not_recorded")


@pytest.mark.parametrize("answer", ("data missing", "not supplied", "ditto", "pending", "blank"))
def test_a_label_whose_answer_says_nothing(answer: str) -> None:
    for label, mark in product(("Leaf marks", "Stem hollow", "Leaf spotting present"), MARKS[:1]):
        for lip in ("", "; Lip: spotted", "\nPhoto: yes"):
            remark = f"{label}{mark}{answer}{lip}"
            read = parse_remark(remark)
            assert (remark, read.leaf, read.stem) == (remark, "not_recorded", "not_recorded")


def test_a_label_with_nothing_behind_it() -> None:
    for label, end in product(("Leaf spots", "Stem hollow", "Stem cavity"), ("", "; Lip: plain")):
        for blank in ("", "-", "--", "..."):
            read = parse_remark(f"{label}: {blank}{end}")
            assert (label, blank, read.leaf, read.stem) == (label, blank, *["not_recorded"] * 2)


CODES = (("S", "solid"), ("H", "hollow"), ("n/a", "not_recorded"), ("no info", "not_recorded"))


@pytest.mark.parametrize(("answer", "state"), CODES)
def test_a_code_and_its_answer(answer: str, state: str) -> None:
    for remark in (f"Stem H/S: {answer}", f"Site - mill\nStem H/S - {answer}\nPhoto - no"):
        assert (remark, parse_remark(remark).stem) == (remark, state)


LAYOUTS = (
    ("{}: {}", "  "),
    ("{}: {}", "\t"),
    ("{}\t{}", "\n"),
    ("{}\t{}", "\t"),
    ("{} | {}", " | "),
    ("{} | {}", "\n"),
    ("{} ... {}", "; "),
    ("{} -> {}", "\n"),
    ("{}, {}", "\n"),
    ("{} [{}]", " "),
    ("{} ({})", "; "),
    ("{}={}", ", "),
)
OTHERS = ("Lip", "spotted"), ("Photo ref", "0214")


@pytest.mark.parametrize(("pair", "end"), LAYOUTS)
def test_a_form_by_its_layout(pair: str, end: str) -> None:
    for spots, hollow in product((True, False), repeat=2):
        answers = ("Leaf marks", "many" if spots else "none"), ("Stem hollow", NO[0])
        if hollow:
            answers = (*answers[:1], ("Stem hollow", YES[0]))
        for rows in ((*answers, *OTHERS), (*OTHERS, *answers[::-1])):
            remark = end.join(pair.format(*row) for row in rows)
            read = leaf_and_stem(remark)
            assert (remark, read) == (remark, (STATES[spots][0], STATES[hollow][1]))


@pytest.mark.parametrize(
    ("remark", "leaf", "stem"),
    [
        ("LEAF MARKS none STEM TYPE solid PHOTO REF 0214", "unmarked", "solid"),
        ("PHOTO REF 0214 STEM HOLLOW no LEAF MARKS many", "marked", "solid"),
        ("leaf_spots=none stem_hollow=yes lip=plain", "unmarked", "hollow"),
        ("STEM NOT HOLLOW, LEAVES PLAIN x", "unmarked", "solid"),
        ("Leaf (spotted/plain): no marks; Stem: solid", "unmarked", "solid"),
        ("Leaf pattern - not spotted\nStem - firm", "unmarked", "solid"),
        ("Leaf marks: many; Hollow? yes", "marked", "hollow"),
        ("Leaves spotted: not seen on any leaf", "unmarked", "not_recorded"),
        ("Spotted leaves - not on any plant; stem solid", "unmarked", "solid"),
    ],
)
def test_a_form_without_marks_and_its_like(remark: str, leaf: str, stem: str) -> None:
    assert leaf_and_stem(remark) == (leaf, stem)
