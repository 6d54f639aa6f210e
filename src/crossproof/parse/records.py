"""Submitted rows to typed records: one chunk at a time, each distinct string read once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from crossproof.coding import cross, distinct, rows_where
from crossproof.findings import Finding, finding
from crossproof.model import Case, Chunk, Claim, Coded
from crossproof.parse.cases import Cases, Near
from crossproof.parse.cells import Cells
from crossproof.parse.claims import Claims
from crossproof.parse.evidence import Stated, Statements
from crossproof.parse.leftovers import extra_properties, given_terms
from crossproof.parse.location import Locations, Where
from crossproof.parse.pictures import Look, check_pictures
from crossproof.parse.problem import Problem
from crossproof.parse.timing import Dates, When
from crossproof.rulebooks.model import Rulebook


@dataclass(frozen=True, slots=True, kw_only=True)
class Records:
    """The rows of a chunk, read. All columns have the chunk's rows, in its order."""

    chunk: Chunk
    claims: Coded[Claim]
    stated: Stated
    where: Coded[Where]
    when: Coded[When]
    cases: Coded[Case]
    given: Mapping[str, Coded[str]]
    extra: Coded[str]

    def findings(self) -> Iterator[Finding]:
        """Everything to know about the cells of these rows, in no order."""
        yield from _expand(self, self.claims.map(_about_name))
        for problems in self.stated.problems:
            yield from _expand(self, problems)
        yield from _expand(self, self.where.map(lambda where: where.problems))
        yield from _expand(self, self.when.map(lambda when: when.problems))


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighables:
    """What the judge needs of the rows of a chunk, and nothing else of them."""

    claims: Coded[Claim]
    stated: Stated
    where: Coded[Where]
    when: Coded[When]
    cases: Coded[Case]


class Reader:
    """Reads chunk after chunk. It remembers what it read, so keep one for a whole run.

    Args:
        rulebooks: the plant groups to hold claims against.
        today: dates after it are refused; the default is the day of the run.
        lenient: judge rows without a readable place or date as well, as an audit does.
        specialists: names of determiners whose word counts as a specialist's.
        look: tells what is known of a picture by its reference; without it references are
            taken at their word.
        near: tells whether the parents of a cross were recorded near by, for records that do not
            say so themselves.
    """

    def __init__(
        self,
        rulebooks: Sequence[Rulebook],
        *,
        today: date | None = None,
        lenient: bool = False,
        specialists: Sequence[str] = (),
        look: Look | None = None,
        near: Near | None = None,
    ) -> None:
        self._rulebooks = {book.id: book for book in rulebooks}
        self._characters = frozenset(c for book in rulebooks for c in book.characters)
        self._claims = Claims(rulebooks)
        self._statements = Statements(self._rulebooks)
        mentions = {m.id: m for book in rulebooks for m in book.mentions if m.kind == "region"}
        self._locations = Locations(tuple(mentions.values()))
        self._dates = Dates(today)
        self._look = look
        self._cases = Cases(self._rulebooks, lenient=lenient, specialists=specialists, near=near)
        self._wanted = {book.id: _wanted_parts(book) for book in rulebooks}

    def read(self, chunk: Chunk) -> Records:
        """Read the rows of one chunk."""
        cells = Cells(chunk)
        found = self._weighed(cells, self._locations.read(cells))
        return Records(
            chunk=chunk,
            claims=found.claims,
            stated=found.stated,
            where=found.where,
            when=found.when,
            cases=found.cases,
            given=given_terms(cells, self._characters),
            extra=extra_properties(cells, self._characters, found.claims, found.where, found.when),
        )

    def weigh(self, cells: Cells) -> Weighables:
        """Read only what the judge needs, and a count."""
        return self._weighed(cells, self._locations.read_briefly(cells))

    def _weighed(self, cells: Cells, where: Coded[Where]) -> Weighables:
        claims = self._claims.read(cells)
        stated = self._statements.read(cells, claims)
        when = self._dates.read(cells)
        if self._look:
            stated = self._check_pictures(self._look, claims, stated, where, when)
        return Weighables(
            claims=claims,
            stated=stated,
            where=where,
            when=when,
            cases=self._cases.of(claims, stated, where, when),
        )

    def whereabouts(
        self, chunk: Chunk
    ) -> tuple[Coded[Claim], Coded[Where], Coded[When], Coded[str]]:
        """The claim, place, date and occurrence status of each row, and nothing else of it."""
        cells = Cells(chunk)
        return (
            self._claims.read(cells),
            self._locations.read(cells),
            self._dates.read(cells),
            cells["occurrenceStatus"],
        )

    def _check_pictures(
        self,
        look: Look,
        claims: Coded[Claim],
        stated: Stated,
        where: Coded[Where],
        when: Coded[When],
    ) -> Stated:
        """Let only pictures count that open and show what is wanted; say what disagrees."""
        wanted = distinct(
            claims.map(lambda claim: self._wanted.get(claim.name.rulebook, frozenset()))
        )
        checked = cross(stated.photo, stated.photos, wanted, where, when).map(
            lambda parts: check_pictures(
                parts[0], parts[1], wanted=parts[2], where=parts[3], when=parts[4], look=look
            )
        )
        return replace(
            stated,
            photo=distinct(checked.map(lambda result: result[0])),
            problems=(*stated.problems, checked.map(lambda result: result[1])),
        )


def _wanted_parts(book: Rulebook) -> frozenset[str]:
    """The subject parts of the characters that the rulebook's claims need."""
    needed = {what for need in book.requirements for what in need.all_of}
    return frozenset(
        part
        for character in book.characters.values()
        if character.id in needed
        for part in character.media_parts
    )


def _about_name(claim: Claim) -> tuple[Problem, ...]:
    name = claim.name
    if not claim.words:
        return (Problem("name_missing", "scientificName", ""),)
    if name.kind == "unresolved":
        meant = f"; it may mean {', '.join(name.candidates)}" if name.candidates else ""
        return (Problem("name_unresolved", "scientificName", claim.words, name.reason + meant),)
    return tuple(
        Problem("name_corrected", "scientificName", claim.words, assumed)
        for assumed in name.assumed
    )


def _expand(records: Records, problems: Coded[tuple[Problem, ...]]) -> Iterator[Finding]:
    """The problems of distinct values, at every row that holds the value."""
    table = records.chunk.table
    for position, found in rows_where(problems, bool):
        for problem in found:
            place: dict[str, str | int] = {
                "file": table.file,
                "sheet": table.sheet,
                "row": records.chunk.numbers[position],
                "column": table.fields.get(problem.field, problem.field),
                "value": problem.value,
            }
            if problem.remedy:
                place["remedy"] = problem.remedy
            yield finding(problem.code, problem.message, **place)
