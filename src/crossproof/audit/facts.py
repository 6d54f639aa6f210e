"""What an audit makes of a chunk: one pure function from submitted rows to columns of text."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import overload

import numpy as np
from numpy.typing import NDArray

from crossproof.arrow import Unlike, picked
from crossproof.audit.identity import Identity
from crossproof.audit.squares import VISIT, Squares
from crossproof.coding import ByObject, Texts, cross, distinct, same
from crossproof.model import BrokenRow, Chunk, Claim, Coded, Evidence, Table, Verdict
from crossproof.options import Options
from crossproof.parse.cells import Cells
from crossproof.parse.location import Where
from crossproof.parse.records import Weighables
from crossproof.parse.timing import When
from crossproof.protection import renamer
from crossproof.read.coded import coded_as_one, plain_texts
from crossproof.report.sheets import claimed_cells, evidence_cells, verdict_cells
from crossproof.sensitive.people import renamed
from crossproof.tabular import Block, Strip, block
from crossproof.vetter import Vetter

SAID = ("claim", "claimed_name", "claim_kind")
JUDGED = (
    *("outcome", "reasons", "determined_name", "determined_rank", "qualifier", "remedy"),
    *("rulebook", "support"),
)
EVIDENCE = (
    *("leaf", "leaf_source", "stem", "stem_source", "flower", "flower_source"),
    *("other_evidence", "rests_on"),
)
AROUND = ("year", "square", "visit_square", "dataset", "recorder")
COLUMNS = (
    *("source_file", "source_sheet", "source_row", "occurrenceID"),
    *SAID,
    *JUDGED,
    *EVIDENCE,
    "photo",
    *AROUND,
)
# A reference that can be nothing but the name of a file: what it says does not depend on which.
_FILE_NAME = re.compile(r"[A-Za-z][0-9A-Za-z_]*\.(?:jpe?g|png)")
_ANY_FILE = "picture.jpg"


@dataclass(frozen=True, slots=True)
class Facts:
    """The rows of a chunk, judged.

    `numbers` are the numbers of the rows (int64), `ids` their identifiers; the other columns of
    `COLUMNS` are coded, and stand in `blocks`, in order. `keys` are two numbers for each row
    (shape (2, n)) that tell by their equality which records may be the same, 0 where nothing tells.
    """

    table: Table
    chunk: Chunk
    numbers: NDArray[np.int64]
    ids: Sequence[str]
    blocks: Sequence[Block]
    keys: NDArray[np.uint64]
    broken: Sequence[BrokenRow]

    def __len__(self) -> int:
        return len(self.chunk)

    def column(self, name: str) -> Coded[str]:
        """One of the columns that are coded, its values held once."""
        each = next(each for each in self.blocks if name in each.columns)
        assert each.codes is not None
        place = each.columns.index(name)
        return distinct(Coded([row[place] for row in each.rows], each.codes))

    def text_blocks(self, rows: NDArray[np.intp]) -> Iterator[Block | Strip]:
        """All columns of `COLUMNS`, in order, of the rows given."""
        first, *others = self.blocks
        yield _of_rows(first, rows)
        yield Strip("source_row", [*map(str, self.numbers[rows].tolist())])
        yield Strip("occurrenceID", picked(self.ids, rows))
        yield from (_of_rows(each, rows) for each in others)


def _of_rows(block: Block, rows: NDArray[np.intp]) -> Block:
    """A coded block, of some rows, with no cells but those that stand in them."""
    assert block.codes is not None
    codes = block.codes[rows]
    used = np.flatnonzero(np.bincount(codes, minlength=len(block.rows)))
    renumber = np.zeros(len(block.rows), dtype=np.intp)
    renumber[used] = np.arange(len(used))
    return Block(block.columns, [block.rows[k] for k in used.tolist()], renumber[codes])


class Auditor:
    """Makes facts of chunk after chunk, and remembers names and remarks already read."""

    def __init__(self, options: Options) -> None:
        self.options = replace(options, lenient=True)
        self.vetter = Vetter(self.options)
        self._identity = Identity()
        self._year: ByObject[When, str] = ByObject(year_of)
        self._judged: ByObject[Verdict, tuple[str, ...]] = ByObject(verdict_cells)
        self._squares: ByObject[Where, tuple[str, str]] = ByObject(Squares().around)
        self._rename = renamer(options)
        self._coarse = {
            f"{book.id}:{taxon.id}": taxon.sensitive_m
            for book in self.vetter.rulebooks
            for taxon in book.taxa.values()
            if taxon.sensitive_m > VISIT
        }

    def facts(self, chunk: Chunk) -> Facts:
        """Judge the rows of a chunk."""
        cells = Cells(self._shortened(chunk))
        found, verdicts = self.vetter.judge(cells)
        ids = self._ids(chunk)
        said = cross(
            distinct(found.claims.map(claimed_cells)), distinct(verdicts.map(self._judged))
        )
        spoken = distinct(found.stated.evidence.map(lambda e: (*evidence_cells(e), rests_on(e))))
        recorder = cells["recordedBy"]
        place = (chunk.table.file, chunk.table.sheet)
        return Facts(
            table=chunk.table,
            chunk=chunk,
            numbers=_array(chunk.numbers),
            ids=ids,
            blocks=[
                Block(COLUMNS[:2], [place], np.zeros(len(chunk), dtype=np.intp)),
                block((*SAID, *JUDGED), said, lambda pair: (*pair[0], *pair[1])),
                block(EVIDENCE, spoken, tuple),
                block(("photo",), found.stated.photo, lambda state: (state,)),
                *self._around(cells, found, recorder),
            ],
            keys=self._identity.keys(ids, found, recorder),
            broken=chunk.broken,
        )

    def _ids(self, chunk: Chunk) -> Sequence[str]:
        heading = chunk.table.fields.get("occurrenceID")
        if not heading:
            return [""] * len(chunk)
        ids = plain_texts(chunk, heading)
        return ids if isinstance(ids, Unlike) and ids.is_graphic else [*map(str.strip, ids)]

    def _around(self, cells: Cells, found: Weighables, recorder: Coded[str]) -> Iterator[Block]:
        yield _text_block("year", distinct(found.when.map(self._year)))
        coarse = distinct(found.claims.map(self._is_coarse))
        squares = cross(coarse, found.where).map(lambda pair: self._both_squares(*pair))
        yield block(("square", "visit_square"), distinct(squares), tuple)
        dataset = cells["datasetName"]
        if "datasetName" not in cells:
            dataset = same(cells.chunk.table.file, len(cells.chunk))
        yield _text_block("dataset", distinct(dataset.map(str.strip)))
        yield _text_block("recorder", distinct(recorder.map(self._named)))

    def _both_squares(self, coarse: bool, where: Where) -> tuple[str, str]:
        """The square that figures are counted by, and the one that a visit would be told."""
        counted, visited = self._squares(where)
        return counted, counted if coarse else visited

    def _is_coarse(self, claim: Claim) -> bool:
        """Whether a visit is told no smaller square than that of 10 km."""
        coarse = f"{claim.name.rulebook}:{claim.name.taxon}" in self._coarse
        return coarse or bool(self.options.sensitive)

    def _named(self, cell: str) -> str:
        return renamed(cell, self._rename) if self._rename and cell.strip() else cell.strip()

    def _shortened(self, chunk: Chunk) -> Chunk:
        """The chunk with all plain file names of pictures alike, unless pictures are looked at."""
        heading = chunk.table.fields.get("photo")
        if heading is None or self.options.photos:
            return chunk
        place = chunk.table.headings.index(heading)
        alike = coded_as_one(plain_texts(chunk, heading), _FILE_NAME, _ANY_FILE)
        return replace(chunk, columns=_With(chunk.columns, place, Texts(alike)))


def _array(numbers: Sequence[int]) -> NDArray[np.int64]:
    if isinstance(numbers, range):
        return np.arange(numbers.start, numbers.stop, dtype=np.int64)
    return np.asarray(numbers, dtype=np.int64)


def _text_block(name: str, column: Coded[str]) -> Block:
    return block((name,), column, lambda text: (text,))


class _With(Sequence[Sequence[str]]):
    """Columns, one of them replaced; the others are asked for only when they are wanted."""

    def __init__(self, columns: Sequence[Sequence[str]], place: int, other: Texts) -> None:
        self._columns, self._place, self._other = columns, place, other

    def __len__(self) -> int:
        return len(self._columns)

    @overload
    def __getitem__(self, place: int) -> Sequence[str]: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[Sequence[str]]: ...
    def __getitem__(self, place: int | slice) -> Sequence[str] | Sequence[Sequence[str]]:
        if isinstance(place, slice):
            return [self[i] for i in range(*place.indices(len(self)))]
        return self._other if place == self._place else self._columns[place]


def rests_on(evidence: tuple[Evidence, ...]) -> str:
    """Where the evidence that counts was read: `columns`, `remarks`, `both`, or `nothing`."""
    sources = {e.source == "remark" for e in evidence if e.counts}
    if len(sources) == 2:
        return "both"
    return "nothing" if not sources else "remarks" if True in sources else "columns"


def year_of(when: When) -> str:
    """The year of a record, '' where its date is unknown or runs over several."""
    first, _, last = when.terms.get("eventDate", "").partition("/")
    return first[:4] if first[:4] == (last or first)[:4] else ""
