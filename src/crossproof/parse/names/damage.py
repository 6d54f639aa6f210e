"""The damaged forms of a multiplication sign: misread in a code page, or written as an escape."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from crossproof.parse.names import words

CROSS = "×"


class _Table(NamedTuple):
    starts: re.Pattern[str]  # the first character of any form
    forms: frozenset[str]
    lengths: tuple[int, ...]  # of the forms, the longest first


def restored(text: str) -> str:
    """Return `text` with × for every damaged form; escapes first, then the longest form."""
    table = _table()
    done: list[str] = []
    end = 0
    for match in table.starts.finditer(text):
        start = match.start()
        if start >= end and (length := _length_at(text, start, table)):
            done += (text[end:start], CROSS)
            end = start + length
    return "".join((*done, text[end:])) if done else text


def _length_at(text: str, start: int, table: _Table) -> int:
    for escape in words.ESCAPES:
        if text.startswith(escape, start):
            return len(escape)
    for length in table.lengths:
        if text[start : start + length] in table.forms:
            return length
    return 0


@cache
def _table() -> _Table:
    """Built at the first name that is not plain ASCII, and not at import: it takes some time."""
    forms = damaged() | {"Ã�"}
    firsts = {form[0] for form in (*forms, *words.ESCAPES)}
    starts = re.compile("[" + "".join(map(re.escape, sorted(firsts))) + "]")
    return _Table(starts, forms, tuple(sorted({len(form) for form in forms}, reverse=True)))


def damaged() -> frozenset[str]:
    """Every form a multiplication sign takes that was misread up to three times.

    Control characters may be lost on the way, and the whole put into lower case. The sign may also
    have become the replacement character U+FFFD before.
    """
    tables = [_misreadings(page) for page in words.CODE_PAGES]
    every: set[str] = set()
    for sign in (CROSS, "\ufffd"):
        forms = {sign}
        for _ in range(3):
            forms = {_misread(form, table) for form in forms for table in tables}
            every |= forms
    bare = {"".join(filter(str.isprintable, form)) for form in every}
    return frozenset(form for form in every | {f.lower() for f in every} | bare if len(form) > 1)


def _misreadings(page: str) -> list[str]:
    """The character that each byte becomes in a code page; bytes it lacks stand for themselves."""
    return [bytes([byte]).decode(page, errors="ignore") or chr(byte) for byte in range(256)]


def _misread(text: str, table: list[str]) -> str:
    """`text` in UTF-8, read in a code page."""
    return "".join([table[byte] for byte in text.encode("utf-8")])
