"""Write the output folder anew, with the rulings in it."""

from __future__ import annotations

import json
import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from crossproof.closing import close_folder
from crossproof.desk.index import NAME as INDEX
from crossproof.folder import whole_folder
from crossproof.rulebooks.model import Rulebook
from crossproof.rulings.keeping import keep_rulings
from crossproof.rulings.ledger import NAME as LEDGER
from crossproof.rulings.ledger import Ledger


def export(folder: Path, target: Path, rulebooks: Sequence[Rulebook]) -> dict[str, Any]:
    """Write an output folder again under `target`, as `vet --rulings` would; return its summary.

    Raises:
        FolderRefused: `target` cannot be used; nothing is written.
        OutputError, LedgerError: the folder or its ledger cannot be used; nothing is written.
    """
    with whole_folder(target, inputs=[folder]) as draft:
        left = shutil.ignore_patterns(f"{LEDGER}*", f"{INDEX}*", "dwca.zip")
        shutil.copytree(folder, draft, dirs_exist_ok=True, ignore=left)
        summary = json.loads((draft / "summary.json").read_text(encoding="utf-8"))
        entries = Ledger(folder / LEDGER).entries()
        told = close_folder(
            draft,
            summary,
            rulebooks,
            entries,
            validated=bool(summary["checks"].get("tables_validated")),
        )
    keep_rulings(target, entries)
    return told
