"""`crossproof rulings`: take rulings out of a folder's ledger, and put others in."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from crossproof.cli.edge import DONE, Refused, refusals


def add(commands: Any) -> None:
    """Add the command to the parser."""
    rulings = commands.add_parser("rulings", help="rulings as a table: out of a ledger, or into it")
    what = rulings.add_subparsers(metavar="export|import", required=True)
    for name, told in (
        ("export", "write all rulings of a folder's ledger as CSV"),
        ("import", "take rulings of a CSV into a folder's ledger; known ones are passed over"),
    ):
        command = what.add_parser(name, help=told)
        command.add_argument("folder", type=Path, help="a folder that `crossproof vet --out` wrote")
        command.add_argument("file", type=Path, metavar="FILE.csv")
        command.set_defaults(run=_export if name == "export" else _import)


def _export(chosen: argparse.Namespace) -> int:
    with refusals():
        from crossproof.rulings.ledger import NAME, Ledger
        from crossproof.rulings.records import contents
        from crossproof.rulings.ruling import held, standing
        from crossproof.rulings.sheet import write_rulings

        entries = Ledger(chosen.folder / NAME).entries()
        states = {s.ruling.uid: s for s in held(standing(entries), contents(chosen.folder))}
        draft = chosen.file.with_name(f".{chosen.file.name}.part")
        try:
            write_rulings(draft, [states.get(entry.uid, entry) for entry in entries])
            draft.replace(chosen.file)
        finally:
            draft.unlink(missing_ok=True)
    print(f"{len(entries):,} entries written to {chosen.file}")
    return DONE


def _import(chosen: argparse.Namespace) -> int:
    with refusals():
        from dataclasses import replace

        from crossproof.rulings.ledger import NAME, Ledger
        from crossproof.rulings.records import contents
        from crossproof.rulings.sheet import read_rulings

        said = contents(chosen.folder)
        rulings = read_rulings(chosen.file)
        unknown = [r.record for r in rulings if not r.content and r.record not in said]
        if unknown:
            raise Refused(
                f"{chosen.file} rules on the record {unknown[0]}, which is not in {chosen.folder}; "
                "nothing was taken in"
            )
        # Rulings made by hand are about the record as it is now.
        rulings = [r if r.content else replace(r, content=said[r.record]) for r in rulings]
        new = Ledger(chosen.folder / NAME).merge(rulings)
    print(f"{new:,} of {len(rulings):,} entries were new")
    return DONE
