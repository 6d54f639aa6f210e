"""What this project wrote itself, taken back to what was submitted.

An archive or data package of ours tells each record's columns without a Darwin Core term by their
own headings, and what was made of them beside. Read again, the headings are columns again, and
what was made of them is made anew.
"""

from __future__ import annotations

import json
import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from crossproof.model import LEAD, Chunk, Table
from crossproof.read.headings import OURS, Recogniser

CLAIM = "\x1fclaim"  # places in the store that are no columns
STATE = "\x1fstate"
PHOTO = "\x1fphoto"
HIDDEN = frozenset({CLAIM, STATE, PHOTO})  # those that `restore` takes
PROPERTIES = "dynamicProperties"
REMARKS = (
    *("occurrenceRemarks", "identificationRemarks", "eventRemarks"),
    *("fieldNotes", "organismRemarks"),
)
MOST_KEYS = 1000  # names of dynamicProperties that are looked at in one file

# Computed for each record, so that what stands there is never a person's.
_COMPUTED = ("identificationType", "taxonFormula")
_PARENTS = re.compile(r"(?:\A|\s\|\s)Hybrid; in the formula A = .*\Z", re.DOTALL)
_READ = re.compile(r"read from (a column of its own|a measurement|the remarks|a photo)")
_WORDS = re.compile(r"as written: “(.*)”(?:; (\w+))?\Z", re.DOTALL)
_WEIGHTS = {"faint": "faint {}", "hedged": "probably {}", "questioned": "{}?"}
# Of the claim's own identification, what is computed; the rest is as it was submitted.
_NOT_CLAIMED = frozenset(
    {
        *(
            "identification_pk",
            "occurrence_fk",
            "identificationID",
            "isAcceptedIdentification",
            "identificationReferences",
        ),
        *("identificationRemarks", "taxonRemarks", "taxonRank", "scientificName", *_COMPUTED),
    }
)
_OFTEN = frozenset(
    {
        *("verbatimIdentification", "identifiedBy", "dateIdentified", "identificationQualifier"),
        *("identificationVerificationStatus", "scientificNameAuthorship"),
    }
)
_NAME = "scientificName"
_PREVIOUS = "previousIdentifications"
NAMES = frozenset({"scientificName", "vernacularName"})
CITATION = "crossproof rulebook "


def identification(key: str, row: Mapping[str, str]) -> list[tuple[str, str]] | None:
    """An identification of ours, told by its identifier: the claim; None where it is not ours.

    Any other than the claim is told in previousIdentifications too, or is made anew.
    """
    whose, _, role = row.get("identificationID", "").rpartition("#")
    if not key or whose != key:
        return None
    return [(CLAIM, json.dumps(dict(row), ensure_ascii=False))] if role == "claim" else []


def claimed(words: str) -> dict[str, str]:
    """The terms of a claim that were submitted, of those that `identification` has kept.

    They are all here even where they are blank, but for terms that a claim seldom has.
    """
    told = json.loads(words)
    return {t: text for t, text in told.items() if t not in _NOT_CLAIMED and (text or t in _OFTEN)}


def state(
    identifier: str, key: str, character: str, value: str, read: str, words: str
) -> list[tuple[str, str]] | None:
    """A state that we read from a record; None where somebody else stated it."""
    source = _READ.fullmatch(read)
    if not source or not identifier.startswith(f"{key}#"):
        return None
    if source[1] not in ("a column of its own", "a measurement"):
        return []  # it is read from the remarks again
    written = _WORDS.fullmatch(words)
    text = written[1] if written else value
    weight = _WEIGHTS.get((written[2] if written else words) or "", "{}")
    return [(STATE, json.dumps([character, text, weight.format(text)], ensure_ascii=False))]


@dataclass(frozen=True, slots=True)
class Properties:
    """The headings inside dynamicProperties that are read as columns, by the field they stand for.

    Several headings may stand for one field, in different rows; `fields` has the best first.
    """

    fields: Mapping[str, tuple[str, ...]]

    @classmethod
    def of(
        cls,
        texts: Iterable[str],
        table: Table,
        recogniser: Recogniser,
        more: Iterable[str] = (),
        *,
        ours: bool = False,
    ) -> Properties:
        """Look through all of a file's dynamicProperties.

        `more` are fields that need a column whether or not a heading stands for them. In a file
        of ours the names of plants stand here too, where the words of the claim don't tell them.
        """
        names = NAMES if ours else frozenset()
        taken = table.fields.keys() - names
        keys: dict[str, None] = {}
        for text in texts:
            for key in _object(text):
                if key not in keys and len(keys) < MOST_KEYS:
                    keys[key] = None
        found: dict[str, list[tuple[tuple[int, int], str]]] = {}
        for key in keys:
            claim = recogniser.claim(key)
            if (
                claim
                and (claim[1] in OURS or claim[1] in recogniser.extra or claim[1] in names)
                and claim[1] not in taken
                and key not in table.headings
            ):
                found.setdefault(claim[1], []).append((claim[0], key))
        fields = {
            name: tuple(key for _, key in sorted(e, key=lambda k: k[0]))
            for name, e in found.items()
        }
        for name in sorted(more):
            if name not in fields and name not in table.fields and name not in table.headings:
                fields[name] = (name,)
        return cls(fields)

    @property
    def headings(self) -> tuple[str, ...]:
        return tuple(key for keys in self.fields.values() for key in keys)

    def complete(self, table: Table) -> Table:
        """The table with a column for each heading."""
        first = {name: keys[0] for name, keys in self.fields.items()}
        return replace(
            table, headings=(*table.headings, *self.headings), fields={**table.fields, **first}
        )

    def spread(self, chunk: Chunk) -> Iterator[Chunk]:
        """Fill the columns of `headings`, which stand last in the chunk.

        Where a field's heading changes from one row to the next, a new chunk begins.
        """
        if not self.fields:
            yield chunk
            return
        texts = _column(chunk, PROPERTIES)
        start = len(chunk.table.headings) - len(self.headings)
        columns = [list(column) for column in chunk.columns]
        places = {key: start + k for k, key in enumerate(self.headings)}
        doubtful = {name: keys for name, keys in self.fields.items() if len(keys) > 1}
        cuts: list[tuple[int, dict[str, str]]] = [(0, {})]
        for row, text in enumerate(texts):
            said = _object(text)
            for key in said.keys() & places.keys():
                columns[places[key]][row] = said[key]
            for name, keys in doubtful.items():
                used = next((key for key in keys if said.get(key, "").strip()), "")
                if used and cuts[-1][1].get(name, used) != used:
                    cuts.append((row, {}))
                if used:
                    cuts[-1][1][name] = used
        whole = replace(chunk, columns=columns)
        ends = [row for row, _ in cuts[1:]] + [len(chunk)]
        for (begin, chosen), end in zip(cuts, ends, strict=True):
            yield _part(whole, begin, end, chosen)


def _part(chunk: Chunk, begin: int, end: int, chosen: Mapping[str, str]) -> Chunk:
    """Some rows of a chunk, with other headings for some fields."""
    table = replace(chunk.table, fields={**chunk.table.fields, **chosen})
    if (begin, end) == (0, len(chunk)):
        return replace(chunk, table=table)
    first = 0 if begin == 0 else chunk.numbers[begin]
    last = chunk.numbers[end] if end < len(chunk) else None
    numbers = [broken.number for broken in chunk.broken]
    broken = chunk.broken[
        bisect_left(numbers, first) : len(numbers) if last is None else bisect_left(numbers, last)
    ]
    return Chunk(
        table,
        chunk.numbers[begin:end],
        [column[begin:end] for column in chunk.columns],
        broken,
        chunk.findings if begin == 0 else (),
    )


def restore(
    chunk: Chunk, ids: Sequence[str], said: Mapping[str, Mapping[str, Sequence[str]]]
) -> Chunk:
    """Put the claim in the place of what was made of it, in the records that are ours.

    `said` has the claims, states and photos of the records by their ids (see `HIDDEN`). A state
    or a photo is used only where the words it was read from are gone.
    """
    claims, states, photos = (said.get(place, {}) for place in (CLAIM, STATE, PHOTO))
    if not claims and not states and not photos:
        return chunk
    columns = {
        heading: list(column)
        for heading, column in zip(chunk.table.headings, chunk.columns, strict=True)
    }
    fields = chunk.table.fields
    names = fields.get(_NAME, _NAME)  # the heading under which names are looked for
    read = [columns[h] for name, h in fields.items() if name in REMARKS or name not in columns]
    for row, key in enumerate(ids):
        if key in claims:
            _put_claim(columns, row, claims[key][-1])
        elif names != _NAME and _NAME in columns:
            # Of somebody else, in one file with ours.
            columns[names][row], columns[_NAME][row] = columns[_NAME][row], ""
        for text in states.get(key, ()):
            character, words, cell = json.loads(text)
            column = columns.get(fields.get(character, ""))
            if (
                column
                and not column[row].strip()
                and not any(words in c[row].partition(LEAD)[0] for c in read)
            ):
                column[row] = cell
        if key in photos and "photo" in fields:
            column = columns[fields["photo"]]
            media = columns.get(fields.get("associatedMedia", ""), column)
            if not column[row].strip() and not media[row].strip():
                column[row] = " | ".join(dict.fromkeys(photos[key]))
    return replace(chunk, columns=list(columns.values()))


def _put_claim(columns: Mapping[str, list[str]], row: int, words: str) -> None:
    claim, told = claimed(words), json.loads(words)
    lowered = told.get("isAcceptedIdentification") == "false"
    cells = dict.fromkeys((*_COMPUTED, "taxonRank", _NAME), "")
    if PROPERTIES in columns:
        cells[_NAME] = _object(columns[PROPERTIES][row]).get(_NAME, "")
    if not lowered and CITATION in told.get("identificationReferences", ""):
        cells["scientificNameAuthorship"] = ""  # the rulebook's
    for term, text in claim.items():
        # A data package keeps the taxon terms of a claim with its identification alone.
        if lowered or (term not in _OFTEN and term in columns and not columns[term][row]):
            cells[term] = text
    if lowered and _PREVIOUS in columns:
        # The claim itself was added at the end.
        by = told.get("identifiedBy", "")
        parts = (
            told.get(_NAME) or told.get("verbatimIdentification", ""),
            by and f"identified by {by}",
            told.get("dateIdentified", ""),
        )
        added = ", ".join(filter(None, parts))
        before = columns[_PREVIOUS][row]
        cells[_PREVIOUS] = "" if before == added else before.removesuffix(f" | {added}")
    for term, text in cells.items():
        if term in columns:
            columns[term][row] = text
    if "taxonRemarks" in columns:
        columns["taxonRemarks"][row] = _PARENTS.sub("", columns["taxonRemarks"][row])


def _column(chunk: Chunk, field: str) -> Sequence[str]:
    heading = chunk.table.fields.get(field)
    return chunk.columns[chunk.table.headings.index(heading)] if heading else [""] * len(chunk)


@lru_cache(maxsize=4096)
def _object(text: str) -> Mapping[str, str]:
    """The texts of a JSON object by their names; nothing where a text is no such object."""
    if not text.lstrip().startswith("{"):
        return {}
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        return {}
    if not isinstance(value, dict):
        return {}
    return {name: inner for name, inner in value.items() if isinstance(inner, str) and inner}
