"""The words of the page: reasons and names as people read them."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof.findings import Finding
from crossproof.rulebooks.model import Rulebook

if TYPE_CHECKING:
    from markupsafe import Markup

LONGEST = 300  # signs of one cell that the page shows; the tables beside it hold all of them


@cache
def words() -> Mapping[str, Any]:
    """The phrases of `page.toml` beside this module."""
    path = Path(__file__).with_name("page.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def clip(text: str) -> str:
    """The text, cut where it is longer than a page can show."""
    return text if len(text) <= LONGEST else text[: LONGEST - 1] + "…"


def reason_words(reason: str, rulebooks: Sequence[Rulebook]) -> str:
    """A reason code as a phrase; characters are called by their title in the first rulebook."""
    phrases: Mapping[str, str] = words()["reasons"]
    if reason in phrases:
        return phrases[reason]
    what, _, how = reason.rpartition("_")
    if how not in ("missing", "against") or not what:
        return reason.replace("_", " ")
    titles = (book.characters[what].title for book in rulebooks if what in book.characters)
    return phrases[how].format(title=next(titles, what.replace("_", " ")))


@lru_cache(maxsize=1024)
def latin(name: str) -> Markup:
    """A scientific name as safe HTML: Latin in italics, ×, ranks and qualifiers upright."""
    from markupsafe import Markup, escape

    upright_words = words()["latin"]["upright"]
    pieces = (
        escape(word) if word.rstrip(",") in upright_words else f"<i>{escape(word)}</i>"
        for word in name.split()
    )
    return Markup(" ".join(pieces))


def tells_too_much(finding: Finding, fields: Mapping[str, str]) -> bool:
    """Whether a finding's value may give away a place or a person.

    `fields` maps our field names to the headings of the finding's table.
    """
    withheld = words()["withheld"]
    headings = {fields.get(field, field) for field in withheld["fields"]}
    return finding.code.startswith(tuple(withheld["codes"])) or (
        finding.row > 0 and finding.column in headings
    )
