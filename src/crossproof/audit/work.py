"""The folder beside the output in which a run keeps its finished parts until it is done."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path

from crossproof import __version__
from crossproof.audit.parts import Plan
from crossproof.options import Options
from crossproof.read.blocks import files_of
from crossproof.rulebooks.model import Rulebook


def work_folder(
    out: Path,
    paths: Sequence[Path],
    options: Options,
    plan: Plan,
    rulebooks: Sequence[Rulebook],
    block_size: int,
) -> Path:
    """The folder of the parts of a run, which holds those that an interrupted run has finished.

    Parts of another run (other files, options, rulebooks, or another version) are thrown away.
    """
    target = out.resolve()
    folder = target.with_name(f".{target.name}.audit")
    mark = folder / "run.json"
    told = json.dumps(_told(paths, options, plan, rulebooks, block_size), indent=1)
    if not mark.is_file() or mark.read_text(encoding="utf-8") != told:
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
        mark.write_text(told, encoding="utf-8")
    return folder


def _told(
    paths: Sequence[Path],
    options: Options,
    plan: Plan,
    rulebooks: Sequence[Rulebook],
    block_size: int,
) -> dict[str, object]:
    own = {f.name: getattr(options, f.name) for f in fields(options) if f.name != "key"}
    return {
        "crossproof": __version__,
        "plan": [plan.form, plan.seed, plan.most, block_size],
        "options": {name: str(value) for name, value in own.items()},
        "key": hashlib.sha256(b"key" + options.key).hexdigest() if options.key else "",
        "rulebooks": [[book.id, book.version, book.issued] for book in rulebooks],
        "files": [
            [str(file.resolve()), file.stat().st_size, file.stat().st_mtime_ns]
            for given in (*paths, *options.rulebooks, *options.parents_lists)
            for path, _ in files_of(given)
            for file in (
                sorted(p for p in path.rglob("*") if p.is_file()) if path.is_dir() else [path]
            )
            if file.is_file()
        ],
    }
