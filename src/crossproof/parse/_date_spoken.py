"""Dates in the order people say them: day, month and year, months, seasons, ranges of each."""

from __future__ import annotations

import re
from datetime import date

from crossproof.parse._date_ranges import Ranges
from crossproof.parse._date_values import Moment, Part, interval, settle
from crossproof.parse._date_words import Tokens
from crossproof.parse.date_error import DateError

_DECADE = re.compile(
    r"(?:in )?(?:the )?(?:early |mid[ -]?|late )?(?:(\d{3}0)|'?([2-9]0))'?(?:i?e)?s"
)
_CENTURY = re.compile(r".*\bcent(?:ury|\.)?.*|c\d{2}(?:th)?", re.DOTALL)


def read_decade(text: str, today: date, notes: list[str]) -> str | None:
    """`1980s` as 1980/1989; None where the text, in lower case, is no decade.

    Raises:
        DateError: `century`, `future`, `implausible`.
    """
    if _CENTURY.fullmatch(text):
        raise DateError("century", f"{text!r} is a century, no date")
    if not (match := _DECADE.fullmatch(text)):
        return None
    start = settle(Part(match[1] or match[2]), today, notes)
    last = min(start.year + 9, today.year)
    notes.append(f"the decade was read as {start.year} to {last}")
    return interval(start, Moment(last))


def read_spoken(text: str, tokens: Tokens, today: date, notes: list[str]) -> str:
    """Read tokens as one date or a range.

    Raises:
        DateError: with the most telling code.
    """
    if not tokens.items:
        raise DateError("unreadable", f"no date can be read in {text!r}")
    reader = Ranges(text, today, notes)
    reader.refuse_alternatives(tokens)
    joined = any(set(gap) & {"~", "&"} for gap in tokens.gaps)
    if not joined:
        found = reader.season(tokens)
        if found is None and (part := reader.single(tokens)):
            found = reader.day(part, tokens)
        if found:
            return found
    return reader.range(tokens)
