"""The environment that every page is made in: all escaped, nothing undefined let pass."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from crossproof.report.wording import latin

if TYPE_CHECKING:
    from jinja2 import Environment


def environment(*folders: Path) -> Environment:
    """A new environment over template folders, with the filters `latin` and `figure`."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader(folders),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["latin"] = latin
    made.filters["figure"] = lambda number: f"{number:,.0f}"
    return made
