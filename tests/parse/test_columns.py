"""Evidence columns: every word for a state, and measurements with their units."""

from __future__ import annotations

import pytest

from crossproof.coding import Memo
from crossproof.parse.columns import ColumnReader, measurement
from crossproof.parse.remark import RemarkReader


@pytest.fixture(scope="module")
def reader(books) -> ColumnReader:
    readers = {name: RemarkReader(book) for name, book in books.items()}
    return ColumnReader(books, Memo(lambda key: readers[key[0]].read(key[1])))


def read(reader, cell, heading="Leaves", field="leaf", rulebook="dactylorhiza"):
    return reader.read(rulebook, {field: heading}, {field: cell})


@pytest.mark.parametrize(
    ("heading", "field", "cell", "state"),
    [
        ("Leaves", "leaf", "ring_spots", "ring_spots"),
        ("Leaves", "leaf", "Ring Spots", "ring_spots"),
        ("Leaves", "leaf", " unmarked. ", "unmarked"),
        ("Leaves", "leaf", "marked, kind not said", "marked"),
        ("Leaves", "leaf", "spotted", "solid_spots"),
        ("Leaves", "leaf", "unspotted", "unmarked"),
        ("stem", "stem", "PARTLY HOLLOW", "partly_hollow"),
        ("stem", "stem", "hollow when squeezed", "hollow"),
        ("stem hollow", "stem", "yes", "hollow"),
        ("stem hollow", "stem", "no", "solid"),
        ("stem solid", "stem", "yes", "solid"),
        ("Leaf width (mm)", "leaf_width", "17 mm", "17"),
        ("Leaf width (mm)", "leaf_width", "1.7 cm", "17"),
    ],
)
def test_a_state(reader, heading, field, cell, state) -> None:
    evidence, problems = read(reader, cell, heading, field)
    assert [(e.character, e.state) for e in evidence] == [(field, state)]
    assert evidence[0].source == ("measurement" if field == "leaf_width" else "column")
    assert evidence[0].words in cell
    assert problems == ()


@pytest.mark.parametrize(
    "cell", ["", " ", "-", "?", "n/a", "N.R.", "not recorded", "not looked at", "unknown", "didn't"]
)
def test_nothing_recorded_is_no_problem(reader, cell) -> None:
    assert read(reader, cell) == ((), ())


@pytest.mark.parametrize("cell", ["lovely", "y", "12", "see sheet 2", "×", "\0"])
def test_words_that_say_nothing_known(reader, cell) -> None:
    evidence, problems = read(reader, cell)
    assert evidence == ()
    assert [(p.code, p.field, p.value) for p in problems] == [("evidence_unread", "leaf", cell)]


@pytest.mark.parametrize(
    ("heading", "cell", "states"),
    [
        ("Leaf spots", "yes", ["solid_spots"]),
        ("Leaf spots", "no", ["unmarked"]),
        ("Leaf spots", "rings", ["ring_spots"]),
        ("Leaf markings", "?", []),
        ("Leaf markings", "see sheet 2", []),
        ("Leaf markings", "-", []),
        ("Hollow stem", "see notes", []),
        # Our own title of the character speaks of marks; the recorder's heading doesn't.
        ("Leaves", "yes", []),
        ("Leaves", "12", []),
    ],
)
def test_a_heading_alone_states_nothing(reader, heading, cell, states) -> None:
    field = "stem" if "stem" in heading else "leaf"
    evidence, _ = read(reader, cell, heading, field)
    assert [e.state for e in evidence] == states


@pytest.mark.parametrize(
    ("cell", "weight"), [("faint rings", "faint"), ("ring spots?", "questioned")]
)
def test_weight(reader, cell, weight) -> None:
    (evidence,), _ = read(reader, cell)
    assert (evidence.state, evidence.weight) == ("ring_spots", weight)


def test_words_stand_where_they_are_said_to(reader) -> None:
    cell = "some with rings, most with bars"
    evidence, _ = read(reader, cell)
    assert {e.state for e in evidence} == {"ring_spots", "transverse_bars"}
    for e in evidence:
        assert cell[e.start : e.end] == e.words


def test_a_plant_no_rulebook_covers_has_no_evidence(reader) -> None:
    assert read(reader, "spotted", rulebook="") == ((), ())


@pytest.mark.parametrize(
    ("rulebook", "heading", "field", "cell", "character", "state"),
    [
        # One heading, several groups: each finds its own character under it, whatever the field
        # that the whole table took it for.
        ("silene", "Petals", "petals", "pink", "petals", "pink"),
        ("quercus", "Hairs", "hairs", "stellate", "hairs", "stellate"),
        ("geum", "Leaves", "leaf", "spotted", None, None),
    ],
)
def test_columns_of_other_groups(reader, rulebook, heading, field, cell, character, state) -> None:
    evidence, _ = read(reader, cell, heading, field, rulebook)
    assert [(e.character, e.state) for e in evidence] == ([(character, state)] if character else [])


@pytest.mark.parametrize(
    ("cell", "unit", "expected"),
    [
        ("17", "mm", "17"),
        ("17-21", "mm", "17-21"),
        ("21–17 mm", "mm", "17-21"),
        ("17mm to 21mm", "mm", "17-21"),
        ("1.7 cm", "mm", "17"),
        ("1.5–2 cm", "mm", "15-20"),
        ("c. 20", "mm", "20"),
        ("ca 20", "mm", "20"),
        ("approx. 20mm", "mm", "20"),
        ("1,5", "mm", "1.5"),
        ("0.02 m", "mm", "20"),
        ("17 (widest of 3)", "mm", "17"),
        ("5 sheathing", "leaves", "5"),
        ("3 to 5", "leaves", "3-5"),
        # What may be something else is not read at all.
        ("2 inches", "mm", ""),
        ('2"', "mm", ""),
        ("12 x 30", "mm", ""),
        ("2019-06-14", "mm", ""),
        ("1 500", "mm", ""),
        ("seventeen", "mm", ""),
        ("-5", "mm", ""),
        ("", "mm", ""),
    ],
)
def test_measurement(cell, unit, expected) -> None:
    assert measurement(cell, unit) == expected
