"""What a remark is read as: exact states, exact words, how firmly they are said, and by whom."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossproof.model import Remark
from crossproof.parse.remark import RemarkReader, parse_remark
from crossproof.rulebooks.load import shipped_rulebook


@pytest.mark.parametrize(
    ("text", "state"),
    [
        ("leaves with scattered dark spots", "solid_spots"),
        ("lvs blotched", "solid_spots"),
        ("leaves spotted", "solid_spots"),
        ("leaves marked", "marked"),
        ("leaf markings present", "marked"),
        ("lvs patterned purple", "marked"),
        ("leaves finely speckled", "fine_dots"),
        ("tiny spots on the leaves", "fine_dots"),
        ("spots on the leaves tiny", "fine_dots"),
        ("leaves barred", "transverse_bars"),
        ("spots on leaves drawn out sideways", "transverse_bars"),
        ("leaf marks: bars, some blotches", "transverse_bars"),
        ("leaves ringed", "ring_spots"),
        ("hollow spots on the leaves", "ring_spots"),
        ("leaf spots hollow, not filled in", "ring_spots"),
        ("leaves with rings and spots", "ring_spots"),
        ("leaf spots solid, not ringed", "solid_spots"),
        ("leaves dotted, not blotched", "fine_dots"),
        ("no big spots on the leaves, only tiny ones", "fine_dots"),
        ("leaves without spots, bars or rings", "unmarked"),
    ],
)
def test_the_kind_of_leaf_marks(text: str, state: str) -> None:
    assert parse_remark(text).leaf == state


@pytest.mark.parametrize(
    ("text", "character", "words"),
    [
        ("Leaves unspotted, stem hollow.", "leaf", "Leaves unspotted"),
        ("Leaves unspotted, stem hollow.", "stem", "stem hollow"),
        ("We saw no spots on the leaves at all", "leaf", "no spots on the leaves"),
        ("Tall. STEM — not hollow; pink.", "stem", "STEM — not hollow"),
        ("lvs. unspottcd ; stern ho11ow", "stem", "stern ho11ow"),
        ("Straße ﬁn: leaves ring-spotted", "leaf", "leaves ring-spotted"),
    ],
)
def test_the_words_are_those_of_the_text(text: str, character: str, words: str) -> None:
    (evidence,) = (e for e in parse_remark(text).evidence if e.character == character)
    assert evidence.words == words == text[evidence.start : evidence.end]


@pytest.mark.parametrize(
    ("text", "weight", "leaf"),
    [
        ("leaves spotted", "stated", "solid_spots"),
        ("leaves probably spotted", "hedged", "solid_spots"),
        ("Label says leaves spotted", "hedged", "solid_spots"),
        ("leaves faintly spotted", "faint", "solid_spots"),
        ("leaves ?spotted", "questioned", "not_recorded"),
        ("leaves spotted?", "questioned", "not_recorded"),
        ("not sure whether leaves spotted", "questioned", "not_recorded"),
    ],
)
def test_how_firmly_it_is_said(text: str, weight: str, leaf: str) -> None:
    remark = parse_remark(text)
    assert [e.weight for e in remark.evidence if e.character == "leaf"] == [weight]
    assert remark.leaf == leaf


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("leaves not examined", {"leaf"}),
        ("stem n/t", {"stem"}),
        ("leaves and stem not recorded", {"leaf", "stem"}),
        ("didn't squeeze the stem", {"stem"}),
        ("leaves spotted", set()),
    ],
)
def test_what_nobody_looked_at(text: str, expected: set[str]) -> None:
    assert set(parse_remark(text).not_examined) & {"leaf", "stem"} == expected


@pytest.mark.parametrize(
    ("text", "parents"),
    [
        ("with both parents", "both"),
        ("only one parent seen", "one"),
        ("neither parent seen", "none"),
        ("parents not recorded", ""),
        ("leaves spotted", ""),
    ],
)
def test_parents(text: str, parents: str) -> None:
    assert parse_remark(text).parents == parents


@pytest.mark.parametrize(
    ("text", "state"),
    [
        ("lip deeply 3-lobed", "deeply_three_lobed"),
        ("labellum shallowly lobed", "broad_shallow"),
        ("lip sides reflexed", "sides_reflexed"),
        ("flowers intermediate", "intermediate"),
        ("stem intermediate", "not_recorded"),
        ("leaves deeply cut by grazing", "not_recorded"),
    ],
)
def test_flower_states_need_flower_words(text: str, state: str) -> None:
    assert parse_remark(text).state("flower") == state


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("leaves spotted on both sides", "both"),
        ("spots above and below", "both"),
        ("leaves plain on both sides", "not_recorded"),
        ("lip marked on both sides", "not_recorded"),
    ],
)
def test_marks_on_both_sides(text: str, sides: str) -> None:
    assert parse_remark(text).state("leaf_sides") == sides


def test_plants_of_several_states_give_several_pieces_of_evidence() -> None:
    remark = parse_remark("5 plants with spotted leaves, 2 with plain leaves")
    assert {e.state for e in remark.evidence} == {"solid_spots", "unmarked"}
    assert remark.leaf == "mixed"


def test_flower_only_and_photo_carry_their_words() -> None:
    remark = parse_remark("Named on the flowers alone. No photo taken.")
    assert remark.flower_only_words == "Named on the flowers"
    assert remark.photo_words == "No photo"


@pytest.mark.parametrize("text", ["", " ", "?", "-", "\n", "N/A", "....", "\x00", "no", "not"])
def test_nothing_said(text: str) -> None:
    assert parse_remark(text) == Remark()


READER = RemarkReader(shipped_rulebook("dactylorhiza"))
OWN_WORDS = """leaves lvs leaf stem st spots spotted unspotted rings hollow solid no not without
none nil ? ?? : - , . ; ( ) / but and or to with on the in if whether should probably photo photos
flowers lip only named det by fuchsii parents nearby this others some 5 2 all except both un- sp.
n/c said wrong slightly nearly very faint looked for found Y N yes ½ 'spots' x × squeezed n=12
camera flat plants from than like"""
WORDS = st.sampled_from([*OWN_WORDS.split(), "\n", "\r\n", "  "])


@given(st.text(max_size=80))
def test_any_string_is_read(text: str) -> None:
    check_words(text, READER.read(text))


@settings(max_examples=400)
@given(st.lists(WORDS, max_size=25).map(" ".join))
def test_any_run_of_our_own_words_is_read(text: str) -> None:
    check_words(text, READER.read(text))


def check_words(text: str, remark: Remark) -> None:
    for evidence in remark.evidence:
        assert 0 <= evidence.start < evidence.end <= len(text)
        assert evidence.words == text[evidence.start : evidence.end]
    assert remark.photo_words in text
    assert remark.flower_only_words in text
    assert (remark.photo == "not_recorded") == (remark.photo_words == "")
    assert remark.flower_only == bool(remark.flower_only_words)


@given(st.lists(WORDS, max_size=15).map(" ".join))
def test_capitals_never_change_what_organs_say(text: str) -> None:
    """A dot before a capital may end a sentence, so dots are left out here."""
    plain = text.replace(".", " ").replace("?", " ")
    lower, upper = READER.read(plain.lower()), READER.read(plain.upper())
    assert (lower.leaf, lower.stem, lower.photo) == (upper.leaf, upper.stem, upper.photo)


@pytest.mark.parametrize(
    "piece",
    ["spots ", "no spots or ", "leaves spotted, ", "5 with spots, 6 without, ", "(", "? ", "a"],
)
def test_a_remark_without_end_is_read_in_time(piece: str) -> None:
    """Neither nested too deep nor slow with length squared."""
    text = piece * 20_000
    check_words(text, READER.read(text))
