"""The edge between a run and the person who started it: exit codes, refusals, progress."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

DONE, STRICT, UNUSABLE = 0, 1, 2


class Refused(Exception):
    """A run that cannot be done; the message is one sentence for the user."""


@contextmanager
def refusals() -> Iterator[None]:
    """Turn what makes a run impossible into one sentence for the user."""
    from crossproof.darwincore.metadata import MetadataError
    from crossproof.folder import FolderRefused
    from crossproof.options import OptionError
    from crossproof.read import Unreadable
    from crossproof.rulebooks.check import RulebookError
    from crossproof.rulings.ledger import LedgerError
    from crossproof.rulings.records import OutputError
    from crossproof.rulings.ruling import RulingError

    try:
        yield
    except (
        Unreadable,
        FolderRefused,
        MetadataError,
        RulebookError,
        OptionError,
        LedgerError,
        OutputError,
        RulingError,
    ) as error:
        raise Refused(str(error)) from None
    except OSError as error:
        # What can't be opened has a name; what can't be written to any further has none.
        what = f"{error.filename} can't be opened" if error.filename else "writing failed"
        raise Refused(f"{what}: {error.strerror}; nothing was left behind") from None


@contextmanager
def progress(title: str) -> Iterator[Callable[[int], None]]:
    """A progress line on a terminal; nothing in a pipe."""
    if not sys.stderr.isatty():
        yield lambda rows: None
        return
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    columns = (
        SpinnerColumn(),
        TextColumn("{task.description}"),
        TextColumn("{task.completed:,.0f} rows"),
        TimeElapsedColumn(),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(title, total=None)
        yield lambda rows: bar.advance(task, rows)


def day(text: str) -> str:
    """A day as ISO 8601 writes it, '' where none is given."""
    try:
        return date.fromisoformat(text).isoformat() if text else ""
    except ValueError:
        raise Refused(f"--date {text} is not a date; write it as 2026-06-14") from None


def existing_folder(path: Path | None) -> Path | None:
    """A folder that is there, None where none is given."""
    if path is not None and not path.is_dir():
        raise Refused(f"there is no folder {path}; give the folder that holds the photos")
    return path


def mapping(path: Path | None) -> dict[str, str] | None:
    """The column mapping of a file, None where none is given."""
    if path is None:
        return None
    from crossproof.read import load_mapping

    with refusals():
        return dict(load_mapping(path))
