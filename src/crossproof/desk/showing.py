"""What the pages show, gathered: a row of the queue, one record, the rulings."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping, Sequence
from typing import Any

from crossproof.desk.desk import Desk
from crossproof.desk.marking import marked
from crossproof.desk.naming import choices, named_by
from crossproof.desk.place import SIZE, draw
from crossproof.desk.possible import account_of, support
from crossproof.desk.record import DeskRecord
from crossproof.desk.words import words
from crossproof.model import LEAD
from crossproof.report.wording import reason_words
from crossproof.rulings.ruling import ACTIONS, UNDO, Ruling, RulingError, held, standing

_HIDDEN = ("occurrenceID", "dynamicProperties", "footprintWKT", "occurrenceRemarks")


def row_of(row: sqlite3.Row, desk: Desk) -> dict[str, Any]:
    """A row of the queue, with its ruling if it has one."""
    cells = {name: row[name] for name in row.keys()}  # noqa: SIM118  (a Row iterates its values)
    named = json.loads(row["determination"]) if row["determination"] else {}
    reasons = [code for code in row["reasons"].split(";") if code]
    books = list(desk.books.values())
    return {
        **cells,
        "reasons": [reason_words(code, books) for code in reasons],
        "ruled_name": named.get("scientific_name", ""),
    }


def names_of(desk: Desk, rulebooks: Sequence[str]) -> list[tuple[str, list[Any]]]:
    """The names that can be chosen, in groups; by rulebook where there are several."""
    found = []
    for name in rulebooks:
        book = desk.books[name]
        for title, group in choices(book):
            label = f"{book.genera[0]}: {title.lower()}" if len(rulebooks) > 1 else title
            found.append((label, group))
    return found


def record_content(
    desk: Desk, connection: sqlite3.Connection, record: DeskRecord
) -> dict[str, Any]:
    """All that the page of one record shows."""
    book = desk.book(record.verdict.get("rulebook"))
    books = [book] if book else []
    account = account_of(record, book, desk.strict)
    entries = desk.store.ledger.of_record(record.occurrence) if record.occurrence else []
    live = standing(entries)
    held_now = held(live, {record.occurrence: record.content})
    return {
        "record": record,
        "book": book,
        "account": account,
        "support": support(record),
        "pieces": marked(
            record.remark, record.evidence, book, record.verdict["photo"] != "not_recorded"
        ),
        "titles": {c.id: c.title for c in book.ordered_characters} if book else {},
        "photos": desk.photos.of(record),
        "has_photos": desk.photos.folder is not None,
        "drawing": draw(connection, record, book),
        "size": SIZE,
        "missing": [reason_words(reason, books) for reason in record.reasons],
        "reasoning": _reasoning(record),
        "entries": _entries(entries),
        "live": {ruling.uid for ruling in live},
        "standing": held_now[0] if held_now else None,
        "actions": _actions(desk, record),
        "names": names_of(desk, [book.id] if book else list(desk.books)),
        "cells": {n: cell for n, cell in record.cells.items() if n not in _HIDDEN},
    }


def _reasoning(record: DeskRecord) -> list[str]:
    """The sentences that go out with the determination."""
    last = record.identifications[-1] if record.identifications else {}
    text = last.get("identificationRemarks", "")
    own, lead, ours = text.rpartition(LEAD)
    return [part.strip() for part in (ours if lead else text).split(" | ") if part.strip()] or (
        [own] if own else []
    )


def _entries(entries: Sequence[Ruling]) -> list[dict[str, Any]]:
    undone = {entry.undoes: entry for entry in entries if entry.action == UNDO}
    return [
        {"ruling": entry, "undone": undone.get(entry.uid)}
        for entry in entries
        if entry.action != UNDO
    ]


def _actions(desk: Desk, record: DeskRecord) -> list[dict[str, Any]]:
    """What can be ruled on a record, each with the name that it would go out under."""
    found = []
    for action in ACTIONS:
        name, refused = "", ""
        try:
            if action != "determine":
                determination = named_by(action, record, desk.books)
                name = f"{determination.scientific_name} {determination.qualifier}".strip()
            elif record.is_returned:
                named_by(action, record, desk.books)
        except RulingError as error:
            refused = str(error)
        found.append(
            {"action": action, "name": name, "refused": refused, **words()["actions"][action]}
        )
    return found


def ruling_rows(desk: Desk) -> list[dict[str, Any]]:
    """Every ruling, the latest first: whether it stands and holds, and its record here."""
    entries = desk.store.ledger.entries()
    with desk.store.open() as connection:
        rows = connection.execute(
            "SELECT occurrence, content, id FROM record WHERE occurrence <> ''"
        )
        known: Mapping[str, tuple[str, int]] = {row[0]: (row[1], row[2]) for row in rows}
    said = {record: content for record, (content, _) in known.items()}
    states = {entry.ruling.uid: entry.state for entry in held(standing(entries), said)}
    undone = {entry.undoes for entry in entries if entry.action == UNDO}
    found = []
    for entry in reversed(entries):
        if entry.action == UNDO:
            continue
        state = "undone" if entry.uid in undone else states.get(entry.uid, "followed")
        number = known.get(entry.record, ("", 0))[1]
        found.append({"ruling": entry, "state": state, "number": number})
    return found
