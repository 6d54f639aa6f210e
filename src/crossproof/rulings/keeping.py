"""See that the ledger beside an output holds the rulings that the output was written with."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from crossproof.rulings.applying import TABLE
from crossproof.rulings.ledger import NAME, Ledger
from crossproof.rulings.ruling import UNDO, Ruling
from crossproof.rulings.sheet import read_rulings


def together(*many: Iterable[Ruling]) -> list[Ruling]:
    """Rulings from several places, each once."""
    found: dict[str, Ruling] = {}
    for rulings in many:
        for ruling in rulings:
            found.setdefault(ruling.uid, ruling)
    return list(found.values())


def keep_rulings(folder: Path, entries: Sequence[Ruling]) -> None:
    """Take rulings into the ledger of an output folder that was written with them.

    So the desk shows the rulings that came with an earlier output, or from a table, and the next
    run takes them along.

    Raises:
        LedgerError: the ledger cannot be written.
    """
    if not entries:
        return
    table = folder / TABLE
    # As they were applied: those made by hand have got the fingerprint of their record there.
    applied = read_rulings(table) if table.is_file() else []
    ledger = Ledger(folder / NAME)
    known = {entry.uid for entry in ledger.entries()}
    new = [r for r in together(applied, entries) if r.uid not in known and r.content]
    known |= {ruling.uid for ruling in new}
    new = [r for r in new if r.action != UNDO or r.undoes in known]
    if new:
        ledger.merge(new)
