"""Positions, contacts and names in texts: what goes, and what must stay."""

from __future__ import annotations

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.parse.coarse import figures
from crossproof.parse.grid import is_square
from crossproof.parse.place import parse_place
from crossproof.sensitive.contacts import contact_in
from crossproof.sensitive.level import WITHHELD
from crossproof.sensitive.people import (
    KeyRefused,
    initials,
    names_in,
    pseudonyms,
    renamed,
    without_names,
)
from crossproof.sensitive.positions import MARK, Positions
from crossproof.sensitive.tell import tell_of

POSITIONS = Positions(is_square)
PLACE = parse_place("SU1234556789")
TELL = tell_of(PLACE.latitude, PLACE.longitude, figures(PLACE), 1000)
KEY = b"0123456789abcdef"

# Positions of any place: notations are known by themselves.
ANYWHERE = [
    "SU 123 456",
    "su/123-456",
    "S U 1 2 3 4 5 6",
    "H 123 456",
    "51.5012, -1.2345",
    "51,5012; -1,2345",
    "51°30'04\"N 1°14'04\"W",
    "51° 30.07' N, 1° 14.07' W",
    "N51 30.07 W1 14.07",
    "51 30 04 N 1 14 04 W",
    "513004N 0011404W",
    "412345, 156789",
    "E412345 N156789",
    "41/123456",
    "30UXC1234512345",
    "9C3W9QCJ+2VX",
    "IO91wm",
    "///filled.count.soap",
]
# Figures of this place only.
OWN = ["123567", "1234 5678", "12345/56789", "51 18 36", "51.31", "412345", "gcney2x8"]
# What plants are described with, and must stay.
STAYS = [
    "leaves with solid spots, stem hollow, 30 plants",
    "lip 8.5 x 12.25 mm; spur 9.5 mm",
    "2019-06-14",
    "14/06/2019",
    "12 plants in 2019, 8.5 mm lip",
    "IMG_20190614_0042.jpg",
    "pH 6.5, 120 m a.s.l.",
    "c. 1,200 spikes along the 300 m ride",
    "Smith (1987) p. 123",
    "×",
    "",
]


@pytest.mark.parametrize("text", ANYWHERE)
def test_a_position_goes_whatever_stands_round_it(text: str) -> None:
    cleaned = POSITIONS.strip(f"by the gate at {text} and back", None, 1000)
    assert cleaned.startswith("by the gate at") and MARK in cleaned
    assert not any(part in cleaned for part in text.split() if any(map(str.isdigit, part)))


@pytest.mark.parametrize("text", OWN)
def test_the_places_own_figures_go_without_any_notation(text: str) -> None:
    assert MARK in POSITIONS.strip(f"box {text} left", TELL, 1000)


@pytest.mark.parametrize("text", STAYS)
def test_descriptions_of_plants_stay(text: str) -> None:
    assert POSITIONS.strip(text, TELL, 1000) == text


def test_coarse_references_stay_until_the_place_is_withheld() -> None:
    assert POSITIONS.strip("in SU12", TELL, 10_000) == "in SU12"
    assert POSITIONS.strip("in SU12", TELL, WITHHELD) == f"in {MARK}"
    assert POSITIONS.strip("in SU12A", TELL, 2_000) == "in SU12A"
    assert POSITIONS.strip("in SU12A", TELL, 10_000) == f"in {MARK}"


@given(st.text())
def test_stripping_twice_is_stripping_once(text: str) -> None:
    once = POSITIONS.strip(text, TELL, 1000)
    assert POSITIONS.strip(once, TELL, 1000) == once


def test_geohash() -> None:
    """Wikipedia, "Geohash": 57.64911, 10.40744 is u4pruydqqvj; 42.605, -5.603 is ezs42."""
    assert tell_of(57.64911, 10.40744, (), 1000).geohash == "u4pru"
    assert tell_of(42.605, -5.603, (), 1000).geohash == "ezs42"


# Telephone numbers for drama: Ofcom, "Telephone numbers for use in TV and radio drama programmes".
CONTACTS = [
    ("ring 07700 900123", "a telephone number"),
    ("(01632) 960123", "a telephone number"),
    ("020 7946 0018", "a telephone number"),
    ("+44 1632 960123", "a telephone number"),
    ("+44 (0)1632 960123", "a telephone number"),
    ("0161 496 0000", "a telephone number"),
    ("01632960001", "a telephone number"),
    ("write to a.wren@osier.example", "an e-mail address"),
    ("wren (at) osier.example", "an e-mail address"),
    ("wren@osier.example, 01632 960001", "an e-mail address and a telephone number"),
    ("SU 01234 56789", ""),
    ("on 01.06.2024 and 12.06.2024", ""),
    ("51.310123, -1.823456", ""),
    ("spikes 012 of 345", ""),
    ("leaves spotted @ base", ""),
]


@pytest.mark.parametrize(("text", "expected"), CONTACTS)
def test_contacts_in_remarks(text: str, expected: str) -> None:
    assert contact_in(text) == expected


NAMES = [
    ("Ottoline Marrable", ("Ottoline Marrable",), "O. M."),
    ("Marrable, Ottoline", ("Marrable, Ottoline",), "O. M."),
    ("Dr O. Marrable", ("Dr O. Marrable",), "O. M."),
    ("O. Marrable & B. Finch", ("O. Marrable", "B. Finch"), "O. M. | B. F."),
    ("O. Marrable, B. Finch", ("O. Marrable", "B. Finch"), "O. M. | B. F."),
    ("Jean-Paul Wren | O'Shea", ("Jean-Paul Wren", "O'Shea"), "J.-P. W. | O."),
    ("", (), ""),
]


@pytest.mark.parametrize(("cell", "names", "short"), NAMES)
def test_names_and_their_initials(cell: str, names: tuple[str, ...], short: str) -> None:
    assert names_in(cell) == names
    assert renamed(cell, initials) == short


def test_a_pseudonym_is_stable_and_needs_its_key() -> None:
    rename = pseudonyms(KEY)
    same = {rename(n) for n in ("Ottoline Marrable", "Marrable,  Ottoline", "DR OTTOLINE MARRABLE")}
    assert len(same) == 1
    assert same != {pseudonyms(b"another key, as long")("Ottoline Marrable")}


def test_a_list_of_names_does_not_find_the_pseudonym() -> None:
    """None of the plain digests of the name, in any common form, is in it."""
    pseudonym = pseudonyms(KEY)("Ottoline Marrable").removeprefix("recorder-")
    for name in ("Ottoline Marrable", "ottoline marrable"):
        for algorithm in ("md5", "sha1", "sha256", "sha512"):
            assert hashlib.new(algorithm, name.encode()).hexdigest()[:8] not in pseudonym
    assert "ottoline" not in pseudonym


def test_a_short_key_is_refused() -> None:
    with pytest.raises(KeyRefused, match="16 are the least"):
        pseudonyms(b"secret")


def test_names_go_from_running_text_too() -> None:
    assert without_names("seen with Ottoline Marrable.", ("Ottoline Marrable",), initials) == (
        "seen with O. M.."
    )
    assert without_names("Wrenfield", ("Wren",), initials) == "Wrenfield"
