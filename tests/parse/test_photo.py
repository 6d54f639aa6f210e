"""Photo cells: a reference, several, a plain yes, a denial; and the parts they show."""

from __future__ import annotations

import pytest

from crossproof.parse.photo import read_photo_cell, references, subject_parts


@pytest.mark.parametrize(
    ("cell", "state", "expected"),
    [
        ("img_1.jpg", "stated", ["img_1.jpg"]),
        (" img_1.jpg ", "stated", ["img_1.jpg"]),
        ("a.jpg; b.jpg", "stated", ["a.jpg", "b.jpg"]),
        ("a.jpg|b.jpg\nc.jpg", "stated", ["a.jpg", "b.jpg", "c.jpg"]),
        ("a.jpg, b.JPG", "stated", ["a.jpg", "b.JPG"]),
        ("https://example.org/1, https://example.org/2", "stated", 2),
        ("slide 12, box 3", "stated", ["slide 12, box 3"]),  # a comma that parts nothing
        ("film 4/22", "stated", ["film 4/22"]),
        ("a.jpg; a.jpg", "stated", ["a.jpg"]),
        ("Yes", "stated", []),
        ("photo taken.", "stated", []),
        ("1", "stated", []),
        ("no", "denied", []),
        ("No photo, battery flat", "denied", []),
        ("0", "denied", []),
        ("", "not_recorded", []),
        ("?", "not_recorded", []),
        ("to follow", "not_recorded", []),
        (";", "not_recorded", []),
        (" | \n", "not_recorded", []),
    ],
)
def test_a_photo_cell(cell, state, expected) -> None:
    read = read_photo_cell(cell)
    assert read.state == state
    found = [photo.reference for photo in read.photos]
    assert found == expected or len(found) == expected


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("qf_0101_leaf.jpg", ("leaf",)),
        ("stemSqueeze.JPG", ("stem",)),
        ("leaf and stem", ("leaf", "stem")),
        ("whole plant", ("entireOrganism",)),
        ("entireOrganism", ("entireOrganism",)),
        ("flower spike", ("inflorescence", "flower")),
        ("img_4411.jpg", ()),
        ("leaflet.jpg", ()),
    ],
)
def test_subject_parts(text, parts) -> None:
    # The words are those of Audiovisual Core's vocabulary for ac:subjectPart (TDWG, CC BY 4.0).
    assert subject_parts(text) == parts


def test_a_parts_column_goes_before_the_file_name() -> None:
    (photo,) = read_photo_cell("qf_leaf.jpg", "stem").photos
    assert photo.parts == ("stem",)


def test_references_keep_their_order() -> None:
    assert references("b.jpg; a.jpg") == ("b.jpg", "a.jpg")
