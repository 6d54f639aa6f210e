"""From a form to the ledger: rule on one record or on many, and take it back."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import parse_qsl

from crossproof.desk.desk import Desk, Notice, Problem
from crossproof.desk.filters import Filter, parse_filter
from crossproof.desk.naming import named_by
from crossproof.desk.queue import matching
from crossproof.desk.record import DeskRecord, load_record
from crossproof.desk.words import words
from crossproof.rulings.ruling import Ruling, RulingError, checked

MOST_AT_ONCE = 5_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """What was sent. `chosen` are (record, fingerprint, ruling seen standing) of the records."""

    action: str
    choice: str
    reason: str
    by: str
    on: str
    chosen: Sequence[tuple[int, str, str]]
    everything: bool
    expected: int
    query: str
    onward: bool

    @property
    def filter(self) -> Filter:
        """The queue that the form was opened from."""
        return parse_filter(self.filter_query)

    @property
    def filter_query(self) -> dict[str, str]:
        return dict(parse_qsl(self.query, max_num_fields=50))


def parse_form(body: bytes) -> Form:
    """Read a form.

    Raises:
        RulingError: it is not one of the desk's.
    """
    try:
        pairs = parse_qsl(
            body.decode("utf-8"), keep_blank_values=True, max_num_fields=MOST_AT_ONCE + 20
        )
    except (UnicodeDecodeError, ValueError):
        raise RulingError("the form could not be read; open the page again") from None
    fields = dict(pairs)
    chosen = []
    for value in (value for name, value in pairs if name == "record"):
        number, _, rest = value.partition(".")
        content, _, seen = rest.partition(".")
        if not number.isdecimal() or len(number) > 12:
            raise RulingError("the form names no record; open the page again")
        chosen.append((int(number), content, seen))
    expected = fields.get("expected", "")
    return Form(
        action=fields.get("action", ""),
        choice=fields.get("choice", ""),
        # Browsers send the line ends of a text as CR LF (HTML, form submission).
        reason=fields.get("reason", "").replace("\r\n", "\n").strip(),
        by=fields.get("by", "").strip(),
        on=fields.get("on", "").strip(),
        chosen=chosen,
        everything=fields.get("scope") == "matching",
        expected=int(expected) if expected.isdecimal() and len(expected) < 9 else -1,
        query=fields.get("query", "")[:2000],
        onward=fields.get("onward") == "1",
    )


def decide(desk: Desk, form: Form) -> Notice:
    """Rule as a form asks; what cannot be ruled on is named, the rest is done.

    Raises:
        RulingError: nothing was done; the message says why.
    """
    problems: list[Problem] = []
    rulings: list[Ruling] = []
    seen: dict[str, str] = {}
    numbers: dict[str, int] = {}
    with desk.store.open() as connection:
        for number, content, standing in _chosen(connection, form):
            record = load_record(connection, number)
            try:
                if record is None or (content and record.content != content):
                    raise RulingError("the record changed since the page was opened; look again")
                ruling = checked(_ruling(desk, form, record))
            except RulingError as error:
                claim = record.verdict["claim"] if record else ""
                problems.append(Problem(number, claim, str(error)))
                continue
            rulings.append(ruling)
            seen[ruling.record] = standing
            numbers[ruling.record] = number
    batch, between = desk.store.ledger.add(rulings, seen) if rulings else ("", [])
    done = {ruling.record: ruling for ruling in rulings}
    for other in between:
        mine = done.pop(other.record)
        told = words()["actions"][other.action]["done"]
        message = f"{other.by} has {told} it meanwhile (“{other.reason}”); look, and rule again"
        problems.append(Problem(numbers[other.record], mine.claim, message))
    if not batch and len(problems) == 1:
        raise RulingError(problems[0].message)
    return Notice(text=_told(form, list(done.values())), batch=batch, problems=problems)


def _chosen(connection: sqlite3.Connection, form: Form) -> Sequence[tuple[int, str, str]]:
    if not form.everything:
        if not form.chosen:
            raise RulingError("choose at least one record")
        return form.chosen
    found = matching(connection, form.filter, MOST_AT_ONCE)
    if len(found) > MOST_AT_ONCE:
        raise RulingError(f"more than {MOST_AT_ONCE:,} records at once; filter further")
    if len(found) != form.expected:
        raise RulingError(
            f"the queue has changed: {form.expected:,} records were shown, now it is "
            f"{len(found):,}; look again"
        )
    standing = {row["id"]: row["uid"] for row in connection.execute("SELECT * FROM temp.ruled")}
    return [(number, "", standing.get(number, "")) for number in found]


def _ruling(desk: Desk, form: Form, record: DeskRecord) -> Ruling:
    verdict = record.verdict
    return Ruling(
        uid="",
        record=record.occurrence,
        action=form.action,
        by=form.by,
        on=form.on,
        reason=form.reason,
        content=record.content,
        determination=named_by(form.action, record, desk.books, form.choice),
        file=verdict["source_file"],
        sheet=verdict["source_sheet"],
        row=int(verdict["source_row"] or 0),
        claim=verdict["claim"],
    )


def _told(form: Form, done: Sequence[Ruling]) -> str:
    if not done:
        return "Nothing was ruled."
    told = words()["actions"][form.action]["told"]
    names = Counter(ruling.determination.scientific_name for ruling in done)
    name = f" as {next(iter(names))}" if len(names) == 1 and "" not in names else ""
    what = f"“{done[0].claim}”" if len(done) == 1 else f"{len(done):,} records"
    return f"{told}: {what}{name}."


def take_back(desk: Desk, body: bytes, by: str) -> Notice:
    """Undo one ruling or all that were made in one go.

    Raises:
        RulingError: the form names nothing that could be undone.
    """
    fields = dict(parse_qsl(body.decode("utf-8", "replace"), max_num_fields=20))
    ledger = desk.store.ledger
    if batch := fields.get("batch", ""):
        uids = [entry.uid for entry in ledger.of_batch(batch)]
    else:
        uids = [uid] if (uid := fields.get("ruling", "")) else []
    made = ledger.undo(uids, fields.get("by", "").strip() or by, desk.today()) if uids else ""
    if not made:
        raise RulingError("there is nothing to undo: it was undone already")
    count = len(ledger.of_batch(made))
    return Notice(text=f"Undone: {count:,} {'ruling' if count == 1 else 'rulings'}.")
