"""Row by row, in plain words: what to add before uploading."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from pathlib import Path
from textwrap import wrap

from crossproof.report.wording import clip, reason_words, words
from crossproof.rulebooks.model import Rulebook
from crossproof.rulings.records import table
from crossproof.spreadsheet import unguard

MOST = 200  # rows that are told; a recorder's own sheet has fewer
_WIDTH = 96
_LISTED = ("lowered", "contested", "returned")
_TOLD = ("error", "warning")
AGAINST = (
    "What is stated speaks against the cross: mend it if it was a slip of the pen. If not, the "
    "broader name is the truer one, and a good record."
)

Row = Mapping[str, str]


def advice(folder: Path, rulebooks: Sequence[Rulebook]) -> Iterator[str]:
    """Lines of text on every row of a `vet` output that lacks something, in its order.

    `rulebooks` are those the rows were judged by.
    """
    told = _findings(folder)
    rows = 0
    listed: list[Row] = []
    for row in _rows(folder / "verdicts.csv"):
        rows += 1
        if _is_ruled(row):  # nothing that it lacks matters any more
            row = {**row, "outcome": "ruled", "reasons": "", "remedy": ""}
        if row["outcome"] in _LISTED or _place(row) in told:
            listed.append(row)
    books = {book.id: book for book in rulebooks}
    fine = rows - len(listed)
    yield f"{fine:,} of {rows:,} row{'' if rows == 1 else 's'} need nothing"
    table_now = ("", "")
    for row in listed[:MOST]:
        file, sheet, _ = _place(row)
        if (file, sheet) != table_now:
            table_now = (file, sheet)
            yield f"{file}, sheet {sheet}" if sheet else file
        yield from _row(row, books, told.get(_place(row), ()))
    if len(listed) > MOST:
        more = len(listed) - MOST
        yield f"… and {more:,} more: verdicts.csv has a row for each, and what would mend it"
    yield from _looks(listed[:MOST], books)


def _row(row: Row, books: Mapping[str, Rulebook], told: Sequence[Row]) -> Iterator[str]:
    book = books.get(row["rulebook"])
    reasons = list(filter(None, row["reasons"].split(";")))
    lowered = f" to {row['determined_name']}" if row["outcome"] == "lowered" else ""
    if row["outcome"] == "ruled":
        lowered = f" {row['ruled_name']} by {row['ruled_by']}"
    claim = clip(row["claim"]) or "no plant named"
    yield f"  row {row['source_row']}: {claim} – {row['outcome']}{lowered}"
    if reasons:
        named = [reason_words(reason, [book] if book else [*books.values()]) for reason in reasons]
        yield from _lines("; ".join(named))
    remedy = row["remedy"]
    if remedy and row["outcome"] != "returned":  # what mends a returned row, its findings say
        yield from _lines(f"To add: {remedy}.")
    if row["outcome"] == "lowered" and any(reason.endswith("_against") for reason in reasons):
        yield from _lines(AGAINST)
    elif row["outcome"] in ("lowered", "contested") and not remedy and not told:
        yield from _lines(words()["outcomes"][row["outcome"]]["nothing"])
    for found in told:
        about = f"{found['column']}: " if found["column"] else ""
        is_said = found["value"] in found["message"]
        value = "" if is_said else f" (“{clip(found['value'])}”)"
        yield from _lines(f"{about}{found['message']}{value}. {found['remedy']}")


def _is_ruled(row: Row) -> bool:
    """Whether a person decided the name that the record goes out under."""
    return bool(row.get("ruled_name")) and row["ruling_state"] == "holds"


def _looks(listed: Sequence[Row], books: Mapping[str, Rulebook]) -> Iterator[str]:
    """How to look at what is missing, once for each character of each group."""
    asked: dict[tuple[str, str], None] = {}
    for row in listed:
        for reason in row["reasons"].split(";"):
            character, _, how = reason.rpartition("_")
            if how == "missing" and row["rulebook"] in books:
                asked[row["rulebook"], character] = None
    looks = [
        known
        for book in books.values()
        for known in book.ordered_characters
        if (book.id, known.id) in asked and known.look
    ]
    if looks:
        yield "How to look"
    for wanted in looks:
        yield from _lines(f"{wanted.title}: {wanted.look}", indent=2)


def _lines(text: str, indent: int = 6) -> Iterator[str]:
    space = " " * indent
    yield from wrap(
        text[:1].upper() + text[1:], _WIDTH, initial_indent=space, subsequent_indent=space
    )


def _findings(folder: Path) -> dict[tuple[str, str, str], list[Row]]:
    """What errors and warnings say of each row."""
    found: dict[tuple[str, str, str], list[Row]] = {}
    for row in _rows(folder / "findings.csv"):
        if row["row"] and row["severity"] in _TOLD:
            found.setdefault((row["file"], row["sheet"], row["row"]), []).append(row)
    return found


def _rows(path: Path) -> Iterator[Row]:
    with ExitStack() as stack:
        for row in table(stack, path):
            yield {name: unguard(cell) for name, cell in row.items()}


def _place(row: Row) -> tuple[str, str, str]:
    return row["source_file"], row["source_sheet"], row["source_row"]
