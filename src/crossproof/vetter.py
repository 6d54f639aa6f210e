"""Carry chunks from submitted rows to verdicts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from crossproof import read
from crossproof.coding import Memo
from crossproof.darwincore.ids import RecordIds
from crossproof.findings import Finding, finding
from crossproof.judge import judge
from crossproof.model import BrokenRow, Case, Chunk, Coded, Judged, PhotoState, Table, Verdict
from crossproof.options import Options
from crossproof.parse.records import Reader, Records
from crossproof.rulebooks.load import load, shipped
from crossproof.rulebooks.model import Rulebook

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """One chunk after the judge: its rows, the rows that broke, and what is to be known of them."""

    table: Table
    chunk: Chunk
    judged: Judged
    photo: Coded[PhotoState]
    broken: Sequence[BrokenRow]
    findings: Sequence[Finding]

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
        self.rulebooks: tuple[Rulebook, ...] = (*shipped(), *map(load, options.rulebooks))
        self._books = {book.id: book for book in self.rulebooks}
        self._reader = Reader(
            self.rulebooks,
            today=options.today,
            lenient=options.lenient,
            specialists=options.specialists,
        )
        self._strict = options.strict_needs
        self._judge: Memo[Case, Verdict] = Memo(self._verdict)
        self._ids = RecordIds()
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
        """Read the files chunk by chunk, and vet each chunk."""
        for path in paths:
            chunks = read.chunks(
                path,
                mapping=self.options.mapping,
                extra_headings=self.headings,
                rows=self.options.chunk_rows,
            )
            yield from map(self.vet, chunks)

    def vet(self, chunk: Chunk) -> Batch:
        """Parse and judge one chunk."""
        records = self._reader.read(chunk)
        verdicts = records.cases.map(self._judge)
        ids, repeated = self._identify(records)
        judged = Judged(
            table=chunk.table,
            numbers=chunk.numbers,
            ids=ids,
            claims=records.claims,
            verdicts=verdicts,
            evidence=records.stated.evidence,
            photos=records.stated.photos,
            where=records.where.map(lambda where: where.terms),
            when=records.when.map(lambda when: when.terms),
            given=records.given,
            extra=records.extra,
        )
        return Batch(
            table=chunk.table,
            chunk=chunk,
            judged=judged,
            photo=records.stated.photo,
            broken=chunk.broken,
            findings=[*chunk.findings, *records.findings(), *repeated, *_broken(chunk)],
        )

    def _verdict(self, case: Case) -> Verdict:
        return judge(case, self._books.get(case.name.rulebook), strict=self._strict)

    def _identify(self, records: Records) -> tuple[list[str], list[Finding]]:
        """Keep the identifiers given; give a stable one to rows that lack one, or repeat one."""
        chunk = records.chunk
        heading = chunk.table.fields.get("occurrenceID", "")
        place = chunk.table.headings.index(heading) if heading else -1
        given = list(chunk.columns[place]) if heading else [""] * len(chunk)
        findings: list[Finding] = []
        wanting: list[int] = []
        for position, identifier in enumerate(given):
            if identifier and self._ids.reserve(identifier):
                continue
            wanting.append(position)
            if identifier:
                findings.append(_repeated(chunk, position, heading, identifier))
        contents = zip(*chunk.columns, strict=True) if chunk.columns else iter(())
        rows = list(contents) if wanting else []
        for position, made in zip(
            wanting, self._ids.assign(rows[position] for position in wanting), strict=True
        ):
            given[position] = made
        return given, findings


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
