"""The claim of a row: which of its cells name the plant, and who stood by the name."""

from __future__ import annotations

import pytest

from crossproof.parse.claims import Claims


@pytest.fixture(scope="module")
def claims(books) -> Claims:
    return Claims(tuple(books.values()))


def one(claims: Claims, cells, **columns: str):
    (claim,) = claims.read(cells(columns))
    return claim


@pytest.mark.parametrize(
    ("columns", "words", "name", "kind"),
    [
        ({"scientificName": "D. fuchsii"}, "D. fuchsii", "Dactylorhiza fuchsii", "species"),
        ({"scientificName": " D. fuchsii "}, "D. fuchsii", "Dactylorhiza fuchsii", "species"),
        (
            {"vernacularName": "Southern Marsh-orchid"},
            "Southern Marsh-orchid",
            "Dactylorhiza praetermissa",
            "species",
        ),
        # The words of the identification go before the name that somebody made of them …
        (
            {"scientificName": "Dactylorhiza fuchsii", "verbatimIdentification": "D. x grandis"},
            "D. x grandis",
            "Dactylorhiza × grandis",
            "hybrid",
        ),
        # … unless they can't be read and the name can; but they stay what was written.
        (
            {"scientificName": "Dactylorhiza fuchsii", "verbatimIdentification": "plant 12b"},
            "plant 12b",
            "Dactylorhiza fuchsii",
            "species",
        ),
        (
            {"scientificName": "???", "vernacularName": "Southern Marsh-orchid"},
            "Southern Marsh-orchid",
            "Dactylorhiza praetermissa",
            "species",
        ),
        (
            {"genus": "Dactylorhiza", "specificEpithet": "incarnata"},
            "Dactylorhiza incarnata",
            "Dactylorhiza incarnata",
            "species",
        ),
        ({"genus": "Dactylorhiza", "specificEpithet": ""}, "Dactylorhiza", "Dactylorhiza", "genus"),
        ({"scientificName": ""}, "", "", "unresolved"),
        ({"scientificName": " \n"}, "", "", "unresolved"),
    ],
)
def test_the_words_and_the_name(claims, cells, columns, words, name, kind) -> None:
    claim = one(claims, cells, **columns)
    assert (claim.words, claim.name.scientific_name, claim.name.kind) == (words, name, kind)


def test_who_stood_by_it(claims, cells) -> None:
    claim = one(
        claims,
        cells,
        scientificName="D. x grandis",
        identifiedBy=" Ottoline Marrable ",
        dateIdentified="2019-07-01",
        identificationQualifier="cf.",
        identificationRemarks="seen in bud",
        previousIdentifications="D. fuchsii",
        identificationVerificationStatus="verified",
    )
    assert claim.identified_by == "Ottoline Marrable"
    assert claim.date_identified == "2019-07-01"
    assert (claim.qualifier, claim.name.qualifier) == ("cf.", "cf.")
    assert claim.remarks == "seen in bud"
    assert claim.previous == "D. fuchsii"
    assert claim.verification == "verified"


@pytest.mark.parametrize(
    ("name", "authorship", "expected"),
    [
        ("Bellis perennis", "L.", "L."),  # of a plant no rulebook covers, as given
        ("Dactylorhiza fuchsii", "somebody", "(Druce) Soó"),  # the rulebook knows better
    ],
)
def test_authorship(claims, cells, name, authorship, expected) -> None:
    claim = one(claims, cells, scientificName=name, scientificNameAuthorship=authorship)
    assert claim.name.authorship == expected


def test_equal_cells_are_one_claim(claims, cells) -> None:
    read = claims.read(cells({"scientificName": ["D. fuchsii", "D. incarnata", "D. fuchsii"]}))
    assert len(read.values) == 2
    assert read.codes.tolist() == [0, 1, 0]
