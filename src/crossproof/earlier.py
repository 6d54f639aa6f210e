"""What an earlier output says of each of its records, kept on disk.

For each record a hash of what it says, its outcome and name, and the determinations that were made
of it: one row of a temporary database, so that memory does not grow with the earlier output.
"""

from __future__ import annotations

import csv
import io
import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from hashlib import sha256
from itertools import islice
from pathlib import Path

from crossproof.darwincore.history import Identification
from crossproof.darwincore.ruled import BEFORE, unruled_rows
from crossproof.long_cells import dict_reader
from crossproof.model import LEAD, Determination
from crossproof.options import OptionError
from crossproof.read import Unreadable
from crossproof.read.safezip import open_zip
from crossproof.rulings.applying import TABLE
from crossproof.rulings.ledger import NAME as LEDGER
from crossproof.rulings.ruling import Ruling
from crossproof.rulings.sheet import load
from crossproof.spreadsheet import unguard

# What a run changes by itself: the version of a rulebook, the day that a record went out.
VOLATILE = frozenset({"identificationReferences", "modified"})
_APART, _BETWEEN = "\x1f", "\x1e"
_ROLE = "determination"
RULING_ROLE = "ruling-"  # and the uid of the ruling that made the identification
_UNKNOWN = "told by an archive alone"  # no fingerprint: it equals that of no record


def said(columns: Sequence[str], cells: Sequence[str]) -> str:
    """What a row of `occurrence.csv` says, whatever else the table has columns for."""
    return "".join(
        f"{column}{_APART}{_own(column, cell)}{_BETWEEN}"
        for column, cell in zip(columns, cells, strict=False)
        if cell and column not in VOLATILE
    )


def _own(column: str, cell: str) -> str:
    return cell.partition(LEAD)[0] if column == "identificationRemarks" else cell


def digest(text: str) -> str:
    """A hash of what a row says."""
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def likeness(terms: Mapping[str, str]) -> str:
    """What makes two records without identifiers of their own one: claim, place, day, recorder.

    '' where the day or the place is missing, since then too many are alike.
    """
    place = terms.get("verbatimCoordinates") or ", ".join(
        filter(None, (terms.get("decimalLatitude"), terms.get("decimalLongitude")))
    )
    place = place or terms.get("locality", "")
    parts = [terms.get("verbatimIdentification", ""), place, terms.get("locality", "")]
    parts += [terms.get("eventDate", ""), terms.get("recordedBy", "")]
    if not place or not terms.get("eventDate"):
        return ""
    return digest(_APART.join(" ".join(part.casefold().split()) for part in parts))


@dataclass(frozen=True, slots=True)
class Known:
    """What the earlier output says of one record."""

    digest: str
    outcome: str  # '' where the earlier output is an archive alone and does not tell
    name: str  # that it went out under, the ruled one where somebody had ruled
    ruling: str  # the uid of the ruling that was in force, '' for none
    history: tuple[Identification, ...]  # what was determined, oldest first


class Earlier:
    """The records of an earlier output: a folder that `vet` wrote, its `dwca`, or `dwca.zip`.

    All of it is read at once, so that the folder may be written over afterwards. Close it after
    use.

    Raises:
        OptionError: there is no archive of ours at `path`.
    """

    def __init__(self, path: Path) -> None:
        self.name = path.name
        self._base = sqlite3.connect("")  # SQLite's own temporary file, gone when it is closed
        self._base.execute("pragma synchronous = off")
        self._base.execute(
            "create table record (id text primary key, digest text, outcome text, name text,"
            " alike text, ruling text default '', history text default '[]',"
            " state text default '')"
        )
        self._ruled: list[Ruling] = []  # of an archive alone
        try:
            self._load(path)
        except (OSError, UnicodeError, csv.Error, KeyError, Unreadable) as error:
            self.close()
            raise OptionError(
                f"--since {path}: no earlier output can be read there ({error}); name a folder "
                "that 'crossproof vet' wrote, or its dwca or dwca.zip"
            ) from None
        self._base.execute("create index by_alike on record (alike)")

    def _load(self, path: Path) -> None:
        home = _home(path)
        for rows in _batches(_rows(home, "occurrence.csv")):
            self._base.executemany(
                "insert or ignore into record (id, digest, outcome, name, alike)"
                " values (?, ?, '', ?, ?)",
                [
                    (
                        row["occurrenceID"],
                        digest(said([*row], [*row.values()])),
                        _name(row),
                        likeness(row),
                    )
                    for row in rows
                ],
            )
        for rows in _batches(_rows(home, "identification.csv")):
            for row in rows:
                self._note(row)
        folder = home.parent if home.name == "dwca" else path
        if home.name == "dwca" and (folder / BEFORE).is_file():  # just read as it was judged
            for row in _as_they_stand(home, "identification.csv"):
                self._note_ruling(row)
        if tables := [p for p in (folder / LEDGER, folder / TABLE) if p.is_file()]:
            self._ruled = load(tables)
        if (folder / "verdicts.csv").is_file():
            for rows in _batches(_rows(folder, "verdicts.csv")):
                self._base.executemany(
                    "update record set outcome = ? where id = ?",
                    [(row["outcome"], unguard(row["occurrenceID"])) for row in rows],
                )

    def _note(self, row: Mapping[str, str]) -> None:
        owner, role = row["occurrenceID"], row["identificationID"].rpartition("#")[2]
        self._note_ruling(row)
        if role == "claim" and row["isAcceptedIdentification"] == "false":
            self._base.execute("update record set outcome = 'lowered' where id = ?", (owner,))
        if role.rstrip("-0123456789") == _ROLE:
            self._base.execute(
                "update record set history = json_insert(history, '$[#]', json(?)) where id = ?",
                (json.dumps(dict(row), ensure_ascii=False), owner),
            )

    def _note_ruling(self, row: Mapping[str, str]) -> None:
        """Note which ruling was in force, and the name that the record went out under."""
        role = row["identificationID"].rpartition("#")[2]
        if role.startswith(RULING_ROLE) and row["isAcceptedIdentification"] == "true":
            self._base.execute(
                "update record set ruling = ?, name = ? where id = ?",
                (role.removeprefix(RULING_ROLE), _name(row), row["occurrenceID"]),
            )
            # An archive alone does not tell what was judged before the ruling.
            self._base.execute(
                "update record set outcome = '' where id = ?", (row["occurrenceID"],)
            )
            self._ruled.append(_ruling(row))

    @property
    def rulings(self) -> list[Ruling]:
        """What people ruled on the earlier output.

        An archive alone holds no ledger. What it says of its rulings cannot tell whether a record
        still says what it said then, so each of them needs another look.
        """
        return self._ruled

    def expect(self, identifiers: Iterable[str]) -> None:
        """Note which records come again under their own identifiers."""
        self._base.executemany(
            "update record set state = 'expected' where id = ? and state = ''",
            ((identifier,) for identifier in identifiers),
        )

    def take(self, identifier: str) -> bool:
        """Note that a record is there; False where another one has come under its identifier."""
        found = self._base.execute(
            "update record set state = 'here' where id = ? and state != 'here'", (identifier,)
        )
        return found.rowcount > 0 or not self.has(identifier)

    def has(self, identifier: str) -> bool:
        """Whether the earlier output has a record of this identifier."""
        found = self._base.execute("select 1 from record where id = ?", (identifier,))
        return found.fetchone() is not None

    def alike(self, terms: Mapping[str, str]) -> str:
        """The identifier of the one record of the same likeness that has not come again."""
        alike = likeness(terms)
        found = self._base.execute(
            "select id from record where alike = ? and state = '' limit 2", (alike,)
        ).fetchall()
        return str(found[0][0]) if alike and len(found) == 1 else ""

    def known(self, identifier: str) -> Known | None:
        """What the earlier output says of a record, None where it has none."""
        found = self._base.execute(
            "select digest, outcome, name, ruling, history from record where id = ?", (identifier,)
        ).fetchone()
        if not found:
            return None
        rows = json.loads(found[4])
        digest, outcome, name, ruling = found[:4]
        return Known(digest, outcome, name, ruling, tuple(map(_identification, rows)))

    def gone(self) -> Iterator[tuple[str, str, str, str, bool]]:
        """The records that are not exported again, in their order.

        Each with its identifier, outcome, name, the ruling that was in force, and whether a row of
        its identifier came at all.
        """
        yield from self._base.execute(
            "select id, outcome, name, ruling, state = 'expected' from record"
            " where state != 'here' order by rowid"
        )

    def close(self) -> None:
        self._base.close()


def _home(path: Path) -> Path:
    """The archive to read: of a whole output the one in it, which can be told as it was judged."""
    if (path / "dwca").is_dir():
        return path / "dwca"
    if path.name == "dwca.zip" and (path.parent / BEFORE).is_file():
        return path.parent / "dwca"
    return path


def _rows(home: Path, name: str) -> Iterator[dict[str, str]]:
    """The rows of a table of the earlier archive, as judged where that is still known."""
    if home.name == "dwca" and (home.parent / BEFORE).is_file():
        # What was judged is compared with what is judged now, and rulings with rulings.
        yield from unruled_rows(home.parent, f"dwca/{name}")
    else:
        yield from _as_they_stand(home, name)


def _as_they_stand(home: Path, name: str) -> Iterator[dict[str, str]]:
    with ExitStack() as stack:
        if home.is_dir():
            binary = stack.enter_context((home / name).open("rb"))
        else:
            archive = stack.enter_context(open_zip(home))
            binary = stack.enter_context(archive.open(name))  # type: ignore[arg-type]
        text = stack.enter_context(io.TextIOWrapper(binary, "utf-8", newline=""))
        for row in dict_reader(text):
            yield {term: cell or "" for term, cell in row.items() if term is not None}


def _batches(rows: Iterator[dict[str, str]]) -> Iterator[list[dict[str, str]]]:
    while many := list(islice(rows, 5_000)):
        yield many


def _name(row: Mapping[str, str]) -> str:
    """The name without its author."""
    author = row.get("scientificNameAuthorship", "")
    return row.get("scientificName", "").removesuffix(f" {author}" if author else "")


def _identification(row: Mapping[str, str]) -> Identification:
    remarks, _, reasoning = row.get("identificationRemarks", "").partition(LEAD)
    return Identification(
        role=row["identificationID"].rpartition("#")[2],
        accepted=False,
        name=_name(row),
        authorship=row.get("scientificNameAuthorship", ""),
        rank=row.get("taxonRank", ""),
        qualifier=row.get("identificationQualifier", ""),
        formula=row.get("taxonFormula", "A"),
        words=row.get("verbatimIdentification", ""),
        identified_by=row.get("identifiedBy", ""),
        date=row.get("dateIdentified", ""),
        references=row.get("identificationReferences", ""),
        verification=row.get("identificationVerificationStatus", ""),
        remarks=remarks.removesuffix(" | "),
        reasoning=reasoning,
        kind=row.get("identificationType", ""),
    )


def _ruling(row: Mapping[str, str]) -> Ruling:
    """The ruling that made an identification, as far as an archive alone tells it."""
    return Ruling(
        uid=row["identificationID"].rpartition(f"#{RULING_ROLE}")[2],
        record=row["occurrenceID"],
        action="determine",
        by=row.get("identifiedBy", ""),
        on=row.get("dateIdentified", ""),
        reason=row.get("identificationRemarks", ""),
        content=_UNKNOWN,
        determination=Determination(
            scientific_name=_name(row),
            authorship=row.get("scientificNameAuthorship", ""),
            rank=row.get("taxonRank", ""),
            qualifier=row.get("identificationQualifier", ""),
            formula=row.get("taxonFormula", "") or "A",
        ),
        claim=row.get("verbatimIdentification", ""),
        made=f"{row.get('dateIdentified', '')}T00:00:00.000000+00:00",
    )
