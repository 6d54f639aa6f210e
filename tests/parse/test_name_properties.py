"""What must hold for any string, and for any typing error."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from crossproof.model import Name
from crossproof.parse.name import parse_name
from crossproof.rulebooks.load import shipped

EPITHETS = [
    taxon
    for book in shipped()
    for taxon in book.taxa.values()
    if taxon.rank in ("species", "nothospecies") and taxon.name
]
WORDS = [
    *(
        "Dactylorhiza",
        "D.",
        "x",
        "×",
        "fuchsii",
        "praetermissa",
        "grandis",
        "hybrid",
        "cf.",
        "agg.",
    ),
    *(
        "s.l.",
        "?",
        "(",
        ")",
        "[",
        "]",
        "/",
        "-",
        "=",
        ",",
        "and",
        "not",
        "with",
        "between",
        "common",
    ),
    *("spotted", "marsh", "orchid", "subsp.", "var.", "f.", "sp.", "Primula", "veris", "Salix"),
    *("caprea", "S.", "alba", "Gymnadenia", "conopsea", "Orchis", "latifolia", "L.", "(Druce)"),
    *("Soó", "ex", "&", "12", "plants", "det.", "RB"),
]


def _read_back(name: Name) -> None:
    """The formatted answer, read again, is the same taxon under the same name."""
    if name.kind == "unresolved":
        assert name.scientific_name == ""
        assert name.reason
        return
    again = parse_name(f"{name.scientific_name} {name.qualifier}".strip())
    assert (again.scientific_name, again.taxon) == (name.scientific_name, name.taxon)


@given(st.text())
def test_no_string_raises(text: str) -> None:
    assert parse_name(text).verbatim == text


AWKWARD = "×xX?*.,;:()[]/&+-= \t\nabcdefDQPGHS.♀012\\Ã—ÂхΧ\u200b\ufffd"


@given(st.text(alphabet=AWKWARD, max_size=40))
def test_no_awkward_string_raises(text: str) -> None:
    _read_back(parse_name(text))


@given(st.lists(st.sampled_from(WORDS), max_size=9).map(" ".join))
@settings(max_examples=500)
def test_words_in_any_order_read_back(text: str) -> None:
    _read_back(parse_name(text))


@given(st.sampled_from(EPITHETS), st.data())
@settings(max_examples=500)
def test_a_typing_error_never_gives_another_taxon(taxon, data) -> None:  # type: ignore[no-untyped-def]
    word = taxon.epithet
    at = data.draw(st.integers(0, len(word) - 1))
    letter = data.draw(st.sampled_from("abcdefghijklmnopqrstuvwxyz"))
    swapped = word[:at] + word[at : at + 2][::-1] + word[at + 2 :]
    lost, added = word[:at] + word[at + 1 :], word[:at] + letter + word[at:]
    changed = word[:at] + letter + word[at + 1 :]
    wrong = data.draw(st.sampled_from([lost, added, changed, swapped]))
    name = parse_name(taxon.name.replace(word, wrong))
    assert name.taxon in (taxon.id, "")
