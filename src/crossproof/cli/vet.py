"""`crossproof vet`: judge a submission."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof.cli import judging, keeping
from crossproof.cli.edge import DONE, STRICT, day, progress, refusals

if TYPE_CHECKING:
    from crossproof.options import Options


def add(commands: Any) -> None:
    """Add the command to the parser."""
    vet = commands.add_parser("vet", help="judge a submission, write its Darwin Core and a report")
    vet.add_argument(
        "submission",
        nargs="+",
        type=Path,
        help="CSV, TSV, XLSX, XLS, ODS, Parquet or a Darwin Core archive",
    )
    vet.add_argument("--out", required=True, type=Path, metavar="DIR", help="the folder to write")
    judging.add(vet)
    keeping.add(vet)
    vet.add_argument(
        "--metadata",
        type=Path,
        metavar="FILE.toml",
        help="title, contacts and licence of the data set",
    )
    vet.add_argument(
        "--rulings",
        action="append",
        default=[],
        type=Path,
        metavar="LEDGER|CSV",
        help="decisions that outrank the verdicts; the ledger in --out's folder if not given",
    )
    vet.add_argument(
        "--since",
        type=Path,
        metavar="EARLIER",
        help="an earlier output (or its dwca): take its rulings along, tell what is new, changed "
        "and withdrawn since, and write that alone to delta/",
    )
    vet.add_argument(
        "--date",
        default="",
        metavar="YYYY-MM-DD",
        help="the day of issue, for determinations and metadata",
    )
    vet.add_argument(
        "--occurrence-status",
        choices=("present", "detected"),
        help="one word for occurrenceStatus in both outputs",
    )
    vet.add_argument(
        "--no-quality",
        action="store_true",
        help="leave out the data-quality tests of what is exported",
    )
    vet.add_argument(
        "--check",
        action="store_true",
        help="hold the tables written against their schemas, whatever their size",
    )
    vet.add_argument(
        "--strict",
        action="store_true",
        help="exit 1 if anything was lowered, contested or returned",
    )
    vet.add_argument(
        "--rows",
        action="store_true",
        help="say row by row what to add before uploading, for a recorder's own sheet",
    )
    vet.add_argument("--json", action="store_true", help="print the summary as JSON")
    vet.set_defaults(run=_vet)


def _vet(chosen: argparse.Namespace) -> int:
    options = _options(chosen)
    code = run_vet(chosen.submission, chosen.out, options, chosen.json, chosen.strict)
    if chosen.rows and not chosen.json:
        _print_rows(chosen.out, options)
    return code


def _print_rows(out: Path, options: Options) -> None:
    from crossproof.kit.advice import advice
    from crossproof.rulebooks.check import load_checked
    from crossproof.rulebooks.load import shipped

    own = {book.id: book for book in map(load_checked, options.rulebooks)}
    books = {book.id: book for book in shipped()} | own
    with refusals():
        print("\n".join(("", *advice(out, [*books.values()]))))


def _options(chosen: argparse.Namespace) -> Options:
    word = chosen.occurrence_status
    return replace(
        judging.options(chosen),
        metadata=chosen.metadata,
        rulings=tuple(chosen.rulings),
        issued=day(chosen.date),
        since=chosen.since,
        status_words=(word, word) if word else ("present", "detected"),
        quality=not chosen.no_quality,
        validate="always" if chosen.check else "auto",
        **keeping.options(chosen),
    )


def run_vet(paths: Sequence[Path], out: Path, options: Options, as_json: bool, strict: bool) -> int:
    """Vet a submission into a folder, and print its summary."""
    with refusals(), progress("vetting") as advance:
        from crossproof.pipeline import vet_to

        summary = vet_to(paths, out, options, advance)
    if as_json:
        print(json.dumps(summary, ensure_ascii=False, indent=2))
    else:
        from crossproof.report.terminal import summary_lines

        print("\n".join(summary_lines(summary, out)))
    doubtful = sum(summary["outcomes"][o] for o in ("lowered", "contested", "returned"))
    return STRICT if strict and doubtful else DONE
