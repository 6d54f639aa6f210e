"""The story of an audit: cut the archive into blocks, judge each, put the parts together."""

from __future__ import annotations

import gc
import json
import os
import shutil
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from crossproof import __version__, arrow
from crossproof.audit import counting, drawing, duplicates
from crossproof.audit.counting import STRATA, Counts
from crossproof.audit.facts import Auditor
from crossproof.audit.page import write_page
from crossproof.audit.parts import Part, Plan, finished, write_part
from crossproof.audit.sampling import LEAST, Lowest, size_for
from crossproof.audit.summary import figures, outcomes
from crossproof.audit.tables import CHANGES, VERDICTS
from crossproof.audit.work import work_folder
from crossproof.folder import whole_folder
from crossproof.model import Table
from crossproof.options import Options
from crossproof.protection import renamer
from crossproof.read import Unreadable
from crossproof.read.blocks import Block, blocks, files_of
from crossproof.report.sheets import Returned, ReturnedSheet
from crossproof.rulebooks.model import Rulebook

BLOCK_BYTES = 16 << 20
BLOCK_ROWS = 110_000


@dataclass(frozen=True, slots=True)
class Settings:
    """How an audit is to be done, beside how records are judged.

    `precision` is that of a share estimated from the sample, half the width of its interval; `seed`
    that of the sample; `form` that of the verdicts, '' for Parquet where pyarrow is installed.
    """

    precision: float = 0.05
    seed: int = 1
    form: str = ""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a run is: rows judged, and bytes read of all that there are (0: not known)."""

    rows: int
    bytes: int
    total: int


Tell = Callable[[Progress], None]
Task = tuple[Block, Path]
Work = Callable[[Iterable[Task], Auditor, Plan], Iterator[tuple[Part, int]]]


def here(tasks: Iterable[Task], auditor: Auditor, plan: Plan) -> Iterator[tuple[Part, int]]:
    """Do all tasks in this process, one after the other; give each part and its size in bytes."""
    lowest = Lowest(plan.most)
    for block, folder in tasks:
        part = finished(folder) or write_part(block, folder, auditor, plan, lowest.below)
        lowest.add(part.lots)
        yield part, block.size


def audit_to(
    paths: Sequence[Path],
    out: Path,
    options: Options | None = None,
    settings: Settings | None = None,
    *,
    work: Work = here,
    tell: Tell = lambda progress: None,
) -> dict[str, Any]:
    """Audit an archive into the folder `out`, and return its summary.

    A run that was stopped goes on from its last finished part when it is started again.

    Raises:
        read.Unreadable: the archive cannot be read.
        RulebookError, OptionError: an option cannot be followed.
        FolderRefused: `out` cannot be used.
    """
    options, settings = options or Options(), settings or Settings()
    plan = _plan(settings)
    inputs = [*paths, *options.rulebooks, *options.parents_lists]
    with without_pauses():
        auditor = Auditor(options)
        rulebooks = auditor.vetter.rulebooks
        with whole_folder(out, inputs=inputs) as draft:
            for path in paths:
                if not path.exists():
                    raise Unreadable(f"There is no file {path}; check its name and folder.")
            folder = work_folder(out, paths, options, plan, rulebooks, BLOCK_BYTES)
            auditor.vetter.survey(paths)
            parts, counts = _judge(paths, folder, auditor, plan, work, tell)
            arrow.give_back()  # what the blocks took: the last steps need it
            again = duplicates.find(parts)
            for less in duplicates.uncounted(parts, again):
                counting.take_away(counts, less)
            summary = _write(draft, parts, counts, again, rulebooks, options, settings, plan)
    shutil.rmtree(folder, ignore_errors=True)
    return summary


def _plan(settings: Settings) -> Plan:
    form = settings.form or ("parquet" if find_spec("pyarrow") else "csv")
    # No stratum can need more; some are spared for duplicates, which are not judged.
    most = size_for(settings.precision, 10**12) + 2 * LEAST
    return Plan(form, settings.seed, most)


@contextmanager
def without_pauses() -> Iterator[None]:
    """Millions of small values come and go, none in a cycle: looking for cycles costs a third."""
    was = gc.isenabled()
    gc.disable()
    try:
        with arrow.frugal():
            yield
    finally:
        if was:
            gc.enable()


def _judge(
    paths: Sequence[Path], folder: Path, auditor: Auditor, plan: Plan, work: Work, tell: Tell
) -> tuple[list[Part], Counts]:
    total = sum(f.stat().st_size for p in paths for f, _ in files_of(p) if f.is_file())
    parts: list[Part] = []
    counts = counting.empty()
    rows = size = 0
    for part, taken in work(_tasks(paths, folder, auditor), auditor, plan):
        counting.add(counts, part.counts)
        parts.append(replace(part, counts=counting.empty(), lots={}))  # memory stays flat
        rows, size = rows + part.rows, size + taken
        tell(Progress(rows, size, total if size else 0))
    return sorted(parts, key=lambda part: part.name), counts


def _tasks(paths: Sequence[Path], folder: Path, auditor: Auditor) -> Iterator[Task]:
    number = 0
    for path in paths:
        cut = blocks(
            path,
            mapping=auditor.options.mapping,
            extra_headings=auditor.vetter.headings,
            size=BLOCK_BYTES,
            rows=BLOCK_ROWS,
        )
        for block in cut:
            yield block, folder / f"part-{number:06}"
            number += 1


def _write(
    draft: Path,
    parts: Sequence[Part],
    counts: Counts,
    again: duplicates.Duplicates,
    rulebooks: Sequence[Rulebook],
    options: Options,
    settings: Settings,
    plan: Plan,
) -> dict[str, Any]:
    tables = _tables(parts)
    returned = _write_returned(parts, tables, draft / "returned.csv")
    changes = _join(parts, draft / "changes.csv")
    _put_verdicts(parts, draft, plan.form)
    duplicates.write(parts, again, draft / "duplicates.csv")
    population = {name: counts["strata"][(name,)] for name in STRATA}
    sample = drawing.draw(parts, again, population, settings.precision)
    drawing.write(sample, tables, draft, renamer(options))
    rows = sum(table["rows"] for table in tables)
    summary = {
        "crossproof": __version__,
        "kind": "audit",
        "needs": "strict" if options.strict_needs else "default",
        "rulebooks": [
            {"id": book.id, "version": book.version, "issued": book.issued} for book in rulebooks
        ],
        "archive": tables,
        "rows": rows,
        "duplicates": len(again),
        "outcomes": outcomes(counts),
        "changes": changes,
        "returned": returned,
        "figures": figures(counts, rulebooks),
        "sample": {
            "records": len(sample),
            "precision": settings.precision,
            "seed": settings.seed,
            "population": population,
        },
    }
    text = json.dumps(summary, ensure_ascii=False, indent=1) + "\n"
    (draft / "summary.json").write_text(text, encoding="utf-8")
    arrow.give_back()
    write_page(draft / "report.html", draft / "changes.csv", summary, rulebooks)
    return summary


def _tables(parts: Sequence[Part]) -> list[dict[str, Any]]:
    """The tables read, and how many rows of each."""
    tables: dict[tuple[str, str], dict[str, Any]] = {}
    for part in parts:
        for told in part.tables:
            known = tables.setdefault((told["file"], told["sheet"]), {**told, "rows": 0})
            known["rows"] += told["rows"]
    return [*tables.values()]


def _write_returned(parts: Sequence[Part], tables: Sequence[dict[str, Any]], path: Path) -> int:
    """The rows that could not be judged, verbatim, with why."""
    with ReturnedSheet(path) as sheet:
        for part in parts:
            for told in part.unread():
                table = Table(told["file"], told["sheet"], (), 0, {})
                row = Returned(table, told["row"], told["cells"], told["reason"], told["problem"])
                sheet.add([row])
    return sheet.rows


def _join(parts: Sequence[Part], path: Path) -> int:
    """Put the tables of changes together; how many changes there are."""
    rows = 0
    with path.open("wb") as whole:
        whole.write((",".join(CHANGES) + "\r\n").encode())
        for part in parts:
            with (part.folder / "changes.csv").open("rb") as piece:
                piece.readline()
                shutil.copyfileobj(piece, whole, 1 << 20)
            rows += part.changes
    return rows


def _put_verdicts(parts: Sequence[Part], draft: Path, form: str) -> None:
    """One CSV file, or a folder of Parquet files, one for each part."""
    if form == "csv":
        with (draft / VERDICTS[form]).open("wb") as whole:
            for i, part in enumerate(parts):
                with (part.folder / VERDICTS[form]).open("rb") as piece:
                    if i:
                        piece.readline()
                    shutil.copyfileobj(piece, whole, 1 << 20)
        return
    home = draft / VERDICTS[form]
    home.mkdir()
    for part in parts:
        source, target = part.folder / VERDICTS[form], home / f"{part.name}.parquet"
        try:
            os.link(source, target)  # the same file twice: nothing is copied
        except OSError:
            shutil.copyfile(source, target)
