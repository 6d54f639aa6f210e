"""`crossproof audit`: hold an old archive of any size to its evidence."""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof.cli import judging, keeping
from crossproof.cli.edge import DONE, Refused, refusals

if TYPE_CHECKING:
    from crossproof.audit.run import Progress, Settings, Tell, Work

_SCORE = "score"


def add(commands: Any) -> None:
    """Add the command to the parser."""
    audit = commands.add_parser(
        "audit",
        help="judge an old archive of any size: changes, figures, report",
        epilog="crossproof audit score DIR JUDGED.csv holds a sample that a person has judged "
        "against the audit in DIR",
    )
    audit.add_argument(
        "archive",
        nargs="+",
        type=Path,
        help="CSV, TSV, XLSX, XLS, ODS, Parquet, a folder of these, or a Darwin Core archive",
    )
    audit.add_argument("--out", type=Path, metavar="DIR", help="the folder to write")
    judging.add(audit)
    keeping.add(audit)
    audit.add_argument(
        "--precision",
        type=float,
        default=0.05,
        metavar="SHARE",
        help="how near a share estimated from the sample must come to the truth (0.05)",
    )
    audit.add_argument(
        "--seed", type=int, default=1, metavar="N", help="the seed of the sample (1)"
    )
    audit.add_argument(
        "--verdicts",
        choices=("parquet", "csv"),
        default="",
        help="the form of the verdicts; Parquet where pyarrow is installed",
    )
    audit.add_argument(
        "--workers", type=int, default=0, metavar="N", help="share the work over N processes here"
    )
    audit.add_argument(
        "--scheduler",
        default="",
        metavar="ADDRESS",
        help="share the work over the workers of a Dask scheduler, such as tcp://host:8786; "
        "all of them must see the archive and the output folder under the same names",
    )
    audit.add_argument("--json", action="store_true", help="print the summary as JSON")
    audit.set_defaults(run=_audit)


def _audit(chosen: argparse.Namespace) -> int:
    if str(chosen.archive[0]) == _SCORE:
        return _score(chosen)
    if chosen.out is None:
        raise Refused("say where to write with --out DIR")
    options = replace(judging.options(chosen), **keeping.options(chosen), lenient=True)
    with refusals(), _progress() as tell:
        from crossproof.audit.run import audit_to

        with _work(chosen) as work:
            settings = _settings(chosen)
            summary = audit_to(chosen.archive, chosen.out, options, settings, work=work, tell=tell)
    if chosen.json:
        print(json.dumps(summary, ensure_ascii=False, indent=1))
    else:
        from crossproof.audit.terminal import summary_lines

        print("\n".join(summary_lines(summary, chosen.out)))
    return DONE


@contextmanager
def _work(chosen: argparse.Namespace) -> Iterator[Work]:
    """How the blocks are done: in this process, or on a scheduler."""
    if chosen.workers < 0:
        raise Refused(f"--workers {chosen.workers} is no number of processes")
    if not chosen.workers and not chosen.scheduler:
        from crossproof.audit.run import here

        yield here
        return
    from crossproof.scale import cluster

    with cluster(workers=chosen.workers, scheduler=chosen.scheduler) as work:
        yield work


def _settings(chosen: argparse.Namespace) -> Settings:
    from crossproof.audit.run import Settings

    if not 0.005 <= chosen.precision <= 0.5:
        raise Refused(f"--precision {chosen.precision:g} is out of reach; give 0.005 to 0.5")
    return Settings(precision=chosen.precision, seed=chosen.seed, form=chosen.verdicts)


def _score(chosen: argparse.Namespace) -> int:
    if len(chosen.archive) != 3:
        raise Refused("crossproof audit score needs the audit's folder and the judged sample")
    from crossproof.audit.scoring import ScoreRefused, score
    from crossproof.audit.terminal import score_lines

    try:
        found = score(*chosen.archive[1:])
    except ScoreRefused as refused:
        raise Refused(str(refused)) from None
    if chosen.json:
        print(json.dumps(found, ensure_ascii=False, indent=1))
    else:
        print("\n".join(score_lines(found)))
    return DONE


@contextmanager
def _progress() -> Iterator[Tell]:
    """Rows, rows per second and the time left, on a terminal; nothing in a pipe."""
    if not sys.stderr.isatty():
        yield lambda progress: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bar

    columns = (
        TextColumn("auditing"),
        BarColumn(),
        TextColumn("{task.fields[rows]:,} rows, {task.fields[speed]:,.0f} a second"),
        TimeElapsedColumn(),
        TextColumn("{task.fields[left]}"),
    )
    begun = time.monotonic()
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=None, rows=0, speed=0.0, left="")

        def tell(progress: Progress) -> None:
            taken = time.monotonic() - begun
            bar.update(
                task,
                total=progress.total or None,
                completed=progress.bytes,
                rows=progress.rows,
                speed=progress.rows / max(taken, 0.001),
                left=_left(progress, taken),
            )

        yield tell


def _left(progress: Progress, taken: float) -> str:
    if not progress.total or not progress.bytes:
        return ""
    seconds = round(taken * max(progress.total - progress.bytes, 0) / progress.bytes)
    return f"about {seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02} left"
