"""The report of an audit: one file that opens from disk, needs no network and can be printed."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from crossproof import arrow
from crossproof.audit.figures import draw
from crossproof.audit.tables import first_rows
from crossproof.audit.terminal import per_cent
from crossproof.model import Coded
from crossproof.report.templates import environment
from crossproof.report.wording import reason_words
from crossproof.rulebooks.model import Rulebook

MOST_CHANGES = (
    50_000  # listed; a page with more would not open in about a second; 16 bits tell them
)
MOST_ROWS = 2_000  # of one table of figures; summary.json holds all
_HOME = Path(__file__).parent
LISTED = (
    *("source_row", "occurrenceID", "before", "after", "qualifier", "reasons", "leaf", "stem"),
    *("photo", "rests_on", "year", "square", "recorder", "source_file"),
)


def write_page(
    path: Path, changes: Path, summary: Mapping[str, Any], rulebooks: Sequence[Rulebook]
) -> None:
    """Write `report.html` from a summary and the table of changes."""
    listed = _embedded(changes, rulebooks)
    arrow.give_back()  # to have it for the drawings
    pages = environment(_HOME)
    pages.filters["share"] = per_cent
    pages.filters["words"] = lambda reason: reason_words(reason, rulebooks)
    text = pages.get_template("page.html.jinja").render(
        summary=summary,
        figures=summary["figures"],
        drawn=draw(summary["figures"]),
        style=_asset("page.css"),
        script=_asset("page.js"),
        changes=listed,
        listed=min(summary["changes"], MOST_CHANGES),
        most=MOST_ROWS,
    )
    path.write_bytes(text.encode("utf-8", errors="replace"))


def _embedded(changes: Path, rulebooks: Sequence[Rulebook]) -> Any:
    """The first changes as JSON that can stand in a page.

    Each column is its distinct texts and, for each row, which: numbers of 16 bits in base64. Those
    whose texts hardly repeat are a text for each row.
    """
    from markupsafe import Markup

    columns = first_rows(changes, LISTED, MOST_CHANGES)
    told = columns["reasons"]
    assert isinstance(told, Coded)
    reasons = {reason for several in told.values for reason in several.split(";") if reason}
    data = {
        "columns": {
            name: [column.values, _base64(column)] if isinstance(column, Coded) else [column, None]
            for name, column in columns.items()
        },
        "reasons": {reason: reason_words(reason, rulebooks) for reason in sorted(reasons)},
    }
    text = json.dumps(data, separators=(",", ":"))  # in ASCII, which takes least memory
    # No text can end the element it stands in (HTML Living Standard, 4.12.1.3).
    return Markup(text.replace("<", "\\u003c"))


def _base64(column: Coded[str]) -> str:
    return base64.b64encode(column.codes.astype("<u2").tobytes()).decode("ascii")


def _asset(name: str) -> dict[str, Any]:
    """A file that stands in the page, and its hash for the content security policy.

    The hash is of what stands between the tags (W3C Content Security Policy Level 3, 2.3.1).
    """
    from markupsafe import Markup

    text = (_HOME / name).read_text(encoding="utf-8")
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return {"text": Markup(text), "hash": f"sha256-{base64.b64encode(digest).decode('ascii')}"}
