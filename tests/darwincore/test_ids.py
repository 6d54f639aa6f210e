"""Identifiers: version 5 UUIDs (RFC 9562), the same in every run."""

from __future__ import annotations

import uuid

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.darwincore.ids import NAMESPACE, RecordIds, record_id, uuid5


@given(st.text())
def test_as_the_standard_library_makes_them(name: str) -> None:
    """The standard library's uuid.uuid5 is the reference."""
    assert uuid5(name) == str(uuid.uuid5(NAMESPACE, name))


def test_the_namespace_is_made_as_it_says() -> None:
    assert uuid.uuid5(uuid.NAMESPACE_URL, "https://crossproof.invalid/records") == NAMESPACE


def test_an_identifier_never_changes() -> None:
    """Published identifiers hold for ever: this one must never be another."""
    content = ("D. x grandis", "SU 123 456", "2019-06-14")
    assert record_id(content) == "bd7ecb63-34fc-54df-8c70-04cf170633dd"


@pytest.mark.parametrize(
    ("one", "other"),
    [(("a", "bc"), ("ab", "c")), (("a",), ("a", "")), (("a", "b"), ("b", "a"))],
)
def test_what_differs_is_told_apart(one: tuple[str, ...], other: tuple[str, ...]) -> None:
    assert record_id(one) != record_id(other)


@given(st.lists(st.tuples(st.sampled_from("ab"), st.sampled_from("xy"))), st.integers(0, 20))
def test_every_record_has_its_own_however_chunked(rows: list[tuple[str, str]], cut: int) -> None:
    whole = RecordIds().assign(rows)
    assert len(set(whole)) == len(rows)
    chunked = RecordIds()
    assert chunked.assign(rows[:cut]) + chunked.assign(rows[cut:]) == whole


def test_given_identifiers_are_kept_and_not_handed_out_again() -> None:
    ids = RecordIds()
    assert ids.reserve(record_id(("a",)))
    assert not ids.reserve(record_id(("a",)))
    assert ids.assign([("a",)]) == [record_id(("a",), 2)]
