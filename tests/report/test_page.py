"""The page says of every record what it rests on, in the order of the reasoning."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crossproof.findings import catalogue, finding
from crossproof.model import Evidence, Photo, Point
from crossproof.report.page import MOST_RECORDS
from crossproof.report.wording import latin, reason_words
from crossproof.rulebooks.load import shipped_rulebook

from .builder import (
    CONTESTED,
    LEAF,
    LIP,
    LOWERED,
    RETURNED,
    STEM,
    UPHELD,
    Row,
    read,
    texts,
    written,
)

MIXED = [Row(), Row(CONTESTED), Row(UPHELD), Row(RETURNED), Row(evidence=(LEAF, STEM))]
GROUP = "//article[contains(concat(' ', @class, ' '), ' group ')]"


def test_lowered_contested_and_returned_records_are_listed_and_no_others(tmp_path: Path) -> None:
    page = read(written(tmp_path, MIXED))
    listed = {e.get("data-outcome"): texts(e, ".//tbody/tr/td[1]") for e in page.xpath(GROUP)}
    assert {"lowered", "contested", "returned"} == set(listed)
    assert sorted(texts(page, f"{GROUP}//tbody/tr/td[1]")) == ["r1", "r2", "r4", "r5"]


def test_evidence_stands_from_the_ground_up(tmp_path: Path) -> None:
    """The order of the reasoning (design): leaf, stem, flower, photo, however it was given."""
    points = (
        Point("flower", "note", "lip: between"),
        Point("photo", "fits", "a photo reference is given"),
        Point("stem", "against", "stem: solid, against the claim"),
        Point("leaf", "note", "leaf markings: ring spots"),
    )
    row = Row(replace(LOWERED, points=points), evidence=(LIP, STEM, LEAF), photo="stated")
    (plant,) = read(written(tmp_path, [row])).xpath("//ol[@class='plant']")
    assert [text.split(":")[0].split(" ")[0] for text in texts(plant, "./li")] == [
        "leaf",
        "stem",
        "lip",
        "a",
    ]
    assert "fits" in plant.xpath("./li")[-1].get("class")


def test_a_record_shows_state_exact_words_and_where_they_were_read(tmp_path: Path) -> None:
    row = Row(evidence=(LEAF, STEM), photos=(Photo(reference="IMG_0042.jpg"),))
    (plant,) = texts(read(written(tmp_path, [row])), "//ol[@class='plant']")
    assert "leaf markings: ring spots" in plant
    assert "“lvs w. rings” remark" in plant
    assert "“gives a little” column Stems" in plant
    assert "IMG_0042.jpg" in plant


def test_a_slip_says_why_where_to_and_what_would_restore_the_claim(tmp_path: Path) -> None:
    (slip,) = texts(read(written(tmp_path, [Row()])), "//dl[@class='slip']")
    for words in (
        "Exported as Dactylorhiza qualifier cf. × grandis genus",
        "stem: needed, but not recorded stem_missing",
        "dated outside its flowering months (6, 7)",
        "What would restore the claim state the stem; give a photo reference",
    ):
        assert words in slip


def test_what_speaks_against_a_claim_is_not_said_to_be_mended_by_what_is_missing(
    tmp_path: Path,
) -> None:
    verdict = replace(LOWERED, reasons=("stem_against", "photo_missing"))
    (remedy,) = texts(read(written(tmp_path, [Row(verdict)])), "//*[@class='remedy']")
    assert remedy.startswith("What is still missing")
    assert "would stand" in remedy


@pytest.mark.parametrize(
    ("other", "groups"),
    [
        (Row(words="grandis, surely", date="2020-06-01"), 1),
        (Row(evidence=(replace(LEAF, words="ringed"),)), 1),
        (Row(evidence=(replace(LEAF, state="solid_spots"),)), 2),
        (Row(evidence=(replace(LEAF, weight="faint"),)), 2),
        (Row(replace(LOWERED, reasons=("stem_missing",))), 2),
        (Row(photo="denied"), 2),
    ],
)
def test_records_of_one_reasoning_are_one_group(tmp_path: Path, other: Row, groups: int) -> None:
    page = read(written(tmp_path, [Row(), other]))
    assert len(page.xpath(GROUP)) == groups
    assert len(page.xpath(f"{GROUP}//tbody/tr")) == 2


def test_words_that_all_share_stand_once_and_others_with_their_record(tmp_path: Path) -> None:
    rows = [Row(evidence=(LEAF, STEM)), Row(evidence=(LEAF, replace(STEM, words="soft-ish")))]
    page = read(written(tmp_path, rows))
    (plant,), cells = texts(page, "//ol[@class='plant']"), texts(page, f"{GROUP}//tbody/tr/td[5]")
    assert "lvs w. rings" in plant
    assert "gives a little" not in plant
    assert ["gives a little" in cell for cell in cells] == [True, False]
    assert not any("lvs w. rings" in cell for cell in cells)


def test_broken_rows_are_listed_once_though_they_have_no_verdict(tmp_path: Path) -> None:
    broken = finding("row_broken", "4 cells, the heading has 12", file="records.csv", row=42)
    page = read(written(tmp_path, [Row()], [broken, broken]))
    (group,) = page.xpath(f"{GROUP}[@data-outcome='returned']")
    assert texts(group, ".//tbody/tr/th") == ["42"]
    assert "4 cells, the heading has 12" in texts(group, ".//tbody/tr")[0]


def test_a_returned_row_says_what_its_findings_say(tmp_path: Path) -> None:
    told = finding(
        "date_unreadable", "no such day", file="records.csv", row=2, column="Date", value="31.2.19"
    )
    page = read(written(tmp_path, [Row(RETURNED)], [told]))
    assert "Date: no such day (“31.2.19”)" in texts(page, f"{GROUP}//tbody/tr")[0]


def test_figures_are_those_of_the_summary(tmp_path: Path) -> None:
    page = read(written(tmp_path, MIXED))
    table = "//table[caption[starts-with(normalize-space(), '{}')]]/tbody/tr/td[2]"
    assert texts(page, table.format("Rows by outcome")) == ["1", "2", "1", "0", "1"]
    assert texts(page, table.format("Hybrids claimed")) == ["5"]
    assert "leaf markings: against the claim leaf_against" in texts(page, "//table//th[@scope]")
    (strip,) = page.xpath("//*[@class='strip']/@aria-label")
    assert "upheld 20.0 %, lowered 40.0 %" in strip


def test_findings_come_by_code_with_title_why_and_remedy(tmp_path: Path) -> None:
    found = [
        finding("date_assumed", file="records.csv", row=row, column="Date", value=f"{row}/6/19")
        for row in range(2, 9)
    ]
    found.append(finding("name_missing", file="records.csv", row=9, column="Species"))
    shown = texts(read(written(tmp_path, [Row()], found)), "//article[starts-with(@class,'find')]")
    entry = catalogue()["date_assumed"]
    assert entry.title in shown[1] and entry.why in shown[1] and entry.remedy in shown[1]
    assert "7 times" in shown[1] and "2/6/19" in shown[1] and "and 4 more" in shown[1]
    assert catalogue()["name_missing"].title in shown[0], "errors come first"


@pytest.mark.parametrize("code", ["contact_in_remark", "place_disagrees", "photo_place_disagrees"])
def test_values_that_give_away_a_place_or_a_person_are_not_repeated(
    tmp_path: Path, code: str
) -> None:
    found = finding(code, "secret lies 7 m off", file="records.csv", row=2, value="secret")
    assert b"secret" not in written(tmp_path, [Row(RETURNED)], [found])


def test_any_finding_in_a_column_of_places_keeps_its_value_back(tmp_path: Path) -> None:
    found = finding("text_repaired", file="records.csv", row=2, column="locality", value="secret")
    assert b"secret" not in written(tmp_path, [Row(RETURNED)], [found])


def test_of_a_place_only_locality_and_reference_are_shown(tmp_path: Path) -> None:
    hidden = ("decimalLatitude", "decimalLongitude", "footprintWKT", "verbatimLatitude", "habitat")
    where = {"locality": "Osier Fen", "verbatimCoordinates": "SU 12 45"} | dict.fromkeys(
        hidden, "secret"
    )
    page = written(tmp_path, [Row(where=where)])
    assert b"secret" not in page
    assert texts(read(page), f"{GROUP}//tbody/tr/td[3]") == ["Osier Fen SU 12 45"]


def test_cautions_come_before_the_figures(tmp_path: Path) -> None:
    text = " ".join(read(written(tmp_path, MIXED)).text_content().split())
    before = text[: text.index("Rows by outcome")]
    for caution in (
        "Touch gently",
        "Keep off the plants around",
        "landowner's leave",
        "Do not publish the exact place",
        "Wildlife and Countryside Act 1981",
        "A verdict is advice; a determiner decides.",
    ):
        assert caution in before


def test_beyond_the_limit_the_page_says_how_many_more_there_are(tmp_path: Path) -> None:
    rows = [Row()] * (MOST_RECORDS + 1200) + [Row(CONTESTED)] * 3
    page = read(written(tmp_path, rows, chunk=2000))
    assert len(page.xpath(f"{GROUP}//tbody/tr")) == MOST_RECORDS
    (more,) = texts(page, "//p[@class='more']")
    assert "1,200 more lowered and 3 more contested" in more
    assert "verdicts.csv" in more


def test_an_empty_submission_has_a_page(tmp_path: Path) -> None:
    assert "No record was lowered" in read(written(tmp_path, [])).text_content()


ROWS = st.builds(
    Row,
    verdict=st.sampled_from([LOWERED, CONTESTED, RETURNED, UPHELD]),
    words=st.text(max_size=8),
    evidence=st.lists(
        st.builds(
            Evidence,
            st.sampled_from(["leaf", "stem", "flower", "odd"]),
            st.sampled_from(["solid", "17-21"]),
            st.sampled_from(["column", "remark", "photo", "measurement"]),
            st.text(max_size=8),
        ),
        max_size=3,
    ).map(tuple),
    recorder=st.text(max_size=8),
)


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(rows=st.lists(ROWS, max_size=6), chunk=st.integers(1, 6))
def test_any_rows_make_the_same_page_twice_in_whatever_chunks(
    tmp_path: Path, rows: list[Row], chunk: int
) -> None:
    whole = written(tmp_path, rows)
    assert written(tmp_path, rows) == whole
    assert written(tmp_path, rows, chunk=chunk) == whole
    listed = sum(row.verdict is not UPHELD for row in rows)
    assert len(read(whole).xpath(f"{GROUP}//tbody/tr")) == listed


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Dactylorhiza × grandis", "<i>Dactylorhiza</i> × <i>grandis</i>"),
        ("maculata agg., cf. × transiens", "<i>maculata</i> agg., cf. × <i>transiens</i>"),
        ("D. majalis subsp. a<b", "<i>D.</i> <i>majalis</i> subsp. <i>a&lt;b</i>"),
        ("", ""),
    ],
)
def test_latin_stands_in_italics_and_the_rest_upright(name: str, expected: str) -> None:
    assert str(latin(name)) == expected


@pytest.mark.parametrize(
    ("reason", "expected"),
    [
        ("leaf_missing", "leaf markings: needed, but not recorded"),
        ("flower_against", "lip: against the claim"),
        ("petals_missing", "petals: needed, but not recorded"),
        ("parents_missing", "parents near by: needed, but not stated"),
        ("something_new", "something new"),
    ],
)
def test_reasons_are_said_in_words(reason: str, expected: str) -> None:
    assert reason_words(reason, [shipped_rulebook("dactylorhiza")]) == expected
