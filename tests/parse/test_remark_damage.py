"""One letter wrong, in every place: a remark may become unread, but says nothing else.

Which letters scanners take for each other, and how fingers err: common practice, no published
source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from crossproof.parse.remark import parse_remark

LOOKS_LIKE = {
    letter: seen.split()
    for letter, seen in {
        "l": "1 I ! t i",
        "i": "1 l I !",
        "c": "e o",
        "e": "c o",
        "o": "0 c e",
        "f": "s t l",
        "s": "f 5 a",
        "h": "b li n",
        "b": "h 6",
        "m": "rn in nn",
        "n": "u ri ii r",
        "u": "n ii v",
        "w": "vv",
        "d": "cl ci",
        "a": "o n u",
        "t": "l f i",
        "v": "y u",
        "k": "h lc",
        "p": "n",
        "r": "n i",
        "g": "q 9",
        "y": "v",
        "L": "I. 1",
    }.items()
}
PLAIN = (
    *("Leaves unspotted. Stem not hollow.", "Leaf spots absent, stem hollow", "stem not solid"),
    *("Leaves: unmarked. Stem: hollow.", "Leaf markings: none; stem slightly hollow"),
    *("Leaves spotted, stem solid.", "Leaves without spots. Hollow stem.", "stem nearly solid"),
    *("leaves not spotted; stalk hollow", "foliage unblotched, stem tubular.", "stem half hollow"),
    *("Stem hollow: no. 12 plants. Leaves: speckled", "leaves heavily spotted, stem partly hollow"),
    *("Stem hollow: yes. Leaf spots present.", "leaves plain green, stem narrowly hollow"),
    *("Folia immaculata, caulis fistulosus.", "foliis maculatis caule solido"),
)

# A space that leaves two words of ours where one stood: still misread.
STILL_MISREAD = (
    "leaves plain gree n, stem narrowly hollow",
    "Stem hollo w: no. 12 plants. Leaves: speckled",
    "Stem hollow: no. 12 pl ants. Leaves: speckled",
)


def scanned(text: str) -> Iterator[str]:
    for at, letter in enumerate(text):
        for seen in LOOKS_LIKE.get(letter, ()):
            yield text[:at] + seen + text[at + 1 :]
    for at in range(1, len(text)):
        if text[at - 1 : at + 1].isalpha() or text[at] in ".,;:":
            yield f"{text[:at]} {text[at:]}"
        if text[at] == " ":
            yield text[:at] + text[at + 1 :]


def typed(text: str) -> Iterator[str]:
    """A letter doubled, missing, or changed about with the next, in words of five and more."""
    for at in range(len(text) - 1):
        word = (text[:at].split(" ")[-1] + text[at:].split(" ")[0]).strip(".,;:")
        if len(word) > 4 and text[at].isalpha():
            yield text[:at] + text[at] + text[at:]
            yield text[:at] + text[at + 1 :]
            if text[at + 1].isalpha():
                yield text[:at] + text[at + 1] + text[at] + text[at + 2 :]


@pytest.mark.parametrize("remark", PLAIN)
@pytest.mark.parametrize("damage", (scanned, typed))
def test_damage_makes_no_other_state(remark: str, damage: Callable[[str], Iterator[str]]) -> None:
    meant = parse_remark(remark)
    for damaged in (text for text in damage(remark) if text not in STILL_MISREAD):
        read = parse_remark(damaged)
        assert (damaged, read.leaf) in ((damaged, meant.leaf), (damaged, "not_recorded"))
        assert (damaged, read.stem) in ((damaged, meant.stem), (damaged, "not_recorded"))


@pytest.mark.parametrize(
    ("remark", "leaf", "stem"),
    (
        ("I.eaves unmarkcd, st. hoIlow .", "unmarked", "hollow"),
        ("Leaf spots absen t; stempartly hollow", "unmarked", "partly_hollow"),
        ("Lvs unsspotted. stem riearly solid", "unmarked", "partly_hollow"),
        ("Stem:hollow. Leave s unspotted", "unmarked", "hollow"),
        ("stem nof solid, ririg marks on leaves", "ring_spots", "hollow"),
        ("Leaves rot spotted; stem holf hollow", "not_recorded", "partly_hollow"),
        ("ne leaf spots. Stem hollow: ro", "not_recorded", "not_recorded"),
        ("Leaves neatly spotted, stem stout and hollow", "solid_spots", "hollow"),
        ("NE corner: leaf spots present. Old halt, stem solid", "solid_spots", "solid"),
        ("Leaf spots: no. 3 in flower. Stem: hollow", "unmarked", "hollow"),
    ),
)
def test_what_damage_leaves_plain(remark: str, leaf: str, stem: str) -> None:
    read = parse_remark(remark)
    assert (read.leaf, read.stem) == (leaf, stem)
