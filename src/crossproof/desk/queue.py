"""The queue: a page of records, and counts that hold for all of them."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

from crossproof.desk.filters import _STATE_SQL, EQUALS, FROM, PAGE, STATES, Filter

MOST_CHOICES = 300  # of one filter that are offered; more can be searched for


@dataclass(frozen=True, slots=True)
class Queue:
    """One page of the queue. `choices`: filter → its values and how many records each has, with
    all the other filters holding."""

    rows: Sequence[sqlite3.Row]
    total: int
    choices: dict[str, list[tuple[str, int]]]

    @property
    def pages(self) -> int:
        return max(1, -(-self.total // PAGE))


def search(connection: sqlite3.Connection, wanted: Filter) -> None:
    """Find the records that hold the words searched for, once for all questions."""
    if not wanted.words:
        return
    connection.execute("CREATE TEMP TABLE IF NOT EXISTS hit (record INTEGER PRIMARY KEY)")
    connection.execute("DELETE FROM temp.hit")
    held = " AND ".join("instr(search, ?) > 0" for _ in wanted.words)
    connection.execute(f"INSERT INTO temp.hit SELECT record FROM word WHERE {held}", wanted.words)


def look(connection: sqlite3.Connection, wanted: Filter) -> Queue:
    """The page of the queue that a filter asks for."""
    search(connection, wanted)
    where, values = wanted.where()
    total = connection.execute(f"SELECT count(*) FROM {FROM} WHERE {where}", values).fetchone()[0]
    rows = connection.execute(
        "SELECT record.id, occurrence, content, claim, taxon, outcome, reasons, recorder, date,"
        " place, grid, file, sheet, row, ruled.action, ruled.stale, ruled.uid, ruled.by,"
        f" ruled.'on', ruled.determination FROM {FROM} WHERE {where}"
        f" ORDER BY {wanted.order} LIMIT ? OFFSET ?",
        [*values, PAGE, (wanted.page - 1) * PAGE],
    ).fetchall()
    return Queue(rows, total, _choices(connection, wanted))


def _choices(connection: sqlite3.Connection, wanted: Filter) -> dict[str, list[tuple[str, int]]]:
    found: dict[str, list[tuple[str, int]]] = {}
    for name in EQUALS:
        where, values = wanted.where(without=name)
        rows = connection.execute(
            f"SELECT record.{name}, count(*) FROM {FROM} WHERE {where} AND record.{name} <> ''"
            f" GROUP BY record.{name} ORDER BY 2 DESC, 1 LIMIT {MOST_CHOICES}",
            values,
        )
        found[name] = [(value, count) for value, count in rows]
        _with_chosen(found[name], getattr(wanted, name))
    where, values = wanted.where(without="reason")
    rows = connection.execute(
        "SELECT reason.code, count(*) FROM reason JOIN record ON record.id = reason.record"
        " LEFT JOIN temp.ruled AS ruled ON ruled.id = record.id"
        f" WHERE {where} GROUP BY reason.code ORDER BY 2 DESC, 1",
        values,
    )
    found["reason"] = [(value, count) for value, count in rows]
    _with_chosen(found["reason"], wanted.reason)
    where, values = wanted.where(without="state")
    sums = ", ".join(f"coalesce(sum({_STATE_SQL[state]}), 0)" for state in STATES[:-1])
    *counts, whole = connection.execute(
        f"SELECT {sums}, count(*) FROM {FROM} WHERE {where}", values
    ).fetchone()
    found["state"] = list(zip(STATES, [*counts, whole], strict=True))
    return found


def _with_chosen(choices: list[tuple[str, int]], chosen: str) -> None:
    if chosen and chosen not in {value for value, _ in choices}:
        choices.append((chosen, 0))


def progress(connection: sqlite3.Connection) -> tuple[int, int]:
    """How many records have a ruling that holds, and how many there are."""
    ruled = connection.execute("SELECT count(*) FROM temp.ruled WHERE NOT stale").fetchone()[0]
    return ruled, connection.execute("SELECT count(*) FROM record").fetchone()[0]


def neighbours(connection: sqlite3.Connection, wanted: Filter, record: int) -> tuple[int, int, int]:
    """The records before and after one in the queue, and its number there; 0 for none.

    A record that is no longer in the queue still has the place it had.
    """
    search(connection, wanted)
    where, values = wanted.where()
    ids = [
        row[0]
        for row in connection.execute(
            f"SELECT record.id FROM {FROM} WHERE ({where}) OR record.id = ?"
            f" ORDER BY {wanted.order}",
            [*values, record],
        )
    ]
    if record not in ids:
        return 0, 0, 0
    at = ids.index(record)
    return ids[at - 1] if at else 0, ids[at + 1] if at + 1 < len(ids) else 0, at + 1


def matching(connection: sqlite3.Connection, wanted: Filter, most: int) -> list[int]:
    """The records that a filter lets through, up to one more than `most`."""
    search(connection, wanted)
    where, values = wanted.where()
    rows = connection.execute(
        f"SELECT record.id FROM {FROM} WHERE {where} ORDER BY {wanted.order} LIMIT {most + 1}",
        values,
    )
    return [row[0] for row in rows]
