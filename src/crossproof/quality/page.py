"""The report page: one self-contained HTML file, every value escaped."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from .registry import DATA

if TYPE_CHECKING:
    from .table import Outcome
    from .tally import Tally

_DIMENSIONS = ("Completeness", "Conformance", "Consistency", "Likeliness", "Reliability")


def write(outcome: Outcome, path: Path, *, source: str, today: date) -> None:
    """Write the page of an outcome to `path`, whole or not at all."""
    partial = path.with_name(path.name + ".part")
    text = render(outcome, source=source, today=today)
    # The name of a file may hold half a surrogate pair, which no encoding has a place for.
    partial.write_bytes(text.encode("utf-8", errors="replace"))
    partial.replace(path)


def render(outcome: Outcome, *, source: str, today: date) -> str:
    """Return the page: what needs a look first, then every test under its dimension."""
    from jinja2 import Environment, StrictUndefined

    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    template = environment.from_string((DATA / "quality.html.j2").read_text(encoding="utf-8"))
    by_kind = {
        kind: [tally for tally in outcome.tallies if tally.declaration.kind == kind]
        for kind in ("VALIDATION", "ISSUE", "AMENDMENT", "MEASURE")
    }
    after = {tally.declaration.guid: tally for tally in outcome.after}
    return template.render(
        source=source,
        today=today.isoformat(),
        records=outcome.records,
        failing=sorted(filter(_fails, by_kind["VALIDATION"]), key=lambda each: each.share or 0),
        dimensions={
            name: [each for each in by_kind["VALIDATION"] if each.declaration.dimension == name]
            for name in _DIMENSIONS
        },
        issues=by_kind["ISSUE"],
        proposing=sorted(
            filter(_proposed, by_kind["AMENDMENT"]), key=lambda each: -_proposed(each)
        ),
        silent=[each for each in by_kind["AMENDMENT"] if not _proposed(each)],
        measures=by_kind["MEASURE"],
        after=after,
    )


def _proposed(tally: Tally) -> int:
    return tally["AMENDED"] + tally["FILLED_IN"]


def _fails(tally: Tally) -> bool:
    return tally["NOT_COMPLIANT"] > 0
