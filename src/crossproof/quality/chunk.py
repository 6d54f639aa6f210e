"""Test and amend one chunk of a table."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from . import amending, distinct, registry, taxonlist
from . import response as said
from .distinct import Column
from .record_measures import COUNTED, count
from .registry import Settings, Test
from .response import Response
from .running import answer, prepare
from .tally import Tally, answer_of
from .writing import Coded, Table

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    Codes = NDArray[np.int64]

FAILING = (said.NOT_COMPLIANT, said.POTENTIAL_ISSUE)
REMEMBERED = 10_000  # cases kept per test from one chunk to the next


class Terms:
    """The terms that tests read of some records, as codes into distinct values."""

    def __init__(self, columns: Mapping[str, Column], rows: int) -> None:
        self.rows = rows
        self.columns = {**columns}
        self.presence = {term: distinct.presence(each) for term, each in self.columns.items()}

    def replace(self, term: str, values: Sequence[str], codes: Codes) -> None:
        self.columns[term] = Column(list(values), codes)
        self.presence[term] = distinct.presence(self.columns[term])


class Chunk(Terms):
    """Some rows of a table, and the terms that the tests read of them."""

    def __init__(self, frame: pd.DataFrame, start: int) -> None:
        import numpy as np

        self.frame = frame
        self.numbers = np.arange(start + 1, start + 1 + len(frame))
        self.named = distinct.prefixed(frame.columns)
        columns = {term: distinct.encode(frame[name]) for term, name in self.named.items()}
        super().__init__(columns, len(frame))
        self._origins: dict[str, Column] = {}

    def origin(self, name: str) -> Column:
        """A column that says where the records come from, whatever the tests read."""
        if name not in self._origins:
            self._origins[name] = distinct.encode(self.frame[name])
        return self._origins[name]


class Checker:
    """The tests with their settings, what they answered before, and how often each answer."""

    def __init__(
        self,
        parameters: Mapping[str, Mapping[str, str]],
        taxa: str | Path | None,
        today: date,
        beside: tuple[str, ...] = (),
    ) -> None:
        self.today = today
        self._beside = beside
        self._given = {
            registry.find(test).declaration.guid: own for test, own in parameters.items()
        }
        known = taxonlist.load(taxa) if taxa is not None else None
        self._settings = {
            test.declaration.guid: self._prepared(test, known)
            for test in registry.registered().values()
        }
        self._memory: dict[str, dict[tuple[str, ...], Response]] = {}
        self._tallies = {guid: Tally(each) for guid, each in registry.declarations().items()}
        self._after: dict[str, Tally] = {}

    def _prepared(self, test: Test, taxa: taxonlist.TaxonList | None) -> Settings | Response:
        guid = test.declaration.guid
        settings = prepare(test.declaration, self._given.get(guid, {}), self.today)
        if isinstance(settings, Response) or settings.taxa is not None:
            return settings
        settings = Settings(settings.parameters, settings.today, taxa)
        if test.configurable and test.declaration.needs == "authority" and taxa is None:
            # Without the list the answer is the same whatever the record: give it once.
            return answer(test, ("",) * len(test.declaration.inputs), settings)
        return settings

    def tallies(self) -> tuple[Tally, ...]:
        return tuple(self._tallies.values())

    def tallies_after(self) -> tuple[Tally, ...]:
        return tuple(self._after.values())

    def check(
        self,
        chunk: Chunk,
        responses: Table,
        amendments: Table | None,
        failing: Table | None = None,
    ) -> None:
        """Run every test on a chunk; write the responses and, where asked, the proposals and the
        responses of the records that fail a test."""
        counts = {guid: _zeros(chunk.rows) for guid in COUNTED}
        for test in _counting_last():
            guid = test.declaration.guid
            if guid in COUNTED:
                found, codes = _counted(guid, counts[guid])
            else:
                found, codes = self.respond(chunk, test)
                _add_counts(counts, test, found, codes)
            _tally(self._tallies[guid], found, codes)
            responses.write(
                {
                    "record": chunk.numbers,
                    "test": ((test.declaration.label,), _zeros(chunk.rows)),
                    "status": _coded([each.status for each in found], codes),
                    "result": _coded([each.result for each in found], codes),
                    "comment": _coded([each.comment for each in found], codes),
                }
            )
            if failing is not None:
                self._write_failing(failing, chunk, test, found, codes)
            if amendments is not None and test.declaration.kind == "AMENDMENT":
                self._write_changes(amendments, chunk, test, found, codes)

    def amend(self, chunk: Chunk, only: Collection[str] | None, amendments: Table) -> pd.DataFrame:
        """Make the amendments on a chunk, in order, record them, and tally the validations anew."""
        frame = chunk.frame.copy()
        for test in amending.in_order(only):
            found, codes = self.respond(chunk, test)
            self._write_changes(amendments, chunk, test, found, codes)
            for term, values, places in _proposals(found, codes):
                _apply(chunk, term, values, codes, places)
        for term in _fillable():
            name = chunk.named.get(term, term.partition(":")[2])
            column = chunk.columns.get(term)
            if column is None:
                frame[name] = ""
            else:
                frame[name] = [column.values[code] for code in column.codes.tolist()]
        for guid, test in registry.registered().items():
            if test.declaration.kind == "VALIDATION":
                tally = self._after.setdefault(guid, Tally(test.declaration))
                _tally(tally, *self.respond(chunk, test))
        return frame

    def _write_failing(
        self, table: Table, chunk: Chunk, test: Test, found: Sequence[Response], codes: Codes
    ) -> None:
        places = _where(codes, [each.result in FAILING for each in found])
        if len(places):
            table.write(
                {
                    **self._whence(chunk, places),
                    "test": ((test.declaration.label,), _zeros(len(places))),
                    "result": _coded([each.result for each in found], codes[places]),
                    "comment": _coded([each.comment for each in found], codes[places]),
                }
            )

    def _write_changes(
        self, table: Table, chunk: Chunk, test: Test, found: Sequence[Response], codes: Codes
    ) -> None:
        for term, values, places in _proposals(found, codes):
            nothing = (("",), _zeros(len(places)))
            before = chunk.columns.get(term)
            table.write(
                {
                    **self._whence(chunk, places),
                    "test": ((test.declaration.label,), _zeros(len(places))),
                    "status": _coded([each.status for each in found], codes[places]),
                    "term": ((term,), _zeros(len(places))),
                    "value": (before.values, before.codes[places]) if before else nothing,
                    "proposed": _coded(values, codes[places]),
                }
            )

    def _whence(self, chunk: Chunk, places: Codes) -> dict[str, Coded | Codes]:
        """Number, place of origin and identifier of some records."""
        nothing = (("",), _zeros(len(places)))
        identifier = chunk.columns.get("dwc:occurrenceID")
        cells: dict[str, Coded | Codes] = {"record": chunk.numbers[places]}
        for name in self._beside:
            column = chunk.origin(name)
            cells[name] = (column.values, column.codes[places])
        cells["occurrenceID"] = (
            (identifier.values, identifier.codes[places]) if identifier else nothing
        )
        return cells

    def respond(self, chunk: Terms, test: Test) -> tuple[list[Response], Codes]:
        """Return the distinct responses of a test on a chunk, and which of them each row got."""
        settings = self._settings[test.declaration.guid]
        if isinstance(settings, Response):
            return [settings], _zeros(chunk.rows)
        columns = chunk.presence if test.presence_only else chunk.columns
        found = distinct.cases(columns, test.declaration.inputs, chunk.rows)
        answers = self._answers(test, found.values, settings)
        numbered: dict[Response, int] = {}
        each = [numbered.setdefault(response, len(numbered)) for response in answers]
        return list(numbered), _array(each)[found.codes]

    def _answers(
        self, test: Test, values: list[tuple[str, ...]], settings: Settings
    ) -> Iterator[Response]:
        """Answer each case, from memory where it came before and the cases are few."""
        if len(values) > REMEMBERED:
            return (answer(test, case, settings) for case in values)
        memory = self._memory.setdefault(test.declaration.guid, {})
        if len(memory) > REMEMBERED:
            memory.clear()
        for case in values:
            if case not in memory:
                memory[case] = answer(test, case, settings)
        return (memory[case] for case in values)


def _counting_last() -> list[Test]:
    return sorted(registry.registered().values(), key=lambda test: test.declaration.guid in COUNTED)


def _fillable() -> tuple[str, ...]:
    """Every term an amendment may change: the amended table has a column for each."""
    terms = (term for test in amending.in_order() for term in test.declaration.acted_upon)
    return tuple(dict.fromkeys(terms))


def _zeros(rows: int) -> Codes:
    import numpy as np

    return np.zeros(rows, dtype="int64")


def _where(codes: Codes, wanted: Sequence[bool]) -> Codes:
    """The rows that got one of the responses wanted."""
    import numpy as np

    return np.flatnonzero(np.array(wanted, dtype=bool)[codes])


def _array(values: Sequence[int]) -> Codes:
    import numpy as np

    return np.array(values, dtype="int64")


def _coded(texts: Sequence[str], codes: Codes) -> tuple[list[str], Codes]:
    """Number the distinct texts anew: many responses share a status or a comment."""
    numbered: dict[str, int] = {}
    places = _array([numbered.setdefault(text, len(numbered)) for text in texts])
    return list(numbered), places[codes]


def _add_counts(
    counts: Mapping[str, Codes], test: Test, found: Sequence[Response], codes: Codes
) -> None:
    for guid, (kind, counted) in COUNTED.items():
        if kind == test.declaration.kind:
            counts[guid] += _array([answer_of(each) in counted for each in found])[codes]


def _counted(guid: str, totals: Codes) -> tuple[list[Response], Codes]:
    """Turn the counts of each record into the responses of a measure."""
    import pandas as pd

    kind = COUNTED[guid][0]
    tests = sum(each.kind == kind for each in registry.declarations().values())
    codes, uniques = pd.factorize(totals)
    wording = count(guid, [said.Response(said.RUN_HAS_RESULT, "", "")] * tests).comment
    return [said.measured(int(each), wording) for each in uniques], codes


def _tally(tally: Tally, found: Sequence[Response], codes: Codes) -> None:
    import numpy as np

    times = np.bincount(codes, minlength=len(found))
    if tally.declaration.kind == "MEASURE":
        measured = _array([each.status == said.RUN_HAS_RESULT for each in found]).astype(bool)
        results = _array(
            [int(each.result) if ok else 0 for each, ok in zip(found, measured, strict=True)]
        )
        tally.add_measures(results[codes][measured[codes]])
    for response, often in zip(found, times.tolist(), strict=True):
        tally.add({answer_of(response): often})


def _proposals(found: Sequence[Response], codes: Codes) -> Iterator[tuple[str, list[str], Codes]]:
    """Yield each term with proposals: the proposed value by response, and the rows that got one."""
    proposed = [response.proposed for response in found]
    for term in dict.fromkeys(term for each in proposed for term in each):
        places = _where(codes, [term in each for each in proposed])
        yield term, [each.get(term, "") for each in proposed], places


def _apply(chunk: Chunk, term: str, values: list[str], codes: Codes, places: Codes) -> None:
    """Put the proposed values in their rows, the rest staying as it is."""
    before = chunk.columns.get(term, Column([""], _zeros(chunk.rows)))
    merged = before.codes.copy()
    merged[places] = codes[places] + len(before.values)
    chunk.replace(term, [*before.values, *values], merged)
