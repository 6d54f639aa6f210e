"""Let rulings outrank the verdicts of an output folder."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from crossproof.darwincore.ruled import Ruled, rule
from crossproof.rulings.records import contents
from crossproof.rulings.ruling import NAMING, Ruling, held, standing
from crossproof.rulings.sheet import write_rulings

TABLE = "rulings.csv"


def apply_rulings(folder: Path, entries: Sequence[Ruling]) -> dict[str, int]:
    """Put the rulings that stand and still hold into `dwca` and `dwc-dp`; list all in rulings.csv.

    A ruling whose record has changed since, or is not there, is listed and not applied.

    Args:
        folder: an output folder that nobody else reads yet; its rulings are replaced.
        entries: what a ledger holds, undone rulings too.

    Returns:
        How many were applied, keep the verdict (`ask`, `set_aside`), have changed, and are gone.
    """
    said = contents(folder)
    # A ruling made by hand, without a fingerprint, is about the record as it is now.
    known = [r if r.content else replace(r, content=said.get(r.record, "")) for r in entries]
    found = held(standing(known), said)
    ruled = {
        entry.ruling.record: _ruled(entry.ruling)
        for entry in found
        if entry.state == "holds" and entry.ruling.action in NAMING
    }
    rule(folder, ruled)
    if found:
        write_rulings(folder / TABLE, found)
    else:
        (folder / TABLE).unlink(missing_ok=True)
    states = Counter(entry.state for entry in found)
    return {
        "applied": len(ruled),
        "kept_verdict": states["holds"] - len(ruled),
        "changed": states["changed"],
        "gone": states["gone"],
    }


def _ruled(ruling: Ruling) -> Ruled:
    name = ruling.determination
    return Ruled(
        uid=ruling.uid,
        name=name.scientific_name,
        authorship=name.authorship,
        rank=name.rank,
        qualifier=name.qualifier,
        formula=name.formula,
        components=name.components,
        by=ruling.by,
        on=ruling.on,
        remarks=ruling.reason,
    )
