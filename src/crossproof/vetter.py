"""Carry chunks from submitted rows to verdicts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import repeat
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from crossproof.coding import Memo, distinct, rows_where
from crossproof.darwincore.ids import RecordIds
from crossproof.findings import Finding, finding
from crossproof.judge import judge
from crossproof.model import BrokenRow, Case, Chunk, Coded, Judged, PhotoState, Table, Verdict
from crossproof.nearby import Parents, Sightings
from crossproof.options import OptionError, Options
from crossproof.parse.cells import Cells
from crossproof.parse.mentions import mentions_in
from crossproof.parse.records import Reader, Records, Weighables
from crossproof.protection import Protection
from crossproof.read.blocks import coded_chunks
from crossproof.read.coded import plain_texts
from crossproof.read.pictures import Album
from crossproof.rulebooks.check import load_checked
from crossproof.rulebooks.load import shipped
from crossproof.rulebooks.model import Rulebook

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """One chunk after the judge: its rows, the rows that broke, and what is to be known of them.

    Findings are sorted by row, column and code. What is published of a sensitive place stands in
    `judged` and `findings`; `chunk`, `broken` and `as_found` hold what was submitted, for rows that
    go back to the submitter.
    """

    table: Table
    chunk: Chunk
    judged: Judged
    cases: Coded[Case]
    photo: Coded[PhotoState]
    broken: Sequence[BrokenRow]
    findings: Sequence[Finding]
    as_found: Sequence[Finding]

    @property
    def exported(self) -> NDArray[np.intp]:
        """The positions of the rows that become occurrences."""
        return np.flatnonzero(~self.is_returned)

    @property
    def is_returned(self) -> NDArray[np.bool_]:
        verdicts = self.judged.verdicts
        flags = np.array([v.outcome == "returned" for v in verdicts.values], dtype=bool)
        return flags[verdicts.codes] if len(flags) else np.zeros(0, dtype=bool)


class Vetter:
    """Carries chunks from submitted rows to verdicts, and remembers what it has seen."""

    def __init__(self, options: Options) -> None:
        # A rulebook of the user's own stands in for a shipped one of the same id.
        self._books = {b.id: b for b in (*shipped(), *map(load_checked, options.rulebooks))}
        self.rulebooks: tuple[Rulebook, ...] = tuple(self._books.values())
        _check_setting(options.setting, self.rulebooks)
        self._parents = _parents(options, self.rulebooks)
        self._album = Album(options.photos) if options.photos else None
        self._reader = Reader(
            self.rulebooks,
            today=options.today,
            lenient=options.lenient,
            specialists=options.specialists,
            look=self._album.look if self._album else None,
            near=self._parents,
        )
        self._shown: dict[str, str] = {}
        self._strict = options.strict_needs
        self._judge: Memo[Case, Verdict] = Memo(self._verdict)
        self._ids = RecordIds()
        self._protection = Protection(options, self.rulebooks)
        self.options = options

    @property
    def headings(self) -> dict[str, tuple[str, ...]]:
        """The headings that the rulebooks' characters are known by, each for one character.

        A character's own id is always its; any other heading goes to the first rulebook that
        knows it. Rows of other groups find their own character under it (see `Statements`).
        """
        characters = [c for book in self.rulebooks for c in book.characters.values()]
        taken = {character.id for character in characters}
        found: dict[str, list[str]] = {}
        for character in characters:
            own = found.setdefault(character.id, [])
            for heading in character.headings:
                if heading.casefold() not in taken:
                    taken.add(heading.casefold())
                    own.append(heading)
        return {character: tuple(headings) for character, headings in found.items()}

    def batches(self, paths: Sequence[Path]) -> Iterator[Batch]:
        """Read the files chunk by chunk, and vet each chunk.

        Where parents are to be looked for, the files are read once before, for these.
        """
        self.survey(paths)
        for path in paths:
            yield from map(self.vet, self.chunks(path))

    def chunks(self, path: Path, mapping: Mapping[str, str] | None = None) -> Iterator[Chunk]:
        """The chunks of a file, by the run's own mapping where none is given."""
        return coded_chunks(
            path,
            mapping=self.options.mapping if mapping is None else mapping,
            extra_headings=self.headings,
            rows=self.options.chunk_rows,
        )

    def survey(self, paths: Sequence[Path]) -> None:
        """Learn where the parents of crosses were recorded, if the options ask for it."""
        if self._parents is None:
            return
        own = [(path, None) for path in paths]
        lists: list[tuple[Path, Mapping[str, str] | None]] = [
            (path, {}) for path in self.options.parents_lists
        ]
        for path, mapping in (*lists, *own):
            for chunk in self.chunks(path, mapping):
                self.learn(chunk)

    def identifiers(self, paths: Sequence[Path]) -> Iterator[list[str]]:
        """The identifiers that the records of the files come with, or are given at first."""
        ids = RecordIds()
        for path in paths:
            for chunk in self.chunks(path):
                yield _identify(chunk, ids)[0]

    def learn(self, chunk: Chunk) -> None:
        """Learn where the parents of crosses were recorded in one chunk, if the options ask so."""
        if self._parents is not None:
            self._parents.learn(*self._reader.whereabouts(chunk))

    def vet(self, chunk: Chunk, ids: RecordIds | None = None) -> Batch:
        """Parse and judge one chunk.

        `ids` tells which identifiers are taken; those of this vetter's run if not given.
        """
        records = self._reader.read(chunk)
        verdicts = records.cases.map(self._judge)
        ids = ids or self._ids
        identifiers, repeated = _identify(chunk, ids)
        judged = Judged(
            table=chunk.table,
            numbers=chunk.numbers,
            ids=identifiers,
            claims=records.claims,
            verdicts=distinct(verdicts),
            evidence=distinct(records.stated.evidence),
            photos=records.stated.photos,
            where=records.where.map(lambda where: where.terms),
            when=records.when.map(lambda when: when.terms),
            given=records.given,
            extra=records.extra,
        )
        findings: list[Finding] = [
            *chunk.findings,
            *records.findings(),
            *repeated,
            *self._shared_pictures(records),
            *_broken(chunk),
        ]
        found = findings
        judged, findings = self._protection.protect(judged, findings, records, ids)
        return Batch(
            table=chunk.table,
            chunk=chunk,
            judged=judged,
            cases=records.cases.map(self._placed),
            photo=records.stated.photo,
            broken=chunk.broken,
            findings=sorted(findings, key=_place),
            as_found=sorted(found, key=_place),
        )

    @property
    def sightings(self) -> Sightings | None:
        """Where parents were recorded, as far as was learnt; None where nobody asked for it."""
        return self._parents.sightings if self._parents else None

    @sightings.setter
    def sightings(self, known: Sightings) -> None:
        if self._parents:
            self._parents.sightings = known

    def judge(self, cells: Cells) -> tuple[Weighables, Coded[Verdict]]:
        """Only the verdicts of the rows of a chunk, and what they rest on."""
        found = self._reader.weigh(cells)
        return found, found.cases.map(self._judge)

    def _shared_pictures(self, records: Records) -> Iterator[Finding]:
        """The same picture on two records, known by its bytes whatever its name."""
        if not self._album:
            return
        table = records.chunk.table
        for position, photos in rows_where(records.stated.photos, bool):
            number = records.chunk.numbers[position]
            here = f"{table.file} {table.sheet} row {number}".replace("  ", " ")
            for photo in photos:
                digest = self._album.look(photo.reference).digest
                first = self._shown.setdefault(digest, here) if digest else here
                if first != here:
                    yield finding(
                        "photo_shared",
                        f"the same picture stands at {first}",
                        file=table.file,
                        sheet=table.sheet,
                        row=number,
                        column=table.fields.get("photo", ""),
                        value=photo.reference,
                    )

    def _verdict(self, case: Case) -> Verdict:
        case = self._placed(case)
        return judge(case, self._books.get(case.name.rulebook), strict=self._strict)

    def _placed(self, case: Case) -> Case:
        """A case in the setting of the run, unless its record names one.

        A setting on acid soil says so of the soil as well.
        """
        book = self._books.get(case.name.rulebook)
        setting = self.options.setting
        if not book or case.setting or setting not in book.priors:
            return case
        soils = mentions_in(setting.replace("_", " "), book.mentions, frozenset({"soil"}))
        return replace(case, setting=setting, mentions=case.mentions | soils)


def _place(found: Finding) -> tuple[int, str, str]:
    return found.row, found.column, found.code


def _check_setting(setting: str, rulebooks: Sequence[Rulebook]) -> None:
    known = sorted({name for book in rulebooks for name in book.priors})
    if setting and setting not in known:
        told = f"choose one of {', '.join(known)}" if known else "no rulebook here has any"
        raise OptionError(f"no rulebook knows the setting {setting!r}; {told}")


def _parents(options: Options, rulebooks: Sequence[Rulebook]) -> Parents | None:
    if options.parents_near_km is None:
        return None
    return Parents(rulebooks, options.parents_near_km, options.parents_years)


def _identify(chunk: Chunk, ids: RecordIds) -> tuple[list[str], list[Finding]]:
    """Keep the identifiers given; give a stable one to rows that lack one, or repeat one."""
    heading = chunk.table.fields.get("occurrenceID", "")
    given = map(str.strip, plain_texts(chunk, heading)) if heading else repeat("", len(chunk))
    contents: Iterator[tuple[int, tuple[str, ...]]] | None = None  # of rows, where one is needed
    identifiers: list[str] = []
    findings: list[Finding] = []
    for position, identifier in enumerate(given):
        if identifier and ids.reserve(identifier):
            identifiers.append(identifier)
            continue
        if contents is None:
            contents = enumerate(zip(*chunk.columns, strict=True))
        identifiers += ids.assign([next(content for at, content in contents if at == position)])
        if identifier:
            findings.append(_repeated(chunk, position, heading, identifier))
    return identifiers, findings


def _repeated(chunk: Chunk, position: int, heading: str, identifier: str) -> Finding:
    return finding(
        "identifier_repeated",
        file=chunk.table.file,
        sheet=chunk.table.sheet,
        row=chunk.numbers[position],
        column=heading,
        value=identifier,
    )


def _broken(chunk: Chunk) -> Iterator[Finding]:
    for row in chunk.broken:
        yield finding(
            "row_broken",
            row.problem,
            file=chunk.table.file,
            sheet=chunk.table.sheet,
            row=row.number,
        )
