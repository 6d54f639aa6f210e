"""What the extensions of an archive say of each record, put beside the record.

Each extension row is reduced to (column, text) pairs and kept, by the record's id, in a temporary
SQLite database on disk, so that memory does not grow with the extensions.
"""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import islice

from crossproof.read import own
from crossproof.read.headings import OURS, Recogniser

Pairs = Iterable[tuple[str, str]]
Reduce = Callable[[str, Mapping[str, str]], Pairs]  # of a record's id and one row

HISTORY = "previousIdentifications"
OTHER_FACTS = "measurementOrFact"
_LISTED = {HISTORY, "photo"}  # joined as Darwin Core joins lists: ` | `; words with `; `
_APART = "\x1f"  # between the name of an earlier identification and the rest of it


def reducer(kind: str, recogniser: Recogniser, *, ours: bool = False) -> Reduce | None:
    """How rows of an extension are reduced; None where nothing is known of its row type.

    `ours` says that this project wrote of these records before: their photos then stand among
    their own columns already.
    """
    match kind:
        case "MeasurementOrFact":
            return lambda key, row: _measurement(key, row, recogniser)
        case "Identification":
            return _identification
        case "Multimedia":
            return (
                (lambda _, row: [(own.PHOTO, words) for _, words in _media("", row)][:1])
                if ours
                else _media
            )
    return None


def _measurement(key: str, row: Mapping[str, str], recogniser: Recogniser) -> Pairs:
    about = ("measurementType", "measurementValue", "measurementMethod", "measurementRemarks")
    mine = own.state(row.get("measurementID", ""), key, *(row.get(term, "") for term in about))
    if mine is not None:
        return mine
    value = row.get("measurementValue", "")
    unit = row.get("measurementUnit", "")
    claim = recogniser.claim(row.get("measurementType", ""))
    if claim and (claim[1] in recogniser.extra or claim[1] in OURS):
        number = value.replace(".", "", 1).isdigit()
        return [(claim[1], f"{value} {unit}" if unit and number else value)]
    said = {term: text for term, text in row.items() if text}
    return [(OTHER_FACTS, json.dumps(said, ensure_ascii=False))] if said else []


def _identification(key: str, row: Mapping[str, str]) -> Pairs:
    mine = own.identification(key, row)
    return identified(row) if mine is None else mine


def identified(row: Mapping[str, str]) -> Pairs:
    """An identification as an entry of the record's history."""
    name = row.get("verbatimIdentification") or row.get("scientificName") or ""
    if not name:
        return []
    qualifier = row.get("identificationQualifier", "")
    who = " ".join(
        filter(None, ("det.", row.get("identifiedBy", ""), row.get("dateIdentified", "")))
    )
    rest = ", ".join(
        filter(
            None, (qualifier, who.removeprefix("det.") and who, row.get("identificationRemarks"))
        )
    )
    return [(HISTORY, f"{row.get('scientificName') or name}{_APART}{name}{_APART}{rest}")]


def _media(_: str, row: Mapping[str, str]) -> Pairs:
    if row.get("type", "").rpartition("/")[2] in {"Sound", "Text", "Dataset"}:
        return []
    # Audiovisual Core's access address first, then its or Simple Multimedia's identifier.
    places = ("accessURI", "providerManagedID", "identifier", "references")
    photo = next(filter(None, map(row.get, places)), "")
    parts = row.get("subjectPartLiteral") or row.get("subjectPart", "").rpartition("/")[2]
    return [(column, text) for column, text in (("photo", photo), ("photoParts", parts)) if text]


class Store:
    """Pairs by record id, on disk. Close it after use."""

    def __init__(self) -> None:
        self._base = sqlite3.connect("")  # SQLite's own temporary file, gone when it is closed
        self._base.execute("pragma synchronous = off")
        self._base.execute("create table said (id text, place text, words text)")
        self._base.execute("create temp table wanted (id text primary key)")
        self.columns: list[str] = []  # the places that are columns
        self.hidden: list[str] = []  # those that are not
        self.characters: set[str] = set()  # that states of ours are of
        self.claimed: set[str] = set()  # the terms that claims of ours have

    def add(self, rows: Iterable[tuple[str, Pairs]]) -> None:
        """Keep the pairs of many rows, each with its record's id."""
        pairs = ((key, place, words) for key, row in rows for place, words in row if words)
        while batch := list(islice(pairs, 10_000)):
            self._base.executemany("insert into said values (?, ?, ?)", batch)
            for place in dict.fromkeys(place for _, place, _ in batch):
                places = self.hidden if place.startswith("\x1f") else self.columns
                if place not in places:
                    places.append(place)
            for _, place, words in batch:
                if place == own.STATE:
                    self.characters.add(json.loads(words)[0])
                elif place == own.CLAIM:
                    self.claimed |= own.claimed(words).keys()

    def index(self) -> None:
        self._base.execute("create index by_id on said (id)")

    def of(self, ids: Sequence[str]) -> dict[str, dict[str, list[str]]]:
        """For each column, what was said of each of these records, in the files' order."""
        self._base.execute("delete from wanted")
        self._base.executemany("insert or ignore into wanted values (?)", ((key,) for key in ids))
        found: dict[str, dict[str, list[str]]] = {
            place: defaultdict(list) for place in (*self.columns, *self.hidden)
        }
        for key, place, words in self._base.execute(
            "select said.id, place, words from said join wanted using (id) order by said.rowid"
        ):
            found[place][key].append(words)
        return found

    def close(self) -> None:
        self._base.close()


def joined(place: str, given: str, words: Sequence[str], record: Mapping[str, str]) -> str:
    """The cell of column `place`: what the core gave and what the extensions add to it.

    An identification that is the record's present one is left out of its history, unless it says
    by whom or when and the record does not.
    """
    if place == HISTORY:
        words = [text for entry in words if (text := _earlier(entry, record))]
    if place == OTHER_FACTS:
        return f"[{', '.join(words)}]" if words else given
    parts = dict.fromkeys(filter(None, (given, *words)))
    return (" | " if place in _LISTED else "; ").join(parts)


def _earlier(entry: str, record: Mapping[str, str]) -> str:
    name, written, rest = entry.split(_APART)
    present = record.get("scientificName", "")
    same = name == present and written in (present, record.get("verbatimIdentification", ""))
    if same and (not rest or record.get("identifiedBy")):
        return ""
    return f"{written}, {rest}" if rest else written
