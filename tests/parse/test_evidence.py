"""What a row states of its plant: columns, remarks and photos together."""

from __future__ import annotations

import pytest

from crossproof.parse.claims import Claims
from crossproof.parse.evidence import Statements


@pytest.fixture(scope="module")
def claims(books) -> Claims:
    return Claims(tuple(books.values()))


@pytest.fixture(scope="module")
def statements(books) -> Statements:
    return Statements(books)


@pytest.fixture
def stated(claims, statements, cells):
    """What one row states; it is a claim of × grandis unless it says otherwise."""

    def read(headings=None, **columns):
        made = cells({"scientificName": "D. x grandis", **columns}, headings)
        return statements.read(made, claims.read(made))

    return read


def states(stated) -> list[tuple[str, str, str]]:
    (evidence,) = stated.evidence
    return [(e.character, e.state, e.source) for e in evidence]


def problems(stated) -> list[tuple[str, str]]:
    return [(p.code, p.field) for column in stated.problems for found in column for p in found]


def test_column_and_remark_are_both_kept(stated) -> None:
    row = stated(leaf="ring spots", occurrenceRemarks="stem hollow")
    assert states(row) == [("leaf", "ring_spots", "column"), ("stem", "hollow", "remark")]
    assert problems(row) == []


@pytest.mark.parametrize(
    "field",
    ["occurrenceRemarks", "identificationRemarks", "eventRemarks", "fieldNotes", "organismRemarks"],
)
def test_every_column_of_remarks_is_read(stated, field) -> None:
    assert states(stated(**{field: "stem hollow"})) == [("stem", "hollow", "remark")]


@pytest.mark.parametrize(
    ("leaf", "remark", "expected"),
    [
        ("ring spots", "lvs unspotted", [("evidence_disagrees", "leaf")]),
        ("unmarked", "leaves with transverse bars", [("evidence_disagrees", "leaf")]),
        # `marked` says not which marks, so it contradicts no kind of them.
        ("marked, kind not said", "lvs with rings", []),
        ("ring spots", "lvs with ring spots", []),
        ("ring spots", "", []),
        # A faint mark does not count, so it can't disagree; that it doesn't count is said.
        ("unmarked", "faint rings on the leaves", [("evidence_faint", "leaf")]),
    ],
)
def test_where_column_and_remark_disagree(stated, leaf, remark, expected) -> None:
    assert problems(stated(leaf=leaf, occurrenceRemarks=remark)) == expected


def test_what_a_cell_says_unread_is_said(stated) -> None:
    assert problems(stated(leaf="lovely")) == [("evidence_unread", "leaf")]


@pytest.mark.parametrize(
    ("columns", "state", "references"),
    [
        ({"photo": "a.jpg"}, "stated", ["a.jpg"]),
        ({"associatedMedia": "https://example.org/1"}, "stated", ["https://example.org/1"]),
        ({"photo": "a.jpg", "associatedMedia": "b.jpg"}, "stated", ["a.jpg", "b.jpg"]),
        ({"photo": "a.jpg", "associatedMedia": "a.jpg"}, "stated", ["a.jpg"]),
        ({"photo": "yes", "associatedMedia": "b.jpg"}, "stated", ["b.jpg"]),
        ({"photo": "", "associatedMedia": "b.jpg"}, "stated", ["b.jpg"]),
        ({"photo": ""}, "not_recorded", []),
        ({}, "not_recorded", []),
        ({"photo": "", "occurrenceRemarks": "photo taken"}, "stated", []),
        # An explicit denial beats a reference (judgement: a photo nobody has is no evidence).
        ({"photo": "a.jpg", "occurrenceRemarks": "no photo"}, "denied", ["a.jpg"]),
        ({"photo": "no", "associatedMedia": "a.jpg"}, "denied", ["a.jpg"]),
    ],
)
def test_photos(stated, columns, state, references) -> None:
    row = stated(**columns)
    assert [*row.photo] == [state]
    (photos,) = row.photos
    assert [photo.reference for photo in photos] == references


def test_the_parts_that_the_photos_show(stated) -> None:
    ((leaf, stem),) = stated(photo="a.jpg; b.jpg", photoParts="leaf, stem").photos
    assert leaf.parts == stem.parts == ("leaf", "stem")


@pytest.mark.parametrize(
    ("columns", "expected"),
    [
        ({"flowerOnly": "yes"}, True),
        ({"flowerOnly": "no"}, False),
        ({"occurrenceRemarks": "named on flowers alone"}, True),
        ({"occurrenceRemarks": "named on leaves"}, False),
    ],
)
def test_flowers_only(stated, columns, expected) -> None:
    (spoken,) = stated(**columns).spoken
    assert spoken.flower_only is expected


@pytest.mark.parametrize(
    ("cell", "remark", "expected"),
    [
        ("both", "", "both"),
        ("Both near by", "", "both"),
        ("one", "", "one"),
        ("yes", "", "both"),
        ("no", "", "none"),
        ("neither", "", "none"),
        ("", "both parents near by", "both"),
        ("none", "both parents near by", "none"),
        ("", "", ""),
        ("oneself", "", ""),
        ("no idea", "", ""),
        ("one parent, D. fuchsii", "", "one"),
        ("yes, within 10 m", "", "both"),
    ],
)
def test_parents(stated, cell, remark, expected) -> None:
    (spoken,) = stated(parents=cell, occurrenceRemarks=remark).spoken
    assert spoken.parents == expected


@pytest.mark.parametrize(
    ("columns", "expected"),
    [
        ({"soil": "acid peat"}, {"acid"}),
        ({"habitat": "wet heath"}, {"acid"}),
        (
            {"occurrenceRemarks": "in Wales, var. cambrensis"},
            {"Great Britain", "Wales", "cambrensis"},
        ),
        # A place is not a soil, and a soil not a place.
        ({"soil": "Wales"}, set()),
        ({"occurrenceRemarks": "acid drops for lunch"}, set()),
    ],
)
def test_mentions(stated, columns, expected) -> None:
    (spoken,) = stated(**columns).spoken
    assert spoken.mentions == expected


def test_remarks_of_plants_no_rulebook_covers_are_not_read(stated) -> None:
    row = stated(
        scientificName="Bellis perennis", leaf="spotted", occurrenceRemarks="stem hollow", photo="y"
    )
    assert states(row) == []
    assert problems(row) == []
    assert [*row.photo] == ["stated"]


def test_rows_keep_apart(claims, statements, cells) -> None:
    made = cells(
        {
            "scientificName": ["D. x grandis", "Bellis perennis", "D. x grandis"],
            "leaf": ["ring spots", "ring spots", ""],
            "occurrenceRemarks": ["", "stem hollow", "stem hollow"],
            "photo": ["a.jpg", "", "b.jpg"],
        }
    )
    read = statements.read(made, claims.read(made))
    assert [[e.state for e in evidence] for evidence in read.evidence] == [
        ["ring_spots"],
        [],
        ["hollow"],
    ]
    assert [*read.photo] == ["stated", "not_recorded", "stated"]
