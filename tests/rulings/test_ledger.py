"""The ledger: nothing is ever lost, and the last ruling not undone stands."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossproof.model import Determination
from crossproof.rulings import ledger as ledger_module
from crossproof.rulings.ledger import NAME, Ledger, LedgerError, carried
from crossproof.rulings.ruling import UNDO, Ruling, RulingError, standing

GRANDIS = Determination(scientific_name="Dactylorhiza × grandis", rank="nothospecies")
KILLS = 100


def ruling(record: str = "r1", action: str = "uphold", **changes: object) -> Ruling:
    made = Ruling(
        uid="",
        record=record,
        action=action,
        by="Ann Example",
        on="2026-06-14",
        reason="seen",
        content="abc",
        determination=GRANDIS,
        file="a.csv",
        row=2,
        claim="x grandis",
    )
    return replace(made, **changes)  # type: ignore[arg-type]


@pytest.fixture
def book(tmp_path: Path) -> Ledger:
    return Ledger(tmp_path / NAME)


def test_what_is_written_is_read_back(book: Ledger) -> None:
    batch, between = book.add(
        [ruling(), ruling("r2", "ask", determination=Determination(scientific_name=""))]
    )
    first, second = book.entries()
    assert not between
    assert first == replace(ruling(), uid=first.uid, made=first.made, batch=batch)
    assert (second.action, second.batch, second.made) == ("ask", batch, first.made)


def test_a_ledger_that_is_not_there_is_empty_and_is_not_made_by_reading(book: Ledger) -> None:
    assert book.entries() == []
    assert not book.path.exists()


def test_the_last_ruling_stands_and_undoing_it_brings_the_one_before(book: Ledger) -> None:
    book.add([ruling()])
    book.add([ruling(action="lower")])
    assert [r.action for r in book.standing()] == ["lower"]
    book.undo([book.standing()[0].uid], "Bo Sample", "2026-06-15")
    assert [r.action for r in book.standing()] == ["uphold"]
    assert [e.action for e in book.entries()] == ["uphold", "lower", UNDO]


def test_undoing_twice_is_undoing_once(book: Ledger) -> None:
    book.add([ruling()])
    uid = book.entries()[0].uid
    assert book.undo([uid], "Bo Sample", "2026-06-15")
    assert book.undo([uid], "Bo Sample", "2026-06-15") == ""
    assert len(book.entries()) == 2


def test_a_ruling_that_crosses_anothers_is_told_and_not_written(book: Ledger) -> None:
    book.add([ruling(by="Bo Sample")], {"r1": ""})
    batch, between = book.add([ruling(action="lower"), ruling("r2")], {"r1": "", "r2": ""})
    assert [r.by for r in between] == ["Bo Sample"]
    assert [r.record for r in book.of_batch(batch)] == ["r2"]
    seen = next(r for r in book.standing() if r.record == "r1").uid
    assert book.add([ruling(action="lower")], {"r1": seen})[1] == []


@pytest.mark.parametrize(
    "statement", ["DELETE FROM ruling", "UPDATE ruling SET reason = 'x'", "DELETE FROM batch"]
)
def test_the_ledger_only_grows(book: Ledger, statement: str) -> None:
    book.add([ruling()])
    with pytest.raises(sqlite3.IntegrityError, match="only grows"):
        book.connect().execute(statement)


def test_foreign_keys_hold(book: Ledger) -> None:
    book.add([ruling()])
    connection = book.connect()
    assert connection.execute("PRAGMA journal_mode").fetchone()[0] == "wal"
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        connection.execute(
            "INSERT INTO ruling SELECT NULL, 'new', 'no batch', NULL, record, action, by, \"on\","
            " reason, content, determination, file, sheet, row, claim, made FROM ruling"
        )


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"reason": "  "}, "reason"),
        ({"by": ""}, "who rules"),
        ({"on": "14 June"}, "2026-06-14"),
        ({"action": "burn"}, "no ruling"),
        ({"reason": "x" * 2001}, "2000 is the most"),
        ({"by": "a\x00b"}, "control character"),
        ({"determination": Determination(scientific_name="")}, "needs a name"),
    ],
)
def test_an_incomplete_ruling_is_refused_and_nothing_is_written(
    book: Ledger, changes: dict[str, object], why: str
) -> None:
    with pytest.raises(RulingError, match=why):
        book.add([ruling("other"), ruling(**changes)])
    assert book.entries() == []


def test_a_clock_set_back_does_not_reorder(book: Ledger, monkeypatch: pytest.MonkeyPatch) -> None:
    book.add([ruling()])
    monkeypatch.setattr(ledger_module, "now", lambda: "2001-01-01T00:00:00.000000+00:00")
    book.add([ruling(action="lower")])
    assert [r.action for r in book.standing()] == ["lower"]


def test_a_newer_ledger_is_refused_in_words(book: Ledger) -> None:
    book.connect(make=True).execute("PRAGMA user_version = 99")
    with pytest.raises(LedgerError, match="newer crossproof"):
        book.entries()


def test_what_is_no_ledger_is_refused_in_words(book: Ledger) -> None:
    book.path.write_text("record,ruling\n" * 100, encoding="utf-8")
    with pytest.raises(LedgerError, match="not a ledger"):
        book.entries()


def test_an_older_ledger_is_brought_up_step_by_step(
    tmp_path: Path, book: Ledger, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps = tmp_path / "steps"
    steps.mkdir()
    first = (ledger_module._MIGRATIONS / "001.sql").read_text(encoding="utf-8")
    (steps / "001.sql").write_text(first, encoding="utf-8")
    book.add([ruling()])
    monkeypatch.setattr(ledger_module, "_MIGRATIONS", steps)
    (steps / "002.sql").write_text("CREATE TABLE more (a);\nINSERT INTO more VALUES (1);\n")
    with book.connect() as connection:
        assert connection.execute("SELECT a FROM more").fetchone()[0] == 1
        assert connection.execute("PRAGMA user_version").fetchone()[0] == 2
    assert len(book.entries()) == 1


def test_a_step_that_fails_leaves_the_ledger_as_it_was(
    tmp_path: Path, book: Ledger, monkeypatch: pytest.MonkeyPatch
) -> None:
    book.add([ruling()])
    whole = ledger_module._MIGRATIONS
    steps = tmp_path / "steps"
    steps.mkdir()
    (steps / "001.sql").write_text((whole / "001.sql").read_text(encoding="utf-8"))
    (steps / "002.sql").write_text("CREATE TABLE more (a);\nCREATE TABLE more (a);\n")
    monkeypatch.setattr(ledger_module, "_MIGRATIONS", steps)
    with pytest.raises(LedgerError):
        book.entries()
    monkeypatch.setattr(ledger_module, "_MIGRATIONS", whole)
    assert len(book.entries()) == 1


def test_many_at_once_lose_nothing(book: Ledger) -> None:
    """Eight people rule on the same twenty records at the same time, without looking first."""
    errors: list[BaseException] = []

    def person(number: int) -> None:
        try:
            for record in range(20):
                book.add([ruling(f"r{record}", by=f"Person {number}")])
        except BaseException as error:
            errors.append(error)

    people = [threading.Thread(target=person, args=(n,)) for n in range(8)]
    for one in people:
        one.start()
    for one in people:
        one.join()
    assert not errors
    entries = book.entries()
    assert {(e.by, e.record) for e in entries} == {
        (f"Person {n}", f"r{r}") for n in range(8) for r in range(20)
    }
    assert len(book.standing()) == 20


def test_the_first_to_look_wins_and_the_other_is_told(book: Ledger) -> None:
    """Of two who saw the same record open and rule at once, one is written and one is told."""
    told: list[int] = []
    start = threading.Barrier(2)

    def person(number: int) -> None:
        for record in range(20):
            start.wait()
            _, between = book.add([ruling(f"r{record}", by=f"P{number}")], {f"r{record}": ""})
            told.append(len(between))

    people = [threading.Thread(target=person, args=(n,)) for n in range(2)]
    for one in people:
        one.start()
    for one in people:
        one.join()
    assert len(book.entries()) == 20
    assert sum(told) == 20


def write_without_end(book: Ledger, number: int, pipe: int) -> None:
    """In a process of its own: write one ruling after another, and say so once each is kept."""
    while True:
        number += 1
        book.add([ruling(f"r{number}")])
        os.write(pipe, f"{number}\n".encode())


def test_a_hundred_kills_at_random_moments_lose_nothing(book: Ledger) -> None:
    """What the writer was told is written is there after each SIGKILL, whole and in order."""
    dice = random.Random(8)
    told = waited = 0
    for _ in range(KILLS):
        reading, writing = os.pipe()
        child = os.fork()
        if child == 0:
            try:
                write_without_end(book, told, writing)
            finally:
                os._exit(1)
        os.close(writing)
        # Two in three are killed some time after a first ruling was kept, however slow the
        # machine; the others at any time, even before the ledger is there.
        first = b""
        if dice.random() < 2 / 3:
            first = os.read(reading, 1)
            waited += 1
        time.sleep(dice.uniform(0, 0.03))
        os.kill(child, signal.SIGKILL)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL
        with os.fdopen(reading) as said:
            kept = [int(line) for line in (first.decode() + said.read()).split()]
        written = [int(entry.record[1:]) for entry in book.entries()]
        assert written == list(range(1, len(written) + 1)), "each once, in the order of writing"
        assert len(written) >= max([told, *kept]), "what was told is there"
        told = len(written)
    assert sqlite3.connect(book.path).execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    assert told >= waited > KILLS / 2, "it wrote between the kills"


def test_a_folder_that_is_replaced_takes_its_ledger_along(tmp_path: Path) -> None:
    """Someone rules again and again while the folder is replaced under the ledger thirty times."""
    folder = tmp_path / "out"
    folder.mkdir()
    book = Ledger(folder / NAME)
    book.connect(make=True).close()
    done = threading.Event()
    written: list[str] = []
    errors: list[BaseException] = []

    def rules() -> None:
        number = 0
        try:
            while not done.is_set():
                number += 1
                book.add([ruling(f"r{number}")])
                written.append(f"r{number}")
        except BaseException as error:
            errors.append(error)

    person = threading.Thread(target=rules)
    person.start()
    for turn in range(30):
        new = tmp_path / f"new{turn}"
        new.mkdir()
        with carried(folder, new):
            folder.rename(tmp_path / f"old{turn}")
            new.rename(folder)
        time.sleep(0.01)
    done.set()
    person.join()
    assert not errors
    assert len(written) > 10
    assert [entry.record for entry in book.entries()] == written


acts = st.lists(
    st.tuples(st.sampled_from(["r1", "r2", "r3"]), st.sampled_from(["uphold", "lower", "undo"])),
    max_size=12,
)


@settings(max_examples=25, deadline=None)
@given(acts)
def test_the_database_and_the_library_agree_on_what_stands(
    tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[str, str]]
) -> None:
    book = Ledger(tmp_path_factory.mktemp("ledger") / NAME)
    book.connect(make=True).close()
    for record, act in steps:
        if act != "undo":
            book.add([ruling(record, act)])
        elif own := [r for r in book.standing() if r.record == record]:
            book.undo([own[0].uid], "Ann Example", "2026-06-14")
    rows = book.connect().execute("SELECT uid FROM standing")
    assert {row["uid"] for row in rows} == {r.uid for r in standing(book.entries())}
