"""`crossproof quality`: put the tests of the BDQ draft standard to every record."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

from crossproof.cli.edge import DONE, STRICT, Refused, day, mapping, progress, refusals


def add(commands: Any) -> None:
    """Add the command to the parser."""
    command = commands.add_parser(
        "quality", help="put the data-quality tests of the BDQ draft standard to every record"
    )
    command.add_argument(
        "records",
        nargs="+",
        type=Path,
        metavar="FILE",
        help="CSV, TSV, XLSX, XLS, ODS, Parquet or a Darwin Core archive",
    )
    command.add_argument(
        "--out", required=True, type=Path, metavar="DIR", help="the folder to write"
    )
    command.add_argument(
        "--apply",
        action="store_true",
        help="make the amendments in a copy of the table, and write each of them down",
    )
    command.add_argument(
        "--format",
        choices=("parquet", "csv"),
        help="how the long tables are written (Parquet where pyarrow is installed)",
    )
    command.add_argument(
        "--taxa",
        type=Path,
        metavar="FILE.csv",
        help="a list of taxa that names are looked up in, under Darwin Core headings",
    )
    command.add_argument(
        "--mapping", type=Path, metavar="FILE.toml", help="which heading holds which field"
    )
    command.add_argument(
        "--parameters",
        type=Path,
        metavar="FILE.toml",
        help="parameters of the tests: a table for each test, named by its label",
    )
    command.add_argument(
        "--date",
        default="",
        metavar="YYYY-MM-DD",
        help="the day that dates to come are told from (today)",
    )
    command.add_argument(
        "--strict", action="store_true", help="exit 1 if any record is NOT_COMPLIANT"
    )
    command.add_argument("--json", action="store_true", help="print the summary as JSON")
    command.set_defaults(run=_quality)


def _quality(chosen: argparse.Namespace) -> int:
    with refusals(), _refused(), progress("testing") as advance:
        from crossproof.quality_run import QualityOptions, check_to, load_parameters

        on = day(chosen.date)
        options = QualityOptions(
            mapping=mapping(chosen.mapping),
            apply=chosen.apply,
            form=chosen.format,
            taxa=chosen.taxa,
            parameters=load_parameters(chosen.parameters) if chosen.parameters else None,
            today=date.fromisoformat(on) if on else None,
            inputs=tuple(p for p in (chosen.mapping, chosen.parameters) if p),
        )
        summary = check_to(chosen.records, chosen.out, options, advance)
    if chosen.json:
        print(json.dumps(summary, ensure_ascii=False, indent=2))
    else:
        from crossproof.report.quality_lines import quality_lines

        print("\n".join(quality_lines(summary, chosen.out)))
    failed = any(test["counts"].get("NOT_COMPLIANT") for test in summary["tests"])
    return STRICT if chosen.strict and failed else DONE


@contextmanager
def _refused() -> Iterator[None]:
    """What the tests say when a list of taxa, a form of table or a parameter can't be used."""
    try:
        yield
    except KeyError as error:  # its text is the repr of the sentence
        raise Refused(str(error.args[0]) if error.args else str(error)) from None
    except ValueError as error:
        raise Refused(str(error)) from None
