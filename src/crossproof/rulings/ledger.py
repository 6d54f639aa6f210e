"""The ledger: an append-only SQLite file of rulings, safe with several people and any kill."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path

from crossproof.model import Determination, T
from crossproof.rulings.ruling import (
    NO_NAME,
    UNDO,
    Ruling,
    RulingError,
    checked,
    new_uid,
    now,
    standing,
)

NAME = "desk.sqlite"
WAIT_S = 30.0  # how long another writer is waited for
_MIGRATIONS = Path(__file__).with_name("migrations")
_PARTS = ("", "-wal", "-shm")  # a SQLite file and what lies beside it while it is open


class LedgerError(Exception):
    """The ledger cannot be used; the message says why and what to do."""


class Ledger:
    """The ledger of one output folder. It holds no connection: each call opens its own.

    Args:
        path: the file; it is made by the first write. Reading one that is not there gives nothing.
    """

    def __init__(self, path: Path) -> None:
        self.path = path

    def entries(self) -> list[Ruling]:
        """Everything ever written, in the order of writing."""
        return self._read("SELECT * FROM ruling ORDER BY seq")

    def standing(self) -> list[Ruling]:
        """The rulings that stand: the last one on each record that was not undone."""
        return standing(self.entries())

    def of_record(self, record: str) -> list[Ruling]:
        """All entries about one record, oldest first."""
        return self._read("SELECT * FROM ruling WHERE record = ? ORDER BY made, seq", record)

    def of_batch(self, batch: str) -> list[Ruling]:
        """What was written in one go."""
        return self._read("SELECT * FROM ruling WHERE batch = ? ORDER BY seq", batch)

    def add(
        self, rulings: Sequence[Ruling], seen: Mapping[str, str] | None = None
    ) -> tuple[str, list[Ruling]]:
        """Write rulings in one transaction, all or none but those that cross another's.

        Args:
            rulings: what was decided; `uid`, `made` and `batch` are given here.
            seen: for each record the uid of the ruling that the person saw standing, '' for none.
                Where another stands by now, the new one is not written.

        Returns:
            The batch they stand in, and the rulings of others that came between.

        Raises:
            RulingError: one of them does not say all it has to; nothing is written.
            LedgerError: the ledger cannot be written.
        """
        for ruling in rulings:
            checked(ruling)
        return self._writing(lambda connection: _add(connection, rulings, seen))

    def undo(self, uids: Sequence[str], by: str, on: str) -> str:
        """Take rulings back: an entry for each that stands undone from now on.

        Those undone already are left alone. Returns the batch of the new entries, '' for none.
        """

        def take_back(connection: sqlite3.Connection) -> str:
            marks = ",".join("?" * len(uids))
            rows = connection.execute(
                f"SELECT * FROM ruling AS r WHERE r.uid IN ({marks}) AND r.undoes IS NULL"
                " AND NOT EXISTS (SELECT 1 FROM ruling AS u WHERE u.undoes = r.uid)",
                list(uids),
            )
            undone = [
                replace(
                    _ruling(row),
                    action=UNDO,
                    undoes=row["uid"],
                    by=by,
                    on=on,
                    reason="",
                    determination=NO_NAME,
                )
                for row in rows
            ]
            for ruling in undone:
                checked(ruling)
            return _add(connection, undone, None)[0] if undone else ""

        return self._writing(take_back) if uids else ""

    def merge(self, rulings: Sequence[Ruling]) -> int:
        """Take in entries of another ledger, as they are; those known by their uid are passed over.

        Returns how many were new.

        Raises:
            RulingError: an entry undoes one that neither ledger knows; nothing is written.
        """
        for ruling in rulings:
            checked(ruling)

        def take_in(connection: sqlite3.Connection) -> int:
            before = connection.total_changes
            known = {row[0] for row in connection.execute("SELECT uid FROM ruling")}
            new = [r for r in {r.uid: r for r in rulings}.values() if r.uid not in known]
            known.update(ruling.uid for ruling in new)
            for ruling in new:
                if ruling.undoes and ruling.undoes not in known:
                    raise RulingError(f"ruling {ruling.uid} undoes {ruling.undoes}, unknown here")
            batches = {r.batch or r.uid: r for r in new}
            connection.executemany(
                "INSERT OR IGNORE INTO batch VALUES (?, ?, ?)",
                [(batch, r.made, r.by) for batch, r in batches.items()],
            )
            _insert(connection, sorted(new, key=lambda r: (bool(r.undoes), r.made)))
            return len(new) if connection.total_changes > before else 0

        return self._writing(take_in)

    def _read(self, query: str, *values: str) -> list[Ruling]:
        if not self.path.exists():
            return []
        with closing(self.connect()) as connection:
            return [_ruling(row) for row in connection.execute(query, values)]

    def _writing(self, work: Callable[[sqlite3.Connection], T]) -> T:
        """Do `work` in one transaction, again if the folder was replaced while it waited."""
        for _ in range(20):
            before = self._inode()
            with closing(self.connect(make=True)) as connection:
                try:
                    connection.execute("BEGIN IMMEDIATE")
                    if self._inode() != before:
                        connection.rollback()
                        continue
                    result = work(connection)
                    connection.commit()
                except sqlite3.OperationalError as error:
                    raise LedgerError(f"{self.path} cannot be written: {error}") from None
                except BaseException:
                    connection.rollback()
                    raise
                return result
        raise LedgerError(f"{self.path} is replaced again and again; try once more")

    def _inode(self) -> int:
        try:
            return self.path.stat().st_ino
        except FileNotFoundError:
            return -1

    def connect(self, make: bool = False) -> sqlite3.Connection:
        """A connection with the ledger's own settings, at the newest schema.

        Raises:
            LedgerError: the file is no ledger, or of a newer version of this program.
        """
        for attempt in range(50):
            try:
                return self._connect(make)
            except sqlite3.OperationalError as error:
                # While `vet` puts a new output in the folder's place there is none for a moment.
                if attempt == 49 or not self.path.parent.parent.is_dir():
                    raise LedgerError(f"{self.path} cannot be opened: {error}") from None
                time.sleep(0.02)
            except sqlite3.DatabaseError as error:
                raise LedgerError(f"{self.path} is not a ledger of rulings: {error}") from None
        raise AssertionError

    def _connect(self, make: bool) -> sqlite3.Connection:
        mode = "rwc" if make else "rw"
        connection = sqlite3.connect(
            f"{self.path.resolve().as_uri()}?mode={mode}",
            uri=True,
            timeout=WAIT_S,
            isolation_level=None,
        )
        try:
            connection.row_factory = sqlite3.Row
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA synchronous = FULL")  # a commit outlives a power cut
            connection.execute("PRAGMA foreign_keys = ON")
            _migrate(connection, self.path)
        except BaseException:
            connection.close()
            raise
        return connection


def _migrate(connection: sqlite3.Connection, path: Path) -> None:
    """Bring a ledger to the newest schema, one numbered step after another."""
    steps = sorted(_MIGRATIONS.glob("*.sql"))
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    if version > len(steps):
        raise LedgerError(
            f"{path} was written by a newer crossproof (ledger version {version}, this one knows "
            f"{len(steps)}); bring crossproof up to date"
        )
    if version == len(steps):
        return
    connection.execute("BEGIN IMMEDIATE")  # another process may have done it meanwhile
    try:
        version = connection.execute("PRAGMA user_version").fetchone()[0]
        for number, step in enumerate(steps[version:], start=version + 1):
            for statement in _statements(step.read_text(encoding="utf-8")):
                connection.execute(statement)
            connection.execute(f"PRAGMA user_version = {number}")
        connection.execute("COMMIT")
    except BaseException:
        connection.execute("ROLLBACK")
        raise


def _statements(script: str) -> Iterator[str]:
    """The statements of a script; `executescript` would end the transaction they run in."""
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""


def _add(
    connection: sqlite3.Connection, rulings: Sequence[Ruling], seen: Mapping[str, str] | None
) -> tuple[str, list[Ruling]]:
    between = []
    if seen is not None:
        for row in connection.execute("SELECT * FROM standing"):
            if row["record"] in seen and seen[row["record"]] != row["uid"]:
                between.append(_ruling(row))
    crossed = {ruling.record for ruling in between}
    kept = [ruling for ruling in rulings if ruling.record not in crossed]
    if not kept:
        return "", between
    batch = new_uid()
    last = connection.execute("SELECT max(made) FROM ruling").fetchone()[0] or ""
    made = max(now(), last)  # a clock set back must not put a ruling before those it follows
    connection.execute("INSERT INTO batch VALUES (?, ?, ?)", (batch, made, kept[0].by))
    _insert(connection, [replace(r, uid=new_uid(), made=made, batch=batch) for r in kept])
    return batch, between


_COLUMNS = (
    *("uid", "batch", "undoes", "record", "action", "by", "on", "reason", "content"),
    *("determination", "file", "sheet", "row", "claim", "made"),
)


def _insert(connection: sqlite3.Connection, rulings: Sequence[Ruling]) -> None:
    names = ", ".join(f'"{name}"' for name in _COLUMNS)
    marks = ", ".join("?" * len(_COLUMNS))
    connection.executemany(
        f"INSERT INTO ruling ({names}) VALUES ({marks})", [_cells(r) for r in rulings]
    )


def _cells(ruling: Ruling) -> list[str | int | None]:
    own: dict[str, str | int | None] = {
        name: getattr(ruling, name) for name in _COLUMNS if name != "determination"
    }
    own["undoes"] = ruling.undoes or None
    own["batch"] = ruling.batch or ruling.uid
    own["determination"] = as_json(ruling.determination)
    return [own[name] for name in _COLUMNS]


def _ruling(row: sqlite3.Row) -> Ruling:
    cells = {name: row[name] for name in _COLUMNS}
    cells["undoes"] = cells["undoes"] or ""
    cells["determination"] = from_json(cells["determination"])
    return Ruling(**cells)


_PARTS_OF_NAME = (
    *("scientific_name", "authorship", "rank", "qualifier", "taxon", "formula"),
    "components",
)


def as_json(determination: Determination) -> str:
    """A determination as one line of JSON, '' where there is none."""
    if not determination.scientific_name:
        return ""
    parts = {name: getattr(determination, name) for name in _PARTS_OF_NAME}
    return json.dumps(parts, ensure_ascii=False)


def from_json(text: str) -> Determination:
    """The way back.

    Raises:
        ValueError: the text is not what `as_json` writes.
    """
    if not text:
        return NO_NAME
    parts = json.loads(text)
    if not isinstance(parts, dict) or set(parts) != set(_PARTS_OF_NAME):
        raise ValueError("not a determination")
    components = tuple((str(a), str(b), str(c)) for a, b, c in parts.pop("components"))
    return Determination(components=components, **{name: str(v) for name, v in parts.items()})


@contextmanager
def carried(old: Path, new: Path) -> Iterator[None]:
    """Take the ledger of one folder along to the folder that is about to replace it.

    It stays the same file (a second name for it), so that whoever has it open goes on writing to
    it; no one can write while the folders change places.
    """
    path = old / NAME
    if not path.is_file():
        yield
        return
    with closing(Ledger(path).connect()) as connection:
        connection.execute("BEGIN IMMEDIATE")
        try:
            for part in _PARTS:
                source = path.with_name(path.name + part)
                if source.exists():
                    _second_name(source, new / source.name)
            yield
        finally:
            connection.execute("ROLLBACK")


def _second_name(source: Path, target: Path) -> None:
    """Give a file a second name, or copy it where the drive has no second names."""
    target.unlink(missing_ok=True)
    try:
        os.link(source, target)
    except OSError:
        shutil.copy2(source, target)
