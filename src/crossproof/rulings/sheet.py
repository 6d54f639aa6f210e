"""Rulings as a table: for people to read, to keep, and to pass to one another."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from uuid import NAMESPACE_OID, uuid5

from crossproof.model import Determination
from crossproof.rulings.ruling import (
    NAMING,
    NO_NAME,
    UNDO,
    Ruling,
    RulingError,
    Standing,
    checked,
)
from crossproof.spreadsheet import GuardedFile, unguard
from crossproof.tabular import Block

COLUMNS = (
    *("record", "source_file", "source_sheet", "source_row", "claim", "ruling", "name", "rank"),
    *("authorship", "qualifier", "formula", "parents", "reason", "ruled_by", "ruled_on"),
    *("state", "record_content", "made", "uid", "batch", "undoes"),
)
_NEEDED = ("record", "ruling", "reason", "ruled_by", "ruled_on")
_MOST_BYTES = 64 * 1024 * 1024


def write_rulings(path: Path, rulings: Iterable[Standing | Ruling]) -> None:
    """Write a table of rulings; `state` says whether each still holds, blank where not asked."""
    with GuardedFile(path, COLUMNS) as table:
        rows = [_cells(entry) for entry in rulings]
        if rows:
            table.write([Block(COLUMNS, rows)])


def _cells(entry: Standing | Ruling) -> list[str]:
    ruling, state = (entry.ruling, entry.state) if isinstance(entry, Standing) else (entry, "")
    name = ruling.determination
    return [
        *(ruling.record, ruling.file, ruling.sheet, str(ruling.row or ""), ruling.claim),
        *(ruling.action, name.scientific_name, name.rank, name.authorship, name.qualifier),
        name.formula if name.scientific_name else "",
        "; ".join("|".join(part) for part in name.components),
        *(ruling.reason, ruling.by, ruling.on, state, ruling.content, ruling.made),
        *(ruling.uid, ruling.batch, ruling.undoes),
    ]


def read_rulings(path: Path) -> list[Ruling]:
    """Read a table of rulings, as `write_rulings` writes it or as a person made it.

    A person's needs only `record`, `ruling`, `name` (of a determination), `reason`, `ruled_by` and
    `ruled_on`. Without `record_content` a ruling holds for the record as it is when it is taken in.

    Raises:
        RulingError: the file cannot be used; the message names the row and what would mend it.
    """
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise RulingError(f"{path} is larger than {_MOST_BYTES >> 20} MB; split it")
        with path.open(encoding="utf-8-sig", newline="") as file:
            return list(_read(path, csv.reader(file)))
    except OSError as error:
        raise RulingError(f"{path} can't be read: {error.strerror}") from None
    except UnicodeDecodeError:
        raise RulingError(f"{path} is not UTF-8 text; save it as “CSV UTF-8”") from None
    except csv.Error as error:
        raise RulingError(f"{path} is not a table of comma-separated values: {error}") from None


def _read(path: Path, rows: Iterator[list[str]]) -> Iterator[Ruling]:
    heading = [name.strip() for name in next(rows, [])]
    if missing := [name for name in _NEEDED if name not in heading]:
        raise RulingError(f"{path} has no column {missing[0]!r}; it needs {', '.join(_NEEDED)}")
    for number, cells in enumerate(rows, start=2):
        if not any(cells):
            continue
        row = {n: unguard(cell) for n, cell in zip(heading, cells, strict=False)}
        try:
            yield checked(_ruling(row))
        except (RulingError, ValueError) as error:
            raise RulingError(f"{path}, row {number}: {error}") from None


def _ruling(row: dict[str, str]) -> Ruling:
    def cell(name: str) -> str:
        return row.get(name, "").strip()

    action = cell("ruling").casefold().replace(" ", "_")
    line = cell("source_row")
    name = NO_NAME
    if action in NAMING and cell("name"):
        name = Determination(
            scientific_name=cell("name"),
            authorship=cell("authorship"),
            rank=cell("rank"),
            qualifier=cell("qualifier"),
            formula=cell("formula") or "A",
            components=_components(cell("parents")),
        )
    if action == UNDO and not cell("undoes"):
        raise RulingError("an undo has to name the ruling it takes back, in 'undoes'")
    return Ruling(
        uid=cell("uid") or _uid(row),
        record=row["record"],
        action=action,
        by=cell("ruled_by"),
        on=cell("ruled_on"),
        reason=cell("reason"),
        content=cell("record_content"),
        determination=name,
        file=cell("source_file"),
        sheet=cell("source_sheet"),
        row=int(line) if line.isdecimal() else 0,
        claim=cell("claim"),
        made=cell("made") or f"{cell('ruled_on')}T00:00:00.000000+00:00",
        batch=cell("batch"),
        undoes=cell("undoes"),
    )


def _uid(row: Mapping[str, str]) -> str:
    """The identifier of a ruling that was given none: the same for as long as it says the same."""
    text = "\x1e".join(f"{name}\x1f{cell.strip()}" for name, cell in sorted(row.items()) if cell)
    return str(uuid5(NAMESPACE_OID, f"crossproof ruling\x1e{text}"))


def _components(text: str) -> tuple[tuple[str, str, str], ...]:
    found: list[tuple[str, str, str]] = []
    for part in filter(None, (part.strip() for part in text.split(";"))):
        name, authorship, rank, *_ = (*part.split("|"), "", "")
        found.append((name, authorship, rank))
    return tuple(found)


def load(paths: Sequence[Path]) -> list[Ruling]:
    """The entries of ledgers and tables of rulings, in the order given.

    Raises:
        RulingError, LedgerError: a file cannot be used.
    """
    from crossproof.rulings.ledger import Ledger

    found: dict[str, Ruling] = {}
    for path in paths:
        if not path.is_file():
            raise RulingError(f"there is no ledger or table of rulings {path}")
        with path.open("rb") as file:
            is_ledger = file.read(16) == b"SQLite format 3\x00"
        for entry in Ledger(path).entries() if is_ledger else read_rulings(path):
            found.setdefault(entry.uid, entry)
    return list(found.values())
