"""Numbers that tell which identifiers are equal."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.arrow import Unlike
from crossproof.audit.identity import identifiers

some_ids = st.lists(st.text(max_size=12) | st.text("ab", min_size=120, max_size=140), max_size=20)


@given(some_ids)
def test_equal_identifiers_have_equal_numbers_and_others_have_others(ids: list[str]) -> None:
    numbers = identifiers(ids).tolist()
    assert len(set(zip(ids, numbers, strict=True))) == len(set(ids)) == len(set(numbers))
    assert all((number == 0) == (text == "") for text, number in zip(ids, numbers, strict=True))


@given(some_ids)
def test_the_number_does_not_depend_on_the_column_it_stands_in(ids: list[str]) -> None:
    alone = [identifiers([text]).item() for text in ids]
    assert identifiers(ids).tolist() == alone
    pa = pytest.importorskip("pyarrow")
    assert identifiers(Unlike(pa.array(ids, pa.string()))).tolist() == alone
