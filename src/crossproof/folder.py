"""An output folder that is either absent or whole."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

MARK = "summary.json"  # every output folder of ours holds one


class FolderRefused(Exception):
    """The output folder cannot be used; the message says why and what to do."""


@contextmanager
def whole_folder(target: Path) -> Iterator[Path]:
    """Give a folder to write in, and put it in the place of `target` once all is written.

    Whatever happens before that, `target` stays as it was: absent, or an earlier output. The
    folder lies beside its target, so that putting it there is one rename.

    Raises:
        FolderRefused: `target` exists and is not an output folder of ours, or can't be made.
    """
    _check(target)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        draft = Path(tempfile.mkdtemp(prefix=f".{target.name}.", dir=target.parent))
    except OSError as error:
        raise FolderRefused(f"{target} cannot be made: {error.strerror}") from error
    try:
        draft.chmod(0o755)
        yield draft
        _replace(draft, target)
    finally:
        shutil.rmtree(draft, ignore_errors=True)


def _check(target: Path) -> None:
    if not target.exists():
        return
    if not target.is_dir():
        raise FolderRefused(f"{target} is a file; name a folder for the output with --out")
    if any(target.iterdir()) and not (target / MARK).is_file():
        raise FolderRefused(
            f"{target} exists and was not written by crossproof, so it is left alone; "
            "name another folder with --out"
        )


def _replace(draft: Path, target: Path) -> None:
    """Two renames: killed between them, the target is absent, never half of one."""
    if not target.exists():
        draft.rename(target)
        return
    old = Path(tempfile.mkdtemp(prefix=f".{target.name}.old.", dir=target.parent))
    target.rename(old / "was")
    draft.rename(target)
    shutil.rmtree(old, ignore_errors=True)
