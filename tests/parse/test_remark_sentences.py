"""Remarks put together of parts that are plain by themselves: what the whole says is known.

Parts and the ways to join them are invented, in the manner of field notes (common practice, no
published source). A wrong state is worse than none: none may be wrong, few may be missed.
"""

from __future__ import annotations

import random
from itertools import product

import pytest
from read_states import leaf_and_stem

LEAF = {
    "marked": (
        *("leaves spotted", "heavily spotted leaves", "spots on the leaves", "lvs spotted"),
        *("leaves with a few spots", "leaves bearing dark blotches", "the leaves were blotched"),
        *("there were small spots on the leaves", "leaf spots present", "leaf spotting heavy"),
        *("basal leaves clearly spotted", "many spots on every leaf", "leaves are lightly spotted"),
    ),
    "unmarked": (
        *("leaves unspotted", "unspotted leaves", "no spots on the leaves", "plain leaves"),
        *("leaves without any spots", "leaves plain green", "leaves had no marks"),
        *("the leaves were unmarked", "leaves not spotted", "leaf spots absent", "lvs unsp."),
        *("none of the leaves spotted", "not a spot on the leaves", "no sign of leaf spots"),
    ),
    "ring_spots": ("leaves with ring spots", "ring-spotted leaves", "ring marks on the leaves"),
}
STEM = {
    "hollow": (
        *("stem hollow", "hollow stem", "the stem was hollow", "stem hollow when squeezed"),
        *("stem collapsed when squeezed", "its stem hollow", "stem found to be hollow"),
        *("a hollow stem", "the stem being hollow", "stem hollow throughout"),
    ),
    "solid": (
        *("stem solid", "solid stem", "the stem was solid", "stem not hollow", "its stem solid"),
        *("stem filled with pith", "stem found to be solid", "no cavity in the stem"),
    ),
    "partly_hollow": ("stem partly hollow", "stem slightly hollow", "stem nearly solid"),
}
ASIDES = (
    *("lip spotted", "lip with loops and dots", "lip unmarked", "labellum plain in the middle"),
    *("flowers deep purple", "bracts long", "spike dense", "spur stout", "photo taken", "no photo"),
    *("about 30 cm tall", "in good light", "about a dozen plants", "confirmed by T. Arkle"),
)
BEFORE = ("", "", "Wet meadow by the sluice. ", "Single plant, 40 cm. ", "One spike; ", "Hybrid? ")
JOINTS = (", ", "; ", ". ", " and ", ", and ", ", also ", " - ", "\n")
BEHIND = ("", "", " Photo taken.", " Seen with D. fuchsii.", " Det. M. Sorrel.")


def composed(chance: random.Random, leaf: str, stem: str) -> str:
    """A remark that says this of leaf and stem, `` for nothing, among asides."""
    parts = [chance.choice(LEAF[leaf])] if leaf else []
    parts += [chance.choice(STEM[stem])] if stem else []
    parts += chance.sample(ASIDES, chance.randrange(3))
    chance.shuffle(parts)
    text = ""
    for part in parts:
        joint = chance.choice(JOINTS) if text else ""
        begins = not text or joint in (". ", "\n")
        text += joint + (part[0].upper() + part[1:] if begins else part)
    return f"{chance.choice(BEFORE)}{text}.{chance.choice(BEHIND)}"


@pytest.mark.parametrize(("leaf", "stem"), [*product(("", *LEAF), ("", *STEM))])
def test_the_whole_says_what_its_parts_say(leaf: str, stem: str) -> None:
    chance = random.Random(f"{leaf} {stem}")
    missed = 0
    for _ in range(150):
        remark = composed(chance, leaf, stem)
        for got, meant in zip(leaf_and_stem(remark), (leaf, stem), strict=True):
            assert (remark, got) in ((remark, meant), (remark, "not_recorded"))
            missed += bool(meant) and got == "not_recorded"
    assert missed <= 3
