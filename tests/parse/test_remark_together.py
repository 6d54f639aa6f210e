"""Our plant beside others, the leaf beside other organs, the state beside what was not seen.

Put together of invented parts, so that the right answer is known by how each remark was made
(common practice, no published source). None may be read wrongly, few may be missed.
"""

from __future__ import annotations

import random
from itertools import product

import pytest
from read_states import leaf_and_stem

LEAF = {"spotted": "marked", "plain": "unmarked"}
STATES = [*product(LEAF, ("hollow", "solid"))]
BEFORE = (
    "",
    "",
    "Wet meadow by the sluice. ",
    "Single plant, 40 cm. ",
    "Brackenby Fen, 12.vi.2014: ",
)
OURS = (
    *("leaves {} and stem {}", "plant with {} leaves and {} stem", "{} leaves, a {} stem"),
    *("the leaves are {} and the stem {}", "{}-leaved, {}-stemmed", "leaves ({}) and stem ({})"),
    *("although the leaves are {}, the stem is {}", "leaves {} above, stem {} below the spike"),
    *("leaves keeled and {}, stem stout and {}", "lip plain and leaves {}; stem {}"),
    *("leaves {}, bracts spotted and stem {}", "leaves {} (all of them), stem {} (squeezed)"),
    *("- leaves {}\n- stem {}", "six leaves, {}, stem {}", "photo shows leaves {} and stem {}"),
    *("this plant: leaves {}, stem {}", "the hybrid has {} leaves and a {} stem"),
)
THEIRS = (
    *(
        "Fuchsii near by with {} leaves and a {} stem.",
        "Neighbouring fuchsii {}-leaved, {}-stemmed.",
    ),
    *("Growing with fuchsii ({} leaves, {} stem).", "A fuchsii 3 m away had {} leaves, {} stem."),
    *(
        "One incarnata ({} leaves, {} stem) also present.",
        "Fuchsii here all with {} leaves, {} stems.",
    ),
)


@pytest.mark.parametrize(("leaf", "stem"), STATES)
def test_leaf_and_stem_in_one_breath(leaf: str, stem: str) -> None:
    for ours, behind in product(OURS, ("", ". Photo taken", "; lip spotted", ". No photo")):
        remark = f"{ours.format(leaf, stem)}{behind}."
        assert (remark, leaf_and_stem(remark)) == (remark, (LEAF[leaf], stem))


@pytest.mark.parametrize(("leaf", "stem"), STATES)
def test_other_plants_are_not_ours(leaf: str, stem: str) -> None:
    chance = random.Random(f"{leaf} {stem}")
    for ours, theirs in product(OURS, THEIRS):
        other = theirs.format(*chance.choice(STATES))
        remark = f"{chance.choice(BEFORE)}{ours.format(leaf, stem)}. {other}"
        assert (remark, leaf_and_stem(remark)) == (remark, (LEAF[leaf], stem))


OTHER_ORGANS = (
    *(
        "bracts not spotted",
        "spotted bracts",
        "a plain lip",
        "unspotted lip",
        "lip with solid spots",
    ),
    *("labellum with rings", "spur not hollow", "ovary hollow", "flowers not fully open"),
    *("no spots on the lip", "sepals ringed", "stem purple-spotted", "six leaves", "leaves keeled"),
    *("leaves 4 cm wide", "Lip - spotted", "Bracts: plain", "lip spotted (leaves keeled)"),
    *("spur shorter than the ovary", "leaf photo none", "photo taken", "no ph."),
)
JOINTS = (", ", "; ", ". ", "\n", " - ", ", and ", ", but ", " / ")


@pytest.mark.parametrize("aside", OTHER_ORGANS)
def test_other_organs_are_neither_leaf_nor_stem(aside: str) -> None:
    meant = {
        "leaves unspotted": ("unmarked", ""),
        "spots on the leaves": ("marked", ""),
        "ringed leaves": ("ring_spots", ""),
        "stem solid": ("", "solid"),
        "a hollow stem": ("", "hollow"),
        "stem felt solid": ("", "solid"),
    }
    missed = 0
    for (said, states), joint, first in product(meant.items(), JOINTS, (True, False)):
        remark = f"{aside}{joint}{said}." if first else f"{said}{joint}{aside}."
        for got, right in zip(leaf_and_stem(remark), states, strict=True):
            assert (remark, got) in ((remark, right or "not_recorded"), (remark, "not_recorded"))
            missed += bool(right) and got != right
    assert missed <= 4


NOT_SEEN = (
    *("could not tell if stem hollow", "unsure whether the stem was hollow", "stem not squeezed"),
    *("forgot to check the stem", "hollow or solid not checked"),
)


@pytest.mark.parametrize("unseen", NOT_SEEN)
def test_what_was_not_looked_at_hides_nothing_else(unseen: str) -> None:
    missed = 0
    for (said, leaf), joint, first in product(
        {"none of the leaves spotted": "unmarked", "leaves with spots": "marked"}.items(),
        (". ", "; ", "\n", ", ", " - "),
        (True, False),
    ):
        remark = f"{unseen}{joint}{said}" if first else f"{said}{joint}{unseen}"
        got = leaf_and_stem(remark)
        assert (remark, got[1]) == (remark, "not_recorded")
        assert (remark, got[0]) in ((remark, leaf), (remark, "not_recorded"))
        missed += got[0] != leaf
    assert missed <= 4


SHORT_LEAF = {
    "marked": ("lvs sptd", "lvs w spots", "lvs spott.", "spts on lvs", "leaves hvly sptd."),
    "unmarked": (
        "lvs unspot.",
        "lvs not sptd.",
        "leaves without spts.",
        "no spts on lvs",
        "lvs unm.",
    ),
}
SHORT_STEM = {
    "hollow": ("st. hol.", "stem holow", "hollow st.", "stem hollow"),
    "solid": ("st. sol.", "stem soild", "stem not hol.", "a solid stem", "solid st."),
}


@pytest.mark.parametrize(("leaf", "stem"), [*product(SHORT_LEAF, SHORT_STEM)])
def test_stops_behind_short_words(leaf: str, stem: str) -> None:
    for first, second in product(SHORT_LEAF[leaf], SHORT_STEM[stem]):
        for joint in (" ", ". ", ", ", "; ", "\n"):
            if joint == " " and not first.endswith("."):
                continue
            remark = f"{first}{joint}{second}"
            assert (remark, leaf_and_stem(remark)) == (remark, (leaf, stem))
            remark = f"lip sptd. {first}; {second}"
            assert (remark, leaf_and_stem(remark)) == (remark, (leaf, stem))
