"""Names as recorders write them: own cases, a part of them written before the parser was run."""

from __future__ import annotations

import csv
import os
from pathlib import Path

import pytest

from crossproof.parse.name import NameReader, parse_name
from crossproof.rulebooks.load import shipped, shipped_rulebook

with (Path(__file__).parent / "name_cases.csv").open(encoding="utf-8", newline="") as table:
    CASES = list(csv.DictReader(table))


@pytest.mark.parametrize("case", CASES, ids=[repr(case["written"]) for case in CASES])
def test_written_name(case: dict[str, str]) -> None:
    name = parse_name(case["written"])
    if case["kind"] == "unresolved":
        assert (name.kind, name.scientific_name) == ("unresolved", "")
        assert name.reason
        return
    got = (name.scientific_name, name.kind, name.qualifier)
    assert got == (case["scientific_name"], case["kind"], case["qualifier"])
    assert name.verbatim == case["written"]


@pytest.mark.parametrize(
    ("written", "taxon", "parents"),
    [
        ("D. praetermissa x fuchsii", "grandis", ("fuchsii", "praetermissa")),
        ("Primula veris × vulgaris", "polyantha", ("veris", "vulgaris")),
        ("Dactylorhiza kerryensis x fuchsii", "fuchsii_x_kerryensis", ("fuchsii", "kerryensis")),
        (
            "Dactylorhiza fuchsii × maculata × praetermissa",
            "",
            ("fuchsii", "maculata", "praetermissa"),
        ),
        ("Quercus cerris × robur", "", ("Quercus cerris", "robur")),
        ("Dactylorhiza maculata agg.", "maculata_agg", ()),
        ("D. incarnata/majalis agg.", "marsh_agg", ()),
        ("Dactylorhiza praetermissa var. junialis", "junialis", ()),
        ("Dactylorhiza fuchsii subsp. fuchsii", "fuchsii", ()),
        ("Dactylorhiza hybrid", "dactylorhiza", ()),
    ],
)
def test_taxon_and_parents(written: str, taxon: str, parents: tuple[str, ...]) -> None:
    name = parse_name(written)
    assert (name.taxon, name.parents) == (taxon, parents)


@pytest.mark.parametrize(
    ("written", "candidates"),
    [
        ("Orchis latifolia L.", ("majalis_agg", "incarnata")),
        ("Crataegus oxyacantha", ("laevigata", "monogyna")),
        ("Sorthern Marsh-orchid", ("praetermissa", "purpurella")),  # southern or northern
        ("Dactylorhiza fuchsii or D. praetermissa", ("fuchsii", "praetermissa")),
        ("Dactylorhiza maculata fuchsii", ("fuchsii", "transiens")),
        ("Dactylorhiza drucei", ("drucei", "francis_drucei")),
        ("Dactylorhiza x fuchsii", ("fuchsii",)),
    ],
)
def test_open_names_keep_their_candidates(written: str, candidates: tuple[str, ...]) -> None:
    name = parse_name(written)
    assert name.kind == "unresolved"
    assert sorted(name.candidates) == sorted(candidates)


@pytest.mark.parametrize(
    ("written", "note"),
    [
        ("Dactylorhiza fuschi", "'fuschi' was taken as a typing error for fuchsii"),
        ("Dactylorhiza x grandis, 12 plants", "left out: '12 plants'"),
        ("Dactylorhiza fuchsii, not hybrid", "left out: 'not hybrid'"),
        ("fuchsii x praetermissa", "the genus Dactylorhiza was taken for granted"),
        ("Orchis fuchsii", "Orchis was read as Dactylorhiza"),
        (
            "Dactylorhiza Ã— grandis",
            "a multiplication sign was restored from a damaged or look-alike character",
        ),
        (
            "Dactylorhiza fuchsii praetermissa",
            "a multiplication sign was taken as missing between two epithets",
        ),
    ],
)
def test_what_was_assumed_is_said(written: str, note: str) -> None:
    assert note in parse_name(written).assumed


def test_crosses_beyond_the_rulebook_say_so() -> None:
    for written in ("D. fuchsii × maculata × praetermissa", "×Dactylodenia st-quintinii"):
        name = parse_name(written)
        assert name.is_hybrid_claim
        assert "beyond the rulebook" in name.reason
        assert not name.taxon


def test_only_the_given_rulebooks_are_read() -> None:
    geum = NameReader((shipped_rulebook("geum"),))
    assert geum.read("Geum rivale × urbanum").taxon == "intermedium"
    assert geum.read("Dactylorhiza fuchsii").kind == "out_of_scope"
    assert parse_name("Dactylorhiza fuchsii", (shipped_rulebook("geum"),)).kind == "out_of_scope"


def test_a_reader_reads_each_string_once() -> None:
    reader = NameReader(shipped())
    assert reader.read("D. x grandis") is reader.read("D. x grandis")


def test_samples() -> None:
    """At least 98 of 100 of the sample names, doubtful ones apart."""
    home = os.environ.get("CROSSPROOF_STANDARDS")
    if not home:
        pytest.skip("CROSSPROOF_STANDARDS is not set: the published standards are not here")
    samples = Path(home).parent / "samples"
    if not samples.is_dir():
        pytest.skip(f"there are no samples in {samples}")
    with (samples / "doubtful.csv").open(encoding="utf-8", newline="") as file:
        doubtful = {row["id"] for row in csv.DictReader(file) if row["file"] == "names.csv"}
    with (samples / "names.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["id"] not in doubtful]
    right = 0
    for row in rows:
        name = parse_name(row["verbatim"])
        if row["expected_kind"] == "unresolvable":
            right += name.kind == "unresolved"
        else:
            want = (row["expected_name"], row["expected_kind"], row["expected_qualifier"])
            right += (name.scientific_name, name.kind, name.qualifier) == want
    assert right >= 0.98 * len(rows)
