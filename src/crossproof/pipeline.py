"""The story of the job: read, parse, judge, write."""

from __future__ import annotations

import gc
import shutil
import tempfile
import weakref
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof.earlier import Earlier
from crossproof.folder import whole_folder
from crossproof.options import VALIDATED_ROWS, Options
from crossproof.spreadsheet import unguard
from crossproof.vetter import Vetter

if TYPE_CHECKING:
    import pandas as pd

Progress = Callable[[int], None]


def vet_to(
    paths: Sequence[Path], out: Path, options: Options, progress: Progress = lambda rows: None
) -> dict[str, Any]:
    """Vet a submission into the folder `out`, and return its summary.

    `progress` is told the number of rows of each chunk that is done.

    Raises:
        read.Unreadable: the submission cannot be read; nothing is written.
        RulebookError, MetadataError: a file of the options cannot be used; nothing is written.
        OptionError: an option cannot be followed; nothing is written.
        FolderRefused: `out` cannot be used; nothing is written.
        RulingError, LedgerError: the rulings cannot be used; nothing is written.
    """
    from crossproof.closing import close_folder
    from crossproof.outputs import VetOutput
    from crossproof.rulings.keeping import keep_rulings, together
    from crossproof.rulings.ledger import NAME as LEDGER
    from crossproof.rulings.sheet import load

    vetter = Vetter(options)
    earlier = _earlier(options, vetter, paths)
    read = [*paths, *options.rulebooks, *options.parents_lists]
    read += [path for path in (options.metadata, options.sensitive) if path]
    ruled = load(options.rulings or [p for p in (out / LEDGER,) if p.is_file()])
    ruled = together(ruled, earlier.rulings if earlier else ())
    with whole_folder(out, inputs=read) as draft, _seldom_collected():
        with VetOutput(draft, vetter, earlier) as output:
            for batch in vetter.batches(paths):
                output.write(batch)
                progress(len(batch.chunk) + len(batch.broken))
                del batch  # before the next is made: two at a time would take twice the memory
        summary = close_folder(
            draft,
            output.summary(),
            vetter.rulebooks,
            ruled or None,
            validated=_is_validated(output.rows, options),
            today=options.today,
        )
    keep_rulings(out, ruled)
    return summary


@contextmanager
def _seldom_collected() -> Iterator[None]:
    """Let Python look for cycles less often: values here are frozen and make none.

    It saves a seventh of the processor time of a large run, at the same peak memory.
    """
    thresholds = gc.get_threshold()
    gc.set_threshold(1_000_000, 20, 100)
    try:
        yield
    finally:
        gc.set_threshold(*thresholds)


def _earlier(options: Options, vetter: Vetter, paths: Sequence[Path]) -> Earlier | None:
    """The earlier output to compare with, told which of its records come again."""
    if options.since is None:
        return None
    earlier = Earlier(options.since)
    for identifiers in vetter.identifiers(paths):
        earlier.expect(identifiers)
    return earlier


def _is_validated(rows: int, options: Options) -> bool:
    """Whether what was written is held against its schemas: not if large, or not wanted."""
    return options.validate == "always" or (options.validate == "auto" and rows <= VALIDATED_ROWS)


class Vetting:
    """What came of a submission: frames to look at, a summary, and a way to write it all.

    The frames hold text only, with one column per column of the file of the same name.
    """

    def __init__(self, folder: Path, summary: dict[str, Any]) -> None:
        self.folder = folder
        self.summary = summary

    @cached_property
    def verdicts(self) -> pd.DataFrame:
        return _frame(self.folder / "verdicts.csv")

    @cached_property
    def occurrences(self) -> pd.DataFrame:
        return _frame(self.folder / "dwca" / "occurrence.csv")

    @cached_property
    def findings(self) -> pd.DataFrame:
        return _frame(self.folder / "findings.csv")

    @cached_property
    def returned(self) -> pd.DataFrame:
        return _frame(self.folder / "returned.csv")

    @cached_property
    def quality(self) -> pd.DataFrame:
        """A row for each data-quality test; not there if the tests were not run."""
        return _frame(self.folder / "quality.csv")

    def write(self, out: str | Path) -> None:
        """Write all outputs into a folder that does not exist yet, or is an earlier output."""
        with whole_folder(Path(out)) as draft:
            shutil.copytree(self.folder, draft, dirs_exist_ok=True)


def _frame(path: Path) -> pd.DataFrame:
    import pandas as pd

    frame = pd.read_csv(path, dtype=str, keep_default_na=False)
    # The tables for people are guarded against spreadsheet programs; a frame needs no guard.
    return frame.map(unguard) if path.parent.name != "dwca" else frame


def vet(*paths: str | Path, options: Options | None = None, **changes: Any) -> Vetting:
    """Vet one or more files of a submission.

    Options may be given one by one: `vet("records.csv", strict_needs=True)`.
    """
    chosen = replace(options or Options(), **changes)
    home = tempfile.mkdtemp(prefix="crossproof-")
    try:
        out = Path(home) / "out"
        vetting = Vetting(out, vet_to([Path(path) for path in paths], out, chosen))
    except BaseException:
        shutil.rmtree(home, ignore_errors=True)
        raise
    # The files last as long as the Vetting does.
    weakref.finalize(vetting, shutil.rmtree, home, ignore_errors=True)
    return vetting


def vet_frame(
    frame: pd.DataFrame, *, options: Options | None = None, vetter: Vetter | None = None
) -> pd.DataFrame:
    """Judge a frame of submitted rows: pandas in, pandas out, nothing read or written.

    Args:
        frame: one row per record, columns named by any heading that a file may have.
        options: how to judge; the default needs and all shipped rulebooks if not given.
        vetter: a vetter to use again, which remembers names and remarks already read.

    Returns:
        The columns of `verdicts.csv`, as text, with the frame's index.
    """
    import pandas as pd

    from crossproof.darwincore.ids import RecordIds
    from crossproof.read.frame import chunk_of
    from crossproof.report.sheets import verdict_blocks

    if vetter is None:
        vetter = Vetter(options or Options())
        vetter.survey(())  # the lists of other records, if the options name any
    chunk = chunk_of(frame, mapping=vetter.options.mapping, extra_headings=vetter.headings)
    vetter.learn(chunk)
    batch = vetter.vet(chunk, RecordIds())  # its own: the same frame gives the same again
    columns: dict[str, list[str]] = {}
    for block in verdict_blocks(batch.judged, batch.photo):
        rows = block.rows if block.codes is None else [block.rows[k] for k in block.codes.tolist()]
        for place, column in enumerate(block.columns):
            columns[column] = [row[place] for row in rows]
    return pd.DataFrame(columns, index=frame.index, dtype=str)
