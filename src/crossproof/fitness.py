"""Put the data-quality tests that matter for publication to the records as they are written."""

from __future__ import annotations

import json
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import groupby, islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from crossproof.coding import code
from crossproof.long_cells import dict_reader
from crossproof.model import Judged
from crossproof.spreadsheet import GuardedFile, unguard
from crossproof.tabular import Block, Strip

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from crossproof.quality import Column, Declaration, Response

STANDARD = "TDWG Biodiversity Data Quality (BDQ) draft standard, version of 2026-06-03"
MOST_LISTED = 10_000  # records listed for one test; all are counted
EXAMPLES = 3
AT_ONCE = 10_000  # records tested at a time where they are read again
FAILING = ("NOT_COMPLIANT", "POTENTIAL_ISSUE")
ANSWERS = (
    "COMPLIANT",
    "NOT_COMPLIANT",
    "POTENTIAL_ISSUE",
    "NOT_ISSUE",
    "INTERNAL_PREREQUISITES_NOT_MET",
    "EXTERNAL_PREREQUISITES_NOT_MET",
)
TEST_COLUMNS = (
    *("test", "guid", "question", "parameters", "records"),
    *map(str.lower, ANSWERS),
    "listed",
)
RESPONSE_COLUMNS = (
    *("source_file", "source_sheet", "source_row", "occurrenceID"),
    *("test", "result", "comment", "values"),
)


@dataclass(frozen=True, slots=True)
class Chosen:
    """A test that `vet` runs: its label, why it matters for publication, its parameters."""

    label: str
    why: str
    parameters: Mapping[str, str]


@cache
def chosen() -> tuple[Chosen, ...]:
    """The tests of `fitness.toml`, in its order."""
    data = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
    return tuple(Chosen(e["label"], e["why"], e.get("parameters", {})) for e in data["test"])


@dataclass(frozen=True, slots=True)
class Origin:
    """Where the n records of a part were submitted, all in one table."""

    file: str
    sheet: str
    numbers: Sequence[int]
    ids: Sequence[str]


class Fitness:
    """Tests the occurrences chunk by chunk; writes `quality.csv` and `quality_responses.csv`.

    The first holds how often each test gave each answer, the second the records that do not
    comply or may have an issue, at most `MOST_LISTED` for one test. Nothing is amended. Memory is
    that of one chunk. Use as a context manager.
    """

    def __init__(self, folder: Path, today: date | None = None) -> None:
        from crossproof.quality import Responder, declarations

        by_label = {each.label: each for each in declarations().values()}
        self._tests = {each.label: (each, by_label[each.label]) for each in chosen()}
        parameters = {each.label: each.parameters for each in chosen() if each.parameters}
        self._responder = Responder(self._tests, parameters=parameters, today=today)
        self._terms = {t for _, declared in self._tests.values() for t in declared.inputs}
        self._folder = folder
        self._responses = GuardedFile(folder / "quality_responses.csv", RESPONSE_COLUMNS)
        self._counts: dict[str, Counter[str]] = {label: Counter() for label in self._tests}
        self._listed: Counter[str] = Counter()
        self._first: dict[str, list[dict[str, Any]]] = {label: [] for label in self._tests}
        self._records = 0

    def add(self, judged: Judged, blocks: Sequence[Block | Strip]) -> None:
        """Test the occurrences of one chunk.

        Args:
            judged: the n rows that were written as occurrences.
            blocks: the n rows of `occurrence.csv`, as they were written.
        """
        self.test(Origin(judged.table.file, judged.table.sheet, judged.numbers, judged.ids), blocks)

    def test(self, source: Origin, blocks: Sequence[Block | Strip]) -> None:
        """Test some rows of `occurrence.csv`, told where each was submitted."""
        if not len(source.ids):
            return
        rows = len(source.ids)
        columns = _coded(blocks, {term.partition(":")[2]: term for term in self._terms})
        self._records += rows
        failing: list[tuple[int, Sequence[str]]] = []
        for label, (responses, codes) in self._responder.respond_coded(columns, rows).items():
            self._count(label, responses, codes)
            failing += self._failing(label, responses, codes, source, columns)
        if failing:  # record by record, wherever one chunk ends and the next begins
            failing.sort(key=lambda row: row[0])
            self._responses.write([Block(RESPONSE_COLUMNS, [cells for _, cells in failing])])

    def _count(self, label: str, responses: Sequence[Response], codes: NDArray[np.int64]) -> None:
        times = np.bincount(codes, minlength=len(responses)).tolist()
        for response, often in zip(responses, times, strict=True):
            self._counts[label][response.result or response.status] += often

    def _failing(
        self,
        label: str,
        responses: Sequence[Response],
        codes: NDArray[np.int64],
        source: Origin,
        columns: Mapping[str, Column],
    ) -> Iterator[tuple[int, Sequence[str]]]:
        """The rows that are to be listed for a test: their position, and what is said of them."""
        fails = np.array([response.result in FAILING for response in responses], dtype=bool)
        places = np.flatnonzero(fails[codes])[: MOST_LISTED - self._listed[label]]
        self._listed[label] += len(places)
        values = _read(self._tests[label][1], columns, places)
        for place, cells in zip(places.tolist(), values, strict=True):
            said, number = responses[codes[place]], source.numbers[place]
            where = (source.file, source.sheet, str(number), source.ids[place])
            yield place, (*where, label, said.result, said.comment, cells)
            if len(self._first[label]) < EXAMPLES:
                first = {"file": source.file, "sheet": source.sheet, "row": number}
                self._first[label].append(first)

    def summary(self) -> dict[str, Any]:
        """What `summary.json` says: the standard, and of each test how often it gave each answer.

        `first` are the places of the first records that do not comply.
        """
        return {
            "standard": STANDARD,
            "records": self._records,
            "tests": [self._told(test, declared) for test, declared in self._tests.values()],
        }

    def _told(self, test: Chosen, declared: Declaration) -> dict[str, Any]:
        counts = self._counts[test.label]
        return {
            "test": test.label,
            "guid": declared.guid,
            "question": declared.question.replace("`", ""),
            "why": test.why,
            "parameters": dict(test.parameters),
            "counts": {answer: counts[answer] for answer in ANSWERS if counts[answer]},
            "listed": self._listed[test.label],
            "first": self._first[test.label],
        }

    def close(self) -> None:
        """Finish the list of records, and write how often each test gave each answer."""
        self._responses.close()
        with GuardedFile(self._folder / "quality.csv", TEST_COLUMNS) as table:
            told = self.summary()["tests"]
            table.write([Block(TEST_COLUMNS, [self._cells(each) for each in told])])

    def _cells(self, told: Mapping[str, Any]) -> tuple[str, ...]:
        parameters = "; ".join(f"{name}={value}" for name, value in told["parameters"].items())
        return (
            *(told["test"], told["guid"], told["question"], parameters, str(self._records)),
            *(str(told["counts"].get(answer, 0)) for answer in ANSWERS),
            str(told["listed"]),
        )

    def __enter__(self) -> Fitness:
        return self

    def __exit__(self, kind: object, *_: object) -> None:
        if kind is None:
            self.close()
        else:
            self._responses.close()


def test_again(folder: Path, today: date | None = None) -> dict[str, Any]:
    """Test the records of an output folder as they stand there now; the section of its summary."""
    with Fitness(folder, today) as fitness:
        together = zip(_exported(folder), _rows(folder / "dwca" / "occurrence.csv"), strict=True)
        for (file, sheet), group in groupby(together, key=lambda pair: pair[0][:2]):
            while part := list(islice(group, AT_ONCE)):
                numbers = [int(where[2]) for where, _ in part]
                ids = [row["occurrenceID"] for _, row in part]
                cells = [[*row.values()] for _, row in part]
                fitness.test(Origin(file, sheet, numbers, ids), [Block((*part[0][1],), cells)])
    return fitness.summary()


def _exported(folder: Path) -> Iterator[tuple[str, str, str]]:
    """Where each record was submitted that became an occurrence, in their order."""
    for row in _rows(folder / "verdicts.csv"):
        if row["outcome"] != "returned":
            yield unguard(row["source_file"]), unguard(row["source_sheet"]), row["source_row"]


def _rows(path: Path) -> Iterator[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        yield from dict_reader(file)


def _coded(blocks: Sequence[Block | Strip], wanted: Mapping[str, str]) -> dict[str, Column]:
    """The columns of the rows written that tests read, by the term each is to be called."""
    from crossproof.quality import Column

    columns = {}
    for block in blocks:
        for position, name in enumerate(block.columns):
            if name in wanted:
                coded = code([row[position] for row in block.rows])
                codes = coded.codes if block.codes is None else coded.codes[block.codes]
                columns[wanted[name]] = Column([*coded.values], codes)
    return columns


def _read(
    declared: Declaration, columns: Mapping[str, Column], places: NDArray[np.intp]
) -> Iterator[str]:
    """What a test read of some rows: a JSON object, prefixed term → text, blank terms left out."""
    known = [(term, columns[term]) for term in declared.inputs if term in columns]
    cells = [[c.values[k] for k in c.codes[places].tolist()] for _, c in known]
    if not cells:
        return iter(["{}"] * len(places))
    terms = [term for term, _ in known]
    rows = list(zip(*cells, strict=True))
    write = json.JSONEncoder(ensure_ascii=False).encode
    told = {
        r: write({t: v for t, v in zip(terms, r, strict=True) if v}) for r in dict.fromkeys(rows)
    }
    return map(told.__getitem__, rows)
