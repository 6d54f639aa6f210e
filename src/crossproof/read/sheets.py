"""Open a spreadsheet in a process of its own, and hand its cells over.

A damaged or hostile workbook can make any reader ask for memory without end (two cells in opposite
corners of a sheet are enough). That must not take the run down, so the reading is done by this
file run as a script, under a limit; what it finds comes back through a pipe. It imports nothing of
crossproof.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import IO, Any

MEMORY = 4 * 2**30  # bytes of address space
SECONDS = 900  # of processor time
_BLOCK = 500  # rows handed over at a time

Cells = list[Any]


class Damaged(Exception):
    """The workbook can't be read; the text is what the reader said, empty where it died."""


class Locked(Exception):
    """The workbook needs a password."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet with cells: its name, whether it shows, where its first cell stands (from 0)."""

    name: str
    visible: bool
    first_row: int
    first_column: int


def sheets(path: Path) -> Iterator[tuple[Sheet, Iterator[Cells]]]:
    """Each sheet that has cells, with its rows from row 1, from its first used column on.

    A sheet's rows must be used up, or given up, before the next sheet is asked for.

    Raises:
        Damaged, Locked: the workbook can't be read.
    """
    command = [sys.executable, "-P", __file__, str(path)]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=environment
    ) as child:
        try:
            assert child.stdout is not None
            message = _next(child.stdout)
            while message is not None:
                left = _Left()
                yield message, _rows(child.stdout, left)
                message = left.message if left.ended else _skip(child.stdout)
        finally:
            child.kill()


class _Left:
    """What came after a sheet's last row."""

    ended = False
    message: Sheet | None = None


def _rows(pipe: IO[bytes], left: _Left) -> Iterator[Cells]:
    while isinstance(message := _next(pipe), list):
        yield from message
    left.ended, left.message = True, message


def _skip(pipe: IO[bytes]) -> Sheet | None:
    left = _Left()
    for _ in _rows(pipe, left):
        pass
    return left.message


def _next(pipe: IO[bytes]) -> Any:
    try:
        message = pickle.load(pipe)  # written by this file, run by the same interpreter
    except (EOFError, pickle.UnpicklingError):
        raise Damaged from None
    match message:
        case "locked", _:
            raise Locked
        case "damaged", words:
            raise Damaged(words)
        case "sheet", *about:
            return Sheet(*about)
    return message


def _limit() -> None:
    try:
        import resource
    except ImportError:  # not a POSIX system: no limit, but still a process of its own
        return
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _hand_over(path: str, pipe: IO[bytes]) -> None:
    """Write each sheet to `pipe`: what it is, then blocks of its rows; at the end None."""
    from python_calamine import (
        CalamineError,
        CalamineWorkbook,
        PasswordError,
        SheetTypeEnum,
        SheetVisibleEnum,
    )

    def tell(message: object) -> None:
        pickle.dump(message, pipe, protocol=pickle.HIGHEST_PROTOCOL)

    try:
        book = CalamineWorkbook.from_path(path)
        for meta in book.sheets_metadata:
            if meta.typ != SheetTypeEnum.WorkSheet:
                continue
            sheet = book.get_sheet_by_name(meta.name)
            if sheet.start is None:
                continue
            tell(("sheet", meta.name, meta.visible == SheetVisibleEnum.Visible, *sheet.start))
            rows = iter(sheet.iter_rows())
            while block := list(islice(rows, _BLOCK)):
                tell(block)
        tell(None)
    except PasswordError:
        tell(("locked", ""))
    except (CalamineError, OSError, ValueError) as error:
        tell(("locked" if "password" in str(error).casefold() else "damaged", str(error)))


if __name__ == "__main__":
    _limit()
    _hand_over(sys.argv[1], sys.stdout.buffer)
