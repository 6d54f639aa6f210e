"""Damaged multiplication signs: the table of forms, and what is restored by it."""

from __future__ import annotations

import itertools
import re
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.parse.names import words
from crossproof.parse.names.damage import CROSS, damaged, restored


def misread(text: str, page: str) -> str:
    return "".join(
        bytes([byte]).decode(page, errors="ignore") or chr(byte) for byte in text.encode("utf-8")
    )


def every_form() -> set[str]:
    """The forms by their definition: each sequence of code pages, one after the other."""
    forms = set()
    for sign, depth in itertools.product((CROSS, "\ufffd"), (1, 2, 3)):
        for pages in itertools.product(words.CODE_PAGES, repeat=depth):
            form = sign
            for page in pages:
                form = misread(form, page)
            bare = "".join(c for c in form if c.isprintable())
            forms |= {f for f in (form, form.lower(), bare) if len(f) > 1}
    return forms


FORMS = every_form()
LONGEST_FIRST = sorted(FORMS, key=len, reverse=True)
PATTERN = re.compile("|".join(map(re.escape, [*words.ESCAPES, *LONGEST_FIRST, "Ã�"])))


def test_the_table_holds_every_form() -> None:
    assert damaged() == FORMS


@pytest.mark.parametrize("page", ["cp1252", "latin-1", "mac_roman", "cp437", "cp850", "cp1251"])
@pytest.mark.parametrize("times", [1, 2, 3])
def test_a_sign_misread_in_a_code_page_is_restored(page: str, times: int) -> None:
    sign = CROSS
    for _ in range(times):
        sign = misread(sign, page)
    assert restored(f"Dactylorhiza {sign} grandis") == "Dactylorhiza × grandis"


@given(st.lists(st.sampled_from([*LONGEST_FIRST, *words.ESCAPES, *"ÂÃâ× xa"]), max_size=6))
def test_escapes_first_then_the_longest(pieces: list[str]) -> None:
    text = "".join(pieces)
    assert restored(text) == PATTERN.sub(CROSS, text)


def test_the_table_is_not_built_at_import() -> None:
    code = (
        "from crossproof.parse.names import damage, fold\n"
        "fold.fold('Dactylorhiza x grandis')\n"
        "assert not damage._table.cache_info().currsize"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
