"""An output folder that is either absent or whole."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from glob import escape
from pathlib import Path

from crossproof.rulings.ledger import carried

try:
    import fcntl
except ImportError:  # Windows: what a killed run leaves behind is not tidied there
    fcntl = None  # type: ignore[assignment]

MARK = "summary.json"  # every output folder of ours holds one


class FolderRefused(Exception):
    """The output folder cannot be used; the message says why and what to do."""


@contextmanager
def whole_folder(target: Path, *, inputs: Sequence[Path] = ()) -> Iterator[Path]:
    """Give a folder to write in, and put it in the place of `target` once all is written.

    Whatever happens before that, `target` stays as it was: absent, or an earlier output. The
    folder lies in a hidden workshop beside its target, so that putting it there is one rename.
    What killed runs left of theirs is tidied first.

    Raises:
        FolderRefused: `target` exists and is not an output folder of ours, can't be made, holds
            one of the `inputs`, which replacing it would destroy, or lies in one.
    """
    given, target = target, target.resolve()
    missing = [parent for parent in target.parents if not parent.exists()]
    try:
        _check(target, given, inputs)
        with _workshop(target) as workshop:
            draft = workshop / "new"
            draft.mkdir()
            yield draft
            _replace(draft, target, aside=workshop / "was")
    finally:
        if not target.exists():
            with suppress(OSError):
                for parent in missing:
                    parent.rmdir()


def _check(target: Path, given: Path, inputs: Sequence[Path]) -> None:
    another = "name another folder with --out"
    if target.exists() and not target.is_dir():
        raise FolderRefused(f"{given} is a file; name a folder for the output with --out")
    for path in inputs:
        if path.resolve().is_relative_to(target):
            raise FolderRefused(f"{path} lies in {given}, which would be replaced; {another}")
        if target.is_relative_to(path.resolve()):
            raise FolderRefused(f"{given} lies in {path}, and would be read with it; {another}")
    try:
        is_foreign = target.exists() and any(target.iterdir()) and not (target / MARK).is_file()
    except OSError as error:
        raise FolderRefused(f"{given} can't be opened: {error.strerror}; {another}") from error
    if is_foreign:
        raise FolderRefused(
            f"{given} exists and was not written by crossproof, so it is left alone; {another}"
        )


def _replace(draft: Path, target: Path, aside: Path) -> None:
    """Two renames: killed between them, the target is absent, never half of one."""
    if not target.exists():
        draft.rename(target)
        return
    with carried(target, draft):  # people's rulings outlive the output they were made on
        target.rename(aside)
        try:
            draft.rename(target)
        except OSError:
            aside.rename(target)
            raise


@contextmanager
def _workshop(target: Path) -> Iterator[Path]:
    """A hidden folder beside `target`, locked for as long as this process lives."""
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        _tidy(target)
        path, lock = _make_workshop(target)
    except OSError as error:
        raise FolderRefused(f"{target} can't be made: {error.strerror}") from error
    try:
        yield path
    finally:
        shutil.rmtree(path, ignore_errors=True)
        if lock is not None:
            os.close(lock)


def _make_workshop(target: Path) -> tuple[Path, int | None]:
    while True:
        path = Path(tempfile.mkdtemp(prefix=_prefix(target), dir=target.parent))
        if fcntl is None:
            return path, None
        with suppress(FileNotFoundError):  # another run has tidied it away already
            lock = os.open(path, os.O_RDONLY)
            with suppress(OSError):  # some network drives have no locks
                fcntl.flock(lock, fcntl.LOCK_EX)
            if path.exists():
                return path, lock
            os.close(lock)


def _tidy(target: Path) -> None:
    """Remove the workshops of killed runs; put back an earlier output that one had set aside."""
    if fcntl is None:
        return
    for path in target.parent.glob(f"{escape(_prefix(target))}*"):
        with suppress(OSError):  # not ours, or in use, or no locks here: it is left alone
            lock = os.open(path, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
            try:
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
                if (path / "was").is_dir() and not target.exists():
                    (path / "was").rename(target)
                shutil.rmtree(path)
            finally:
                os.close(lock)


def _prefix(target: Path) -> str:
    return f".{target.name}.crossproof-"
