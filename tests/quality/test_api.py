"""What is promised of the public names, and of the page made from the declarations."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from crossproof import quality
from crossproof.quality import docs
from crossproof.quality.vocabulary import names, vocabulary

ROOT = Path(__file__).resolve().parents[2]
DAY = "8d787cb5-73e2-4c39-9cd1-67c7361dc02e"


def test_a_test_goes_by_its_guid_and_by_its_label() -> None:
    record = {"dwc:day": "31", "dwc:month": "4"}
    by_label = quality.run("VALIDATION_DAY_INRANGE", record)
    assert quality.run(DAY, record) == by_label
    assert (by_label.status, by_label.result) == ("RUN_HAS_RESULT", "NOT_COMPLIANT")
    with pytest.raises(KeyError, match="VALIDATION_DAY_IN_RANGE"):
        quality.run("VALIDATION_DAY_IN_RANGE", record)


def test_a_term_may_be_missing_none_or_not_a_number() -> None:
    for record in ({}, {"dwc:year": None}, {"dwc:year": float("nan")}):
        assert quality.run("VALIDATION_YEAR_NOTEMPTY", record).result == "NOT_COMPLIANT"
    assert quality.run("VALIDATION_YEAR_NOTEMPTY", {"dwc:year": 1999}).result == "COMPLIANT"


def test_every_test_is_listed_with_what_it_reads() -> None:
    tests = quality.tests()
    assert len({each.guid for each in tests}) == 110
    assert sum(each.offline for each in tests) == 90
    for each in tests:
        assert each.kind in ("VALIDATION", "ISSUE", "AMENDMENT", "MEASURE")
        assert each.dimension and each.criterion and each.question.endswith("?")
        assert each.label.startswith(each.kind)


def test_the_measures_count_the_other_tests_of_the_record() -> None:
    record = {"dwc:month": "X", "dwc:eventDate": "2021"}
    counted = {
        what: int(quality.run(f"MEASURE_VALIDATIONTESTS_{what}", record).result)
        for what in ("COMPLIANT", "NOTCOMPLIANT", "PREREQUISITESNOTMET")
    }
    validations = [each for each in quality.tests() if each.kind == "VALIDATION"]
    said = [quality.run(each.guid, record) for each in validations]
    assert sum(counted.values()) == len(validations)
    assert counted["COMPLIANT"] == sum(each.result == "COMPLIANT" for each in said)
    # The month, year from the date, the datum and the status, each proposed by one amendment.
    assert quality.run("MEASURE_AMENDMENTS_PROPOSED", record).result == "4"


def test_each_vocabulary_leads_from_its_synonyms_to_its_values() -> None:
    for name in names():
        known = vocabulary(name)
        assert set(known.meanings.values()) == known.values
        assert all(known.match(value) == value for value in known.values)


def test_importing_the_package_imports_nothing_heavy() -> None:
    heavy = "{'pandas', 'numpy', 'pyproj', 'pycountry', 'jinja2', 'pyarrow'}"
    code = f"import sys, crossproof.quality as q; q.tests(); print({heavy} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


def test_the_reference_page_is_the_one_the_declarations_make() -> None:
    page = (ROOT / "docs" / "reference" / "quality-tests.md").read_text(encoding="utf-8")
    assert page == docs.reference(), "run python -m crossproof.quality.docs"
    assert all(each.label in page and each.guid in page for each in quality.tests())
