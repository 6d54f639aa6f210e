"""`crossproof conform`: hold an archive or a data package against its standard."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from crossproof.cli.edge import DONE, STRICT, Refused, refusals


def add(commands: Any) -> None:
    """Add the command to the parser."""
    conform = commands.add_parser(
        "conform", help="hold any archive or data package against its standard"
    )
    conform.add_argument("path", type=Path, help="an archive or a data package: folder or zip")
    conform.add_argument(
        "--strict", action="store_true", help="exit 1 if a rule of the standard is broken"
    )
    conform.set_defaults(run=_conform)


def _conform(chosen: argparse.Namespace) -> int:
    if not chosen.path.exists():
        raise Refused(f"there is no {chosen.path}; name a folder or a zip file")
    from crossproof.darwincore.conform import check

    with refusals():
        problems = check(chosen.path)
    for problem in problems:
        print(problem)
    if not problems:
        print(f"{chosen.path} keeps every rule that is checked")
    return STRICT if chosen.strict and problems else DONE
