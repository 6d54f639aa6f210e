"""Why a date could not be read, as a value with a reason, a code and a remedy."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any, Literal


@cache
def vocabulary() -> dict[str, Any]:
    """The months, words and codes of `dates.toml` beside this module."""
    text = Path(__file__).with_name("dates.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


class DateError(ValueError):
    """A written date that cannot be read.

    Attributes:
        reason: `invalid` or `ambiguous` (more than one date may be meant).
        code: finer, a key of `[codes]` in `dates.toml`: `empty`, `unreadable`, `impossible`,
            `implausible`, `future`, `no_year`, `reversed`, `relative` are invalid; `open_ended`,
            `alternatives`, `day_or_year`, `day_or_month`, `span_or_month`, `winter`, `short_year`,
            `this_year`, `month_unclear`, `wraps`, `century` are ambiguous.
        remedy: what would mend it.
    """

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        reason, remedy = vocabulary()["codes"][code]
        self.reason: Literal["invalid", "ambiguous"] = reason
        self.code = code
        self.remedy: str = remedy

    def __reduce__(self) -> tuple[type[DateError], tuple[str, str]]:
        # Errors travel between processes with the partitions of an archive.
        return (type(self), (self.code, str(self)))
