"""Herbarium Latin, put together of parts that agree: what each says is known by how it was made.

Stems, endings and the turns of descriptions: botanical Latin, from memory.
"""

from __future__ import annotations

from itertools import product

import pytest
from read_states import leaf_and_stem

from crossproof.parse.remark import parse_remark

# Endings of the first and second declension, and of the third, by gender, number and case.
US = {"n": "a", "ns": "um", "f": "ae", "fs": "a", "m": "i", "ms": "us", "abl": "is", "abls": "o"}
IS = {
    "n": "ia",
    "ns": "e",
    "f": "es",
    "fs": "is",
    "m": "es",
    "ms": "is",
    "abl": "ibus",
    "abls": "i",
}
LEAF = {"n": "folia", "ns": "folium", "f": "laminae", "fs": "lamina", "abl": "foliis"}
STEM = {"ms": "caulis", "m": "scapi", "abl": "caulibus", "abls": "scapo"}
LEAF_STATES = {
    "marked": ("maculat", "purpureo-maculat", "punctat", "maculos", "maculis notat", "guttat"),
    "ring_spots": ("annulat", "annulato-maculat", "ocellat", "maculis annularibus notat"),
    "unmarked": ("immaculat", "haud maculat", "emaculat", "maculis destitut", "nunquam maculat"),
}
STEM_STATES = {
    "hollow": ("fistulos", "cav", "tubulos", "vacu", "haud solid"),
    "solid": ("solid", "farct", "medulla replet", "medulla implet", "haud fistulos"),
    "partly_hollow": (
        "subfistulos",
        "semifistulos",
        "semicav",
        "subsolid",
        "vix cav",
        "partim cav",
    ),
}
BESIDE = ("labellum lineis notatum", "bracteae maculatae", "labello dense punctato", "calcar breve")
PLAIN_PARTLY = ("unmarked", "partly_hollow")


@pytest.mark.parametrize(("state", "stems"), LEAF_STATES.items())
def test_a_leaf_in_every_ending(state: str, stems: tuple[str, ...]) -> None:
    for stem, (form, organ), how in product(stems, LEAF.items(), ("", "utrinque ", "omnino ")):
        if how and " " in stem:
            continue
        for remark in (f"{organ} {how}{stem}{US[form]}", f"{BESIDE[0]}, {organ} {stem}{US[form]}"):
            assert (remark, leaf_and_stem(remark)[0]) == (remark, state)


@pytest.mark.parametrize(("state", "stems"), STEM_STATES.items())
def test_a_stem_in_every_ending(state: str, stems: tuple[str, ...]) -> None:
    for stem, (form, organ), beside in product(stems, STEM.items(), ("", *BESIDE)):
        remark = f"{organ} {stem}{US[form]}{beside and '; '}{beside}"
        assert (remark, parse_remark(remark).stem) == (remark, state)
        assert (remark, parse_remark(remark).leaf) == (remark, "not_recorded")
    for form, organ in STEM.items():
        if state != "solid":
            stem = {"hollow": "inan", "partly_hollow": "subfistular"}[state]
            assert parse_remark(f"{organ} {stem}{IS[form]}").stem == state


@pytest.mark.parametrize(
    "said",
    (
        "{a} vel {b}",
        "aut {a} aut {b}",
        "{a} et {b} in eodem prato",
        "{a}, rarius {b}",
        "{b} vel {a}",
    ),
)
def test_leaves_of_both_sorts(said: str) -> None:
    for form, organ in (("n", "folia"), ("abl", "foliis"), ("f", "laminae")):
        states = said.format(a=f"immaculat{US[form]}", b=f"maculat{US[form]}")
        remark = f"{organ} {states}. Caules cavi."
        assert (remark, leaf_and_stem(remark)[0]) == (remark, "mixed")
        assert (remark, parse_remark(remark).stem) == (remark, "hollow")


@pytest.mark.parametrize(
    ("remark", "leaf", "stem"),
    (
        ("fol. immac., caul. farct.", "unmarked", "solid"),
        ("Fol. annul.; caul. semifist.", "ring_spots", "partly_hollow"),
        ("caulis haud fistulosus sed medulla repletus", "not_recorded", "solid"),
        ("foliis nec maculatis nec punctatis caule vix cavo", "unmarked", "partly_hollow"),
        ("Caules haud omnino solidi. Folia neque maculata.", "unmarked", "partly_hollow"),
        ("caulibus inferne cavis, superne farctis", "not_recorded", "partly_hollow"),
        ("Lvs unspotted, and maculata near by", "unmarked", "not_recorded"),
        ("stem solid, maculata with it", "not_recorded", "solid"),
        ("Folia erecta, cucullata, haud maculata; caulis plus minus cavus", *PLAIN_PARTLY),
        ("Folia omnia maculata, praeter infima immaculata", "marked", "not_recorded"),
        ("Folia annulatim notata, caule compressibili", "ring_spots", "hollow"),
        ("Leaves unspotted, tall maculata near by", "unmarked", "not_recorded"),
    ),
)  # fmt: skip
def test_whole_descriptions(remark: str, leaf: str, stem: str) -> None:
    read = parse_remark(remark)
    assert (leaf_and_stem(remark)[0], read.stem) == (leaf, stem)
