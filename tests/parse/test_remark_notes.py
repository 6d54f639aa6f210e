"""Notes as thumbs write them, and degrees as an afterthought: known by how they were made.

How people write on telephones: common practice, no published source.
"""

from __future__ import annotations

from itertools import product

import pytest
from read_states import leaf_and_stem

from crossproof.parse.remark import parse_remark

LEAF = (
    *(("lvs spotty", "marked"), ("leaves def spotted", "marked"), ("freckly leaves", "marked")),
    *(("plain lvs", "unmarked"), ("leaves unmarked", "unmarked")),
    ("cldnt see any spots on the leaves", "unmarked"),
)
STEM = (
    *(("stem bendy n hollow", "hollow"), ("stem prob hollow", "hollow"), ("stem solid", "solid")),
    *(("stem not hollow", "solid"), ("cldnt squash stem", "solid")),
    ("stem nearly solid", "partly_hollow"),
)
SQUEEZED = (("squeezed stem n it stayed firm", "solid"),)
BESIDE = ("pics later", "lip w/ loops", "phone died")


@pytest.mark.parametrize(("leaf", "leaves"), LEAF)
def test_thoughts_in_a_row(leaf: str, leaves: str) -> None:
    for (stem, state), mark in product(STEM, ("!! ", "; ", " n ", " also ")):
        for remark in (f"{leaf}{mark}{stem}", f"{stem}{mark}{leaf}!"):
            assert (remark, leaf_and_stem(remark)) == (remark, (leaves, state))


@pytest.mark.parametrize("beside", BESIDE)
def test_other_thoughts_beside_them(beside: str) -> None:
    for (stem, state), mark in product((*STEM, *SQUEEZED), (" n ", ". ", "!! ")):
        for remark in (f"{beside}{mark}{stem}", f"{beside}{mark}{stem} :)", f"{stem}. {beside}"):
            assert (remark, parse_remark(remark).stem) == (remark, state)


@pytest.mark.parametrize(
    ("remark", "leaf", "stem"),
    [
        ("spots n, hollow n", "unmarked", "solid"),
        ("leaf spots N stem hollow N", "unmarked", "solid"),
        ("LVS PLAIN N STEM SOLID", "unmarked", "solid"),
        ("leaf spots n stem hollow y", "unmarked", "hollow"),
        ("stem is hollow few spots on leaves", "marked", "hollow"),
    ],
)
def test_n_and_its_like(remark: str, leaf: str, stem: str) -> None:
    assert leaf_and_stem(remark) == (leaf, stem)


HOLES = ("stem has a hole", "there is a cavity in the stem", "the stem has a hollow")
SIZES = (
    *(", but a very small one", ", a very narrow one", ", albeit a tiny one", " (a tiny one)"),
    *(", if a small one", ", just a narrow one", " - a very small one"),
)
DEGREES = (
    *(", just", ", but only just", ", though barely", ", if only slightly", ", if barely"),
    *(" (barely)", " - just", ", albeit slightly"),
)


@pytest.mark.parametrize("afterthought", SIZES)
def test_a_cavity_and_then_its_size(afterthought: str) -> None:
    for hole, end in product(HOLES, ("", ". Leaves plain.", "; lip spotted")):
        remark = f"{hole}{afterthought}{end}"
        assert (remark, parse_remark(remark).stem) == (remark, "partly_hollow")


@pytest.mark.parametrize("afterthought", DEGREES)
def test_a_state_and_then_its_degree(afterthought: str) -> None:
    for stem, end in product(
        ("stem hollow", "hollow stem"), ("", ". Leaves plain.", "; lip spotted")
    ):
        remark = f"{stem}{afterthought}{end}"
        assert (remark, parse_remark(remark).stem) == (remark, "partly_hollow")


SURE = (
    *("without exception", "without fail", "without doubt", "without question", "with no doubt"),
    *("beyond doubt", "without a doubt"),
)


@pytest.mark.parametrize("sure", SURE)
def test_what_only_looks_like_a_denial(sure: str) -> None:
    for remark, meant in (
        (f"leaves {sure} spotted; stem solid {sure}", ("marked", "solid")),
        (f"leaves {sure} plain; stem {sure} hollow", ("unmarked", "hollow")),
        (f"spotted leaves {sure}. The stem, {sure}, solid", ("marked", "solid")),
    ):
        assert (remark, leaf_and_stem(remark)) == (remark, meant)


@pytest.mark.parametrize("thing", ("pond", "barn", "fence", "cattle trough"))
def test_marks_on_things_that_are_no_plants(thing: str) -> None:
    for marks, mark in product(
        ("rings of the old", "dark spots on the", "marks left by the"), [";", "-"]
    ):
        remark = f"Leaves plain{mark} {marks} {thing}; stem solid"
        assert (remark, leaf_and_stem(remark)) == (remark, ("unmarked", "solid"))
