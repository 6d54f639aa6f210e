"""The commands: arguments in, exit code out, no logic."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from io import TextIOWrapper

from crossproof import __version__
from crossproof.cli import (
    audit,
    conform,
    demo,
    desk,
    explain,
    form,
    letters,
    quality,
    rulebook,
    rulings,
    vet,
)
from crossproof.cli.edge import DONE, UNUSABLE, Refused

COMMANDS = (vet, audit, explain, form, letters, desk, rulings, rulebook, quality, conform, demo)

_STORY = """\
crossproof holds every hybrid claim in plant records to its evidence: which leaves, which stem,
which photo? Claims that hold are kept, claims that don't are lowered to the aggregate, and all
goes out as Darwin Core with the reasons on it.

Try it on the data that ships:      crossproof demo
Judge a submission:                 crossproof vet records.xlsx --out vetted
Decide on what was lowered:         crossproof desk vetted
See what a claim needs:             crossproof rulebook show dactylorhiza
"""
_EXITS = """\
exit codes: 0 done; 1 done, and --strict was given and something was lowered, contested or
returned; 2 the command or the input cannot be used
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command, and return its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):  # a terminal without × gets \xd7, not a traceback
            stream.reconfigure(errors="backslashreplace")
    parser = _parser()
    chosen = parser.parse_args(arguments)
    if not hasattr(chosen, "run"):
        parser.print_help()
        return DONE
    try:
        code: int = chosen.run(chosen)
        sys.stdout.flush()
    except BrokenPipeError:  # whoever read our output has read enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except Refused as refusal:
        print(f"crossproof: {refusal}", file=sys.stderr)
        return UNUSABLE
    except KeyboardInterrupt:
        print("crossproof: stopped; nothing was left half-written", file=sys.stderr)
        return UNUSABLE
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="crossproof",
        description=_STORY,
        epilog=_EXITS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"crossproof {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    for command in COMMANDS:
        command.add(commands)
    return parser
