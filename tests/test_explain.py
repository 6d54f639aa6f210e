"""One record's reasoning in words: complete, in order, and with the verdict that `vet` gives."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import crossproof as cp
from crossproof.cli import main
from crossproof.options import Options
from crossproof.resources import folder
from crossproof.vetter import Vetter

DEMO = folder("demo_data")
HEADINGS = ("Species", "Grid Ref", "Date", "Leaves", "Stem", "Lip", "Photo", "Comments")
ORDER = [
    "The claim",
    "What is stated, from the bottom of the plant upward",
    "What that comes to",
    "What is missing",
    "What remains possible",
    "The determination",
    "What one more observation would settle",
]


def record(path: Path, **cells: str) -> Path:
    """A file of one record, in row 2."""
    given = {"Species": "D. × grandis", "Grid Ref": "TL613834", "Date": "14/06/2024", **cells}
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADINGS)
        writer.writerow([given.get(heading, "") for heading in HEADINGS])
    return path


def told(path: Path, **cells: str) -> str:
    """The text on one record, on one line."""
    return " ".join(str(cp.explain(record(path / "r.csv", **cells), 2)).split())


def test_the_sections_come_in_the_order_of_the_reasoning(tmp_path: Path) -> None:
    text = str(cp.explain(record(tmp_path / "r.csv", Leaves="ringed", Stem="solid"), 2))
    titles = [line for line in text.splitlines() if line in ORDER]
    assert titles == ORDER


def test_characters_come_from_the_bottom_of_the_plant_upward(tmp_path: Path) -> None:
    text = told(tmp_path, Lip="deeply three-lobed", Stem="hollow", Leaves="spotted")
    assert text.index("Leaf markings: ") < text.index("Stem: ") < text.index("Lip: ")


def test_the_exact_words_are_told_and_where_they_stand(tmp_path: Path) -> None:
    text = told(tmp_path, Leaves="heavily spotted", Comments="stem with a good cavity, lip pink")
    assert "(“heavily spotted” in the column Leaves)" in text
    assert "cavity” in the remarks)" in text


# What a botanist would be told, by what is stated; the source of the botany stands beside each.
SAID = [
    # Leaves of the southern marsh-orchid unmarked, var. junialis ringed: Wikipedia, English and
    # Dutch (D. praetermissa). One variety's ring marks with a hollow stem are shared: practice.
    (
        {"Leaves": "ring spots", "Stem": "hollow", "Photo": "a.jpg"},
        ["only now and then in D. incarnata, D. praetermissa", "what is stated cannot decide"],
    ),
    # 13 % of common spotted-orchids unmarked, in the Burren 43 %: Bateman & Denholm 1989.
    (
        {"Species": "D. fuchsii", "Leaves": "unmarked", "Stem": "solid"},
        ["only now and then in D. fuchsii", "The name goes out unchanged"],
    ),
    # Common practice, no published source.
    (
        {"Leaves": "spotted", "Stem": "solid", "Photo": "a.jpg"},
        [
            "Stem: solid, against the claim.",
            "Stem: solid (“solid” in the column Stem). Usual in D. fuchsii, D. maculata",
            "not known in D. incarnata, D. praetermissa",
            "and all that is still possible",
        ],
    ),
    # Marks fade late (Wikipedia, Dutch: var. junialis), so faint ones count neither way.
    (
        {"Leaves": "faintly spotted", "Stem": "hollow", "Photo": "a.jpg"},
        ["faint, and so not counted", "it rules nothing in or out"],
    ),
    (
        {"Leaves": "spotted", "Stem": "hollow", "Photo": "a.jpg", "Comments": "leaves unmarked"},
        ["Column and remarks disagree; neither wins"],
    ),
    ({"Leaves": "spotted", "Stem": "hollow"}, ["No photo reference is given.", "give a photo"]),
    (
        {"Leaves": "spotted", "Stem": "hollow", "Photo": "a.jpg"},
        ["The claim holds, as Dactylorhiza × grandis.", "Nothing that the claim needs."],
    ),
    # Leaf and stem cannot part two spotted-orchids: common practice, no published source.
    (
        {"Species": "D. × transiens", "Leaves": "spotted", "Stem": "solid", "Photo": "a.jpg"},
        ["It is never upheld from these alone: leaf and stem are alike in both parents"],
    ),
    # A southern marsh-orchid with solid spots: English and Dutch Wikipedia know rings at most.
    (
        {"Species": "D. praetermissa", "Leaves": "solid spots", "Stem": "hollow"},
        ["The name is contested", "fits Dactylorhiza × grandis", "no claim of a hybrid"],
    ),
    ({"Species": "Carex flacca"}, ["No rulebook covers this plant, so nothing is asked of it."]),
    ({"Species": "orchid"}, ["No single taxon can be read from it", "What to do: mend"]),
    (
        {"Species": "D. fuchsii x Gymnadenia conopsea"},
        ["Read as × Dactylodenia", "What would mend it: name both parents"],
    ),
]


@pytest.mark.parametrize(("cells", "expected"), SAID)
def test_what_is_told(cells: dict[str, str], expected: list[str], tmp_path: Path) -> None:
    text = told(tmp_path, **cells)
    for words in expected:
        assert words in text


def test_a_guess_never_shouts(tmp_path: Path) -> None:
    text = told(tmp_path, Leaves="transverse bars", Stem="hollow", Photo="a.jpg")
    assert "at least 10 times as likely in D. × grandis" not in text  # fuchsii is barred too
    text = told(tmp_path, Leaves="ring spots", Stem="partly hollow", Photo="a.jpg")
    assert "at least 10 times as likely in D. × grandis as in D. praetermissa" in text
    assert "1.00" not in text
    assert "0.00" not in text


def test_the_setting_is_named(tmp_path: Path) -> None:
    path = record(tmp_path / "r.csv", Species="D. praetermissa", Leaves="unmarked", Stem="hollow")
    meadow, fen = str(cp.explain(path, 2)), str(cp.explain(path, 2, options=Options(setting="fen")))
    # Common practice, no published source (meadow); expert guesses, from memory (fen).
    assert "the setting lowland: D. praetermissa 0.98" in meadow
    assert "the setting fen: D. praetermissa 0.49, D. incarnata 0.44" in fen


def test_the_next_observation_is_the_one_that_tells_most(tmp_path: Path) -> None:
    with_leaf = cp.explain(record(tmp_path / "r.csv", Leaves="ring spots"), 2)
    assert with_leaf.account is not None
    assert with_leaf.next is not None
    assert with_leaf.next.bits == max(gain.bits for gain in with_leaf.account.gains)
    assert with_leaf.next.bits <= with_leaf.account.open_bits
    assert "leaf" not in {gain.character for gain in with_leaf.account.gains}
    # Faint marks settle nothing, so the leaf is worth another look.
    faint = cp.explain(record(tmp_path / "f.csv", Leaves="faint spots", Stem="hollow"), 2)
    assert faint.account is not None
    assert "leaf" in {gain.character for gain in faint.account.gains}


def test_groups_without_shares_are_explained_too(tmp_path: Path) -> None:
    text = told(tmp_path, Species="Quercus × rosacea", Comments="leaf stalk 12 mm")
    assert "Read as Quercus × rosacea, the cross of" in text
    assert "The rulebook has no shares of taxa" in text


def test_it_gives_the_verdict_that_vet_gives() -> None:
    path = DEMO / "fen_records.csv"
    vetter = Vetter(Options())
    expected = {}
    for batch in vetter.batches([path]):
        expected |= dict(zip(batch.judged.numbers, batch.judged.verdicts, strict=True))
    for row in sorted(expected)[::9]:
        assert cp.explain(path, row).verdict == expected[row], row


@pytest.mark.parametrize("name", ["fen_records.csv", "meadow_survey.xlsx", "old_cards.csv"])
def test_every_record_of_the_demonstration_can_be_explained(name: str) -> None:
    from crossproof.explaining import _explained, _only

    vetter = Vetter(Options())
    for chunk in vetter.chunks(DEMO / name):
        for row in list(chunk.numbers):
            text = str(_explained(vetter, _only(chunk, row), row))
            assert "The determination" in text
            assert all(len(line) <= 100 for line in text.splitlines()[1:])


def test_a_broken_row_says_why(tmp_path: Path) -> None:
    path = tmp_path / "b.csv"
    path.write_text("Species,Date,Place\nD. fuchsii,2024,Fen\nD. fuchsii,2024\n", encoding="utf-8")
    assert "the row has 2 cells, the heading 3" in str(cp.explain(path, 3)).lower()


MISTAKES = [
    ("fen_records.csv", 1, "", "fen_records.csv has no record in row 1; give the number that"),
    ("fen_records.csv", 9999, "", "has no record in row 9999"),
    ("meadow_survey.xlsx", 5, "", "has a row 5 in each of 2024, 2025; say which with --sheet"),
    ("meadow_survey.xlsx", 5, "2031", "has no sheet '2031' that was judged; it has 2024, 2025"),
]


@pytest.mark.parametrize(("name", "row", "sheet", "message"), MISTAKES)
def test_a_row_that_is_not_there(
    name: str, row: int, sheet: str, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(cp.RowError) as error:
        cp.explain(DEMO / name, row, sheet)
    assert message in str(error.value)
    assert (
        main(["explain", str(DEMO / name), str(row), *(["--sheet", sheet] if sheet else [])]) == 2
    )
    assert message in capsys.readouterr().err


def test_the_command_prints_the_text(capsys: pytest.CaptureFixture[str]) -> None:
    path = DEMO / "meadow_survey.xlsx"
    assert main(["explain", str(path), "5", "--sheet", "2024", "--setting", "fen"]) == 0
    printed = capsys.readouterr().out
    assert printed == f"{cp.explain(path, 5, '2024', Options(setting='fen'))}\n"
    assert printed.startswith("meadow_survey.xlsx, 2024, row 5: “")


def test_parents_near_by_are_told_of(tmp_path: Path) -> None:
    path = record(tmp_path / "r.csv", Leaves="spotted", Stem="hollow", Photo="a.jpg")
    text = str(cp.explain(path, 2, options=Options(parents_near_km=2.0)))
    assert "Neither parent was found near by" in text
