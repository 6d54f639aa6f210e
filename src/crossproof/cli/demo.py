"""`crossproof demo`: all of it, on the data that ships."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from crossproof.cli.vet import run_vet


def add(commands: Any) -> None:
    """Add the command to the parser."""
    demo = commands.add_parser("demo", help="all of it, on the data that ships")
    demo.add_argument("--out", type=Path, default=Path("crossproof-demo"), metavar="DIR")
    demo.add_argument("--json", action="store_true", help="print the summary as JSON")
    demo.set_defaults(run=_demo)


def _demo(chosen: argparse.Namespace) -> int:
    from crossproof.demo import options, submission

    return run_vet(submission(), chosen.out, options(), chosen.json, strict=False)
