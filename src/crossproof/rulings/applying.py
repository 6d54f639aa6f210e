"""Let rulings outrank the verdicts of an output folder."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from crossproof.darwincore.ruled import Ruled, rule
from crossproof.rulings.records import records
from crossproof.rulings.ruling import NAMING, Ruling, Standing, held, standing
from crossproof.rulings.sheet import write_rulings

TABLE = "rulings.csv"


def apply_rulings(folder: Path, entries: Sequence[Ruling]) -> list[Standing]:
    """Put the rulings that stand and still hold into `dwca` and `dwc-dp`; list all in rulings.csv.

    A ruling whose record has changed since, or is not there, is listed and not applied.

    Args:
        folder: an output folder that nobody else reads yet; its rulings are replaced.
        entries: what a ledger holds, undone rulings too.

    Returns:
        Each ruling that stands, with whether it still holds; `is_applied` tells those put in.
    """
    said: dict[str, str] = {}
    exported: set[str] = set()
    for record in records(folder):
        if record.id:
            said[record.id] = record.content
        if record.occurrence:
            exported.add(record.id)
    # A ruling made by hand, without a fingerprint, is about the record as it is now.
    known = [r if r.content else replace(r, content=said.get(r.record, "")) for r in entries]
    found = [
        # A row that went back is no occurrence, so it has no name that could be ruled.
        replace(s, state="gone") if is_applied(s) and s.ruling.record not in exported else s
        for s in held(standing(known), said)
    ]
    rule(folder, {s.ruling.record: _ruled(s.ruling) for s in found if is_applied(s)})
    if found:
        write_rulings(folder / TABLE, found)
    else:
        (folder / TABLE).unlink(missing_ok=True)
    return found


def is_applied(entry: Standing) -> bool:
    """Whether a ruling gives its record the name it goes out under."""
    return entry.state == "holds" and entry.ruling.action in NAMING


def tally(found: Sequence[Standing]) -> dict[str, Any]:
    """What `summary.json` says of rulings: how many were applied, by whom, and what of the rest."""
    applied = [entry.ruling for entry in found if is_applied(entry)]
    states = Counter(entry.state for entry in found)
    return {
        "applied": len(applied),
        "kept_verdict": states["holds"] - len(applied),
        "changed": states["changed"],
        "gone": states["gone"],
        "by": _by_count(ruling.by for ruling in applied),
        "actions": _by_count(ruling.action for ruling in applied),
    }


def _by_count(texts: Iterable[str]) -> dict[str, int]:
    return dict(sorted(Counter(texts).items(), key=lambda item: (-item[1], item[0])))


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
