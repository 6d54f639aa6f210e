"""`crossproof explain`: one record's reasoning, bottom up."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from crossproof.cli import judging
from crossproof.cli.edge import DONE, Refused, refusals


def add(commands: Any) -> None:
    """Add the command to the parser."""
    explain = commands.add_parser("explain", help="one record's reasoning, from the bottom up")
    explain.add_argument("file", type=Path, help="the submission that the record stands in")
    explain.add_argument("row", type=int, help="the row's number, as a spreadsheet shows it")
    explain.add_argument("--sheet", default="", metavar="NAME", help="the sheet of a workbook")
    judging.add(explain)
    explain.set_defaults(run=_explain)


def _explain(chosen: argparse.Namespace) -> int:
    options = judging.options(chosen)
    with refusals():
        from crossproof.explaining import RowError, explain

        try:
            explanation = explain(chosen.file, chosen.row, chosen.sheet, options)
        except RowError as error:
            raise Refused(str(error)) from None
    print(explanation)
    return DONE
