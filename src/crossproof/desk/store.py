"""The desk's connections: the index of the folder's tables, with the ledger beside it."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from crossproof.desk.index import NAME, build, is_fresh, signature
from crossproof.rulings.ledger import NAME as LEDGER
from crossproof.rulings.ledger import Ledger

_TRIES, _WAIT_S = 100, 0.05  # while `vet` writes a new output in the folder's place


class Store:
    """The records of one output folder, and the ledger of rulings on them.

    Raises:
        OutputError: the folder is no output of `vet`.
        LedgerError: its ledger cannot be used.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.ledger = Ledger(folder / LEDGER)
        self._lock = threading.Lock()
        self._signature = ""
        self.refresh()
        # From the first moment there is a ledger, so that a new output takes it along.
        self.ledger.connect(make=True).close()

    def refresh(self) -> None:
        """Index the tables, if they are not those that were indexed."""
        if self._signature and signature(self.folder) == self._signature:
            return
        with self._lock:
            now = signature(self.folder)
            if now != self._signature:
                if not is_fresh(self.folder):
                    build(self.folder)
                self._signature = now

    @contextmanager
    def open(self) -> Iterator[sqlite3.Connection]:
        """A connection to read with: the index as `main`, the ledger as `ledger`.

        `temp.ruled` holds the rulings that stand on records there are: `id` of the record, the
        ruling's `action`, `uid`, `by` and `on`, and whether it is `stale`.
        """
        connection = self._connect()
        try:
            yield connection
        finally:
            connection.close()

    def _connect(self) -> sqlite3.Connection:
        for attempt in range(_TRIES):
            connection = None
            try:
                self.refresh()
                path = (self.folder / NAME).resolve()
                connection = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True, timeout=30)
                connection.row_factory = sqlite3.Row
                ledger = self.ledger.path.resolve().as_uri()
                connection.execute("ATTACH ? AS ledger", (f"{ledger}?mode=rw",))
                connection.execute(
                    "CREATE TEMP TABLE ruled AS SELECT record.id, s.action, s.uid, s.by, s.'on',"
                    " s.content <> record.content AS stale, s.determination"
                    " FROM ledger.standing AS s CROSS JOIN record ON record.occurrence = s.record"
                )
                connection.execute("CREATE UNIQUE INDEX temp.ruled_id ON ruled (id)")
            except (sqlite3.OperationalError, FileNotFoundError):
                if connection is not None:
                    connection.close()
                if attempt == _TRIES - 1:
                    raise
                time.sleep(_WAIT_S)
            else:
                return connection
        raise AssertionError
