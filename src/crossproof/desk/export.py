"""Write the archive and the package anew, with the rulings in them."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

from crossproof.checks import check_output, check_summary, write_descriptor
from crossproof.darwincore.zipped import zip_folder
from crossproof.desk.index import NAME as INDEX
from crossproof.folder import whole_folder
from crossproof.rulings.applying import apply_rulings
from crossproof.rulings.ledger import NAME as LEDGER
from crossproof.rulings.ledger import Ledger


def export(folder: Path, target: Path) -> dict[str, Any]:
    """Write an output folder again under `target`, as `vet --rulings` would; return its summary.

    Raises:
        FolderRefused: `target` cannot be used; nothing is written.
        OutputError, LedgerError: the folder or its ledger cannot be used; nothing is written.
    """
    with whole_folder(target, inputs=[folder]) as draft:
        left = shutil.ignore_patterns(f"{LEDGER}*", f"{INDEX}*", "dwca.zip")
        shutil.copytree(folder, draft, dirs_exist_ok=True, ignore=left)
        rulings = apply_rulings(draft, Ledger(folder / LEDGER).entries())
        write_descriptor(draft)
        zip_folder(draft / "dwca", draft / "dwca.zip")
        path = draft / "summary.json"
        summary: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        if summary["checks"].get("tables_validated"):
            summary["checks"] = {"tables_validated": True, "table_problems": check_output(draft)}
        summary["rulings"] = rulings
        check_summary(summary)
        text = json.dumps(summary, ensure_ascii=False, indent=2) + "\n"
        path.write_text(text, encoding="utf-8")
        return summary
