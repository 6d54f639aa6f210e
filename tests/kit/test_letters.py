"""Letters: each recorder's own records and nobody else's, kindly, safely, the same every time."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from html.parser import HTMLParser
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

import crossproof
from crossproof.kit.correspondence import correspondence
from crossproof.kit.letters import words, write_letters
from crossproof.kit.originals import originals
from crossproof.kit.recorders import file_stem, key, recorders
from crossproof.kit.season import months_said, season
from crossproof.options import Options
from crossproof.rulebooks.load import shipped, shipped_rulebook
from crossproof.rulings.records import OutputError

HEADINGS = (
    *("species", "grid ref", "date", "site", "recorder", "leaves", "stem", "photo", "remarks"),
    "sensitive",
)
UPHELD = (
    "D. x grandis",
    "TL 611 821",
    "14/06/2024",
    "Alder End",
    "",
    "ring spots",
    "partly hollow",
    "a.jpg",
    "",
)
LACKING = ("D. x grandis", "TL 612 822", "15/06/2024", "Bream Fen", "", "spotted", "", "", "")
PLAIN = ("D. praetermissa", "TL 613 823", "16/06/2024", "Cuckoo Pits", "", "plain", "", "", "")
OTHER = ("D. x grandis", "TL 614 824", "17/06/2024", "Dotterel Moor", "", "plain", "", "", "")


def by(who: str, row: Sequence[str]) -> list[str]:
    return [*row[:4], who, *row[5:]]


def padded(row: Sequence[str]) -> list[str]:
    return [*row, *[""] * (len(HEADINGS) - len(row))]


@pytest.fixture
def write(tmp_path: Path):
    """Vets rows, writes the letters, and gives their texts by the name of the file."""

    def run(*rows: Sequence[str], sender: str = "", with_files: bool = False, **options: object):
        source = tmp_path / "rows.csv"
        with source.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([HEADINGS, *(padded(row) for row in rows)])
        out = tmp_path / "out"
        crossproof.vet(source, quality=False, **options).write(out)
        given = originals([source], Options()) if with_files else None
        letters = tmp_path / "letters"
        letters.mkdir()
        write_letters(letters, correspondence(out, given), shipped(), sender)
        return {path.name: path.read_text(encoding="utf-8") for path in letters.iterdir()}

    return run


def letter(files: dict[str, str], name: str, kind: str = "txt") -> str:
    return files[f"{file_stem(name)}.{kind}"]


def flat(text: str) -> str:
    return " ".join(text.split())


def test_what_a_letter_says(write) -> None:
    who = "Wren Aldershaw"
    text = flat(
        letter(write(*(by(who, r) for r in (UPHELD, LACKING, PLAIN)), sender="S. Crake"), who)
    )
    assert text.startswith("Dear Wren Aldershaw, Thank you for the 3 records you sent in.")
    assert "Upheld" in text
    assert "2024-06-14, Alder End, TL 611 821 (rows.csv, row 2)" in text
    assert "Dactylorhiza × grandis (kept as Dactylorhiza, cf. × grandis)" in text
    assert "stem not recorded; no photo to go back to" in text
    # In flower in June and July, as the rulebook has it.
    assert (
        "One look in June or July, while it is in flower, would settle it: state the stem;" in text
    )
    assert "Your other record stands as you wrote it." in text
    for caution in shipped_rulebook("dactylorhiza").cautions:
        assert caution in text
    assert shipped_rulebook("dactylorhiza").characters["stem"].look in text
    assert text.endswith("coming season, S. Crake")


def test_a_letter_holds_its_own_recorder_s_records_alone(write) -> None:
    files = write(
        by("Wren Aldershaw", UPHELD), by("Idris Quell", LACKING), by("Mab Thornley", OTHER)
    )
    own = {
        "Wren Aldershaw": "Alder End",
        "Idris Quell": "Bream Fen",
        "Mab Thornley": "Dotterel Moor",
    }
    for name in own:
        for kind in ("html", "txt"):
            text = letter(files, name, kind)
            for other, site in own.items():
                assert (other in text) == (other == name)
                assert site not in text or other == name
    assert len(files) == 2 * 3 + 2
    assert not any(re.search(r"TL|Fen|End|Moor", files[f]) for f in ("letters.csv", "summary.json"))


@pytest.mark.parametrize("with_files", [False, True])
def test_an_exact_sensitive_place_goes_to_its_own_recorder_alone(write, with_files: bool) -> None:
    files = write(
        [*by("Mab Thornley", OTHER), "10 km"], by("Idris Quell", LACKING), with_files=with_files
    )
    for name, text in files.items():
        is_own = name.startswith("mab-thornley")
        assert ("TL 614 824" in text) == (is_own and with_files), name
        assert ("exactly as they are published" in flat(text)) == (is_own and not with_files)


def test_several_recorders_each_get_the_letter(write) -> None:
    files = write(by("Wren Aldershaw & Idris Quell", UPHELD), by("idris  quell", LACKING))
    wren, idris = letter(files, "Wren Aldershaw"), letter(files, "Idris Quell")
    assert "Alder End" in wren
    assert "Bream Fen" not in wren
    assert "Alder End" in idris
    assert "Bream Fen" in idris
    assert flat(words()["joint"]) in flat(wren)


@pytest.mark.parametrize(
    ("cell", "people"),
    [
        ("A. Wren & B. Finch", ("A. Wren", "B. Finch")),
        ("Ann Wren & Bo Finch", ("Ann Wren", "Bo Finch")),
        ("Ann Wren; Bo Finch", ("Ann Wren", "Bo Finch")),
        ("Ann Wren | Bo Finch", ("Ann Wren", "Bo Finch")),
        ("Ann Wren and Bo Finch", ("Ann Wren", "Bo Finch")),
        ("Wren, Ann", ("Wren, Ann",)),
        ("Ann Wren; Ann Wren", ("Ann Wren",)),
        ("A. W.", ()),  # as `--recorders initials` publishes it: two people may share them
        ("J.-P. W.", ()),
        ("recorder-abcdefghij234567", ()),  # a pseudonym
        ("", ()),
        (" ; ", ()),
    ],
)
def test_who_is_named(cell: str, people: tuple[str, ...]) -> None:
    assert recorders(cell) == people


@pytest.mark.parametrize(
    "options", [{"recorders": "initials"}, {"recorders": "pseudonyms", "key": b"k" * 32}]
)
def test_names_kept_back_get_a_letter_from_the_files_alone(write, options) -> None:
    files = write(by("Wren Aldershaw", UPHELD), with_files=True, **options)
    assert "Alder End" in letter(files, "Wren Aldershaw")


@pytest.mark.parametrize(
    "options", [{"recorders": "initials"}, {"recorders": "pseudonyms", "key": b"k" * 32}]
)
def test_names_kept_back_stay_so(write, options) -> None:
    files = write(by("Wren Aldershaw", UPHELD), **options)
    assert {*files} == {"letters.csv", "summary.json"}
    assert '"nameless": 1' in files["summary.json"]


def test_returned_rows_come_back_with_what_mends_them(write) -> None:
    bad = ["D. x grandis", "TL 612 82", "2024-06-01", "", "Wren Aldershaw", "", "", "", ""]
    text = flat(letter(write(bad), "Wren Aldershaw"))
    assert "Back to you" in text
    assert "(rows.csv, row 2): grid ref:" in text
    assert "digits" in text


def test_against_the_claim_is_said_without_scolding(write) -> None:
    against = [
        "D. x grandis",
        "TL 612 822",
        "15/06/2024",
        "Fen",
        "Ann Wren",
        "plain",
        "hollow",
        "a.jpg",
        "",
    ]
    text = flat(letter(write(against), "Ann Wren"))
    assert "leaf markings as stated points away from the cross" in text
    assert "That is a good record as it stands" in text
    assert "would settle it:" not in text


SCOLDING = re.compile(
    r"\b(wrong(ly)?|fail\w*|error|incorrect|invalid|bad|poor|must|should have|reject\w*)\b", re.I
)


def test_the_words_do_not_scold() -> None:
    def texts(value: object) -> list[str]:
        if isinstance(value, dict):
            return [text for entry in value.values() for text in texts(entry)]
        return [str(value)]

    # "If you think it wrong" is said of the verdict, to the recorder.
    said = [text.replace("if you think it wrong", "") for text in texts(dict(words()))]
    assert [text for text in said if SCOLDING.search(text)] == []


def test_a_ruling_stands_first_and_a_question_is_asked(write, tmp_path: Path) -> None:
    table = tmp_path / "rulings.csv"
    rows = [by("Ann Wren", LACKING), by("Ann Wren", UPHELD)]
    frame = pd.DataFrame(map(padded, rows), columns=list(HEADINGS))
    ids = crossproof.vet_frame(frame)["occurrenceID"].tolist()
    with table.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(
            [
                ["record", "ruling", "name", "reason", "ruled_by", "ruled_on"],
                [
                    ids[0],
                    "uphold",
                    "Dactylorhiza × grandis",
                    "seen in the field",
                    "Mab Thornley",
                    "2024-07-01",
                ],
                [
                    ids[1],
                    "ask",
                    "",
                    "were there rings on all leaves?",
                    "Mab Thornley",
                    "2024-07-01",
                ],
            ]
        )
    text = flat(letter(write(*rows, rulings=(table,)), "Ann Wren"))
    assert "now Dactylorhiza × grandis: seen in the field (Mab Thornley, 2024-07-01" in text
    assert "were there rings on all leaves? (Mab Thornley" in text
    assert "no photo to go back to" not in text  # what was ruled on lacks nothing any more


# --- safe -----------------------------------------------------------------------------------------


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.seen: set[str] = set()

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.seen.add(tag)


def test_what_recorders_write_stays_text(write) -> None:
    evil = "<script>alert(1)</script><img src=x onerror=alert(1)>"
    row = [evil, "TL 612 822", "15/06/2024", evil, f"Ann {evil}", evil, evil, evil, evil]
    lowered = ["D. x grandis", *row[1:]]
    files = write(row, lowered, sender=evil)
    page = next(text for name, text in files.items() if name.endswith(".html"))
    tags = Tags()
    tags.feed(page)
    assert tags.seen.isdisjoint({"script", "img"})
    assert "&lt;script&gt;" in page


def test_cells_of_the_merge_table_run_nothing(write) -> None:
    files = write(by("=HYPERLINK(1) Wren", UPHELD))
    assert "'=HYPERLINK(1) Wren" in files["letters.csv"]


NAMES = st.one_of(
    st.text(max_size=80),
    st.sampled_from(["../../etc/passwd", "CON", "a/b\\c", "..", "\0", "Zoë O’Hara"]),
)


@given(NAMES)
def test_a_file_name_leads_nowhere_else(name: str) -> None:
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", file_stem(name))
    assert len(file_stem(name)) <= 80


@given(NAMES, NAMES)
def test_two_people_never_share_a_file(one: str, other: str) -> None:
    assert (file_stem(one) == file_stem(other)) == (key(one) == key(other))


def test_the_same_records_give_the_same_bytes(write, tmp_path: Path) -> None:
    rows = [by("Ann Wren; Bo Finch", LACKING), by("Bo Finch", UPHELD), by("Cy Teal", PLAIN)]
    first = write(*rows)
    (tmp_path / "letters").rename(tmp_path / "earlier")
    assert write(*rows) == first


def test_a_folder_that_is_no_output(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=r"summary\.json"):
        correspondence(tmp_path)


# --- when -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("months", "said"),
    [
        ({6}, "in June"),
        ({6, 7}, "in June or July"),
        ({5, 6, 7, 8}, "from May to August"),
        ({3, 5, 6, 7}, "in March or from May to July"),
    ],
)
def test_months(months: set[int], said: str) -> None:
    assert months_said(months, words()["season"]["months"]) == said


def test_what_shows_in_fruit_is_looked_for_in_fruit() -> None:
    campions = shipped_rulebook("silene")
    teeth = campions.characters["capsule_teeth"]
    said = season(campions.taxa["hampeana"], [teeth], words()["season"])
    assert said.endswith("again in fruit a few weeks later")
    assert season(None, [teeth], words()["season"]) == ""
