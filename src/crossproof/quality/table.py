"""Run every test over a table of any length: each distinct case once, chunk by chunk."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from . import distinct, registry
from .chunk import Checker, Chunk, Terms
from .distinct import Column
from .record_measures import COUNTED
from .response import Response
from .tally import ANSWERS, Tally
from .writing import Form, Table, default_form, write_small

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

CHUNK = 50_000  # rows tested at a time: memory is that of one chunk, whatever the input


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a table: how many records, the tally of each test, and the files written.

    `after` holds the tallies of the validations over the amended records, and is empty unless
    amendments were applied.
    """

    records: int
    tallies: tuple[Tally, ...]
    after: tuple[Tally, ...]
    files: tuple[Path, ...]


def check_table(
    chunks: Iterable[pd.DataFrame],
    out_dir: str | Path,
    *,
    taxa: str | Path | None = None,
    parameters: Mapping[str, Mapping[str, str]] | None = None,
    today: date | None = None,
    apply: bool | Collection[str] = False,
    form: Form | None = None,
    source: str = "",
    beside: Sequence[str] = (),
) -> Outcome:
    """Run every test over a table and write what they say to a folder.

    Args:
        chunks: the table in pieces of any size: text columns named by bare Darwin Core terms
            (`eventDate`; prefixed names do as well). Other columns are left alone.
        out_dir: the folder to write to; it is made where it does not exist.
        taxa: a list of taxa (CSV) for the tests of names.
        parameters: the draft standard's parameters by label of the test they are for.
        today: the day the tests are run; the clock's own by default.
        apply: whether to make the amendments (True for all of them, or the labels of some). They
            are only proposed otherwise.
        form: `parquet` or `csv` for the long tables; Parquet where pyarrow is installed.
        source: what the page calls the table.
        beside: columns of the table that say where a record comes from. With them `amendments` has
            these columns as well, and a table `failing` lists the responses NOT_COMPLIANT and
            POTENTIAL_ISSUE (record, these columns, occurrenceID, test, result, comment).

    Returns:
        The outcome. Written are `responses` (long form: record, test, status, result, comment; the
        record is its place in the table, from 1), `amendments` (record, occurrenceID, test, status,
        term, value, proposed), `summary.csv`, `measures.csv` and `quality.html`; with `apply` also
        `amended`, and then `amendments` says what was changed.

    Raises:
        TaxonListError: `taxa` cannot be read as a list of taxa.
        FormError: Parquet is asked for and pyarrow is not installed.
        KeyError: `parameters` or `apply` names a test there is not.
        ValueError: amendments are made, and a later piece has a column the first had not.
        OSError: the folder cannot be written to.
    """
    from . import page

    folder = Path(out_dir)
    only = None if isinstance(apply, bool) else frozenset(apply)
    for label in (*(parameters or {}), *(only or ())):
        registry.find(label)
    checker = Checker(parameters or {}, taxa, today or date.today(), tuple(beside))
    folder.mkdir(parents=True, exist_ok=True)
    kind = form or default_form()
    records = 0
    with ExitStack() as open_tables:
        responses = open_tables.enter_context(
            Table(
                folder,
                "responses",
                kind,
                ("record", "test", "status", "result", "comment"),
                ("record",),
            )
        )
        amendments = open_tables.enter_context(
            Table(
                folder,
                "amendments",
                kind,
                ("record", *beside, "occurrenceID", "test", "status", "term", "value", "proposed"),
                ("record",),
            )
        )
        failing: Table | None = None
        if beside:
            headings = ("record", *beside, "occurrenceID", "test", "result", "comment")
            failing = open_tables.enter_context(
                Table(folder, "failing", kind, headings, ("record",))
            )
        amended: Table | None = None
        for frame in _regrouped(chunks):
            chunk = Chunk(frame, records)
            records += len(frame)
            checker.check(chunk, responses, None if apply else amendments, failing)
            if apply:
                changed = checker.amend(chunk, only, amendments)
                if amended is None:
                    headings = tuple(map(str, changed.columns))
                    amended = open_tables.enter_context(Table(folder, "amended", kind, headings))
                _write_frame(amended, changed)
    tables = (responses, failing, amendments, amended)
    files = [table.path for table in tables if table is not None]
    tallies, after = checker.tallies(), checker.tallies_after()
    files += [_write_summary(folder, tallies, after), _write_measures(folder, tallies)]
    outcome = Outcome(records, tallies, after, (*files, folder / "quality.html"))
    page.write(outcome, folder / "quality.html", source=source, today=checker.today)
    return outcome


class Responder:
    """Runs tests over one frame after another, and writes nothing.

    What a test said of a case is remembered for the frames that follow, within bounds.

    Args:
        tests: GUIDs or labels; by default every test but the measures that count other tests.
        taxa, parameters, today: as for `check_table`.

    Raises:
        TaxonListError: `taxa` cannot be read as a list of taxa.
        KeyError: `tests` or `parameters` names a test there is not.
    """

    def __init__(
        self,
        tests: Collection[str] | None = None,
        *,
        taxa: str | Path | None = None,
        parameters: Mapping[str, Mapping[str, str]] | None = None,
        today: date | None = None,
    ) -> None:
        self._tests = [registry.find(name) for name in tests] if tests is not None else _uncounted()
        self._checker = Checker(parameters or {}, taxa, today or date.today())

    def respond(self, frame: pd.DataFrame) -> dict[str, tuple[list[Response], NDArray[np.int64]]]:
        """Run the tests over a frame of text columns named by bare or prefixed Darwin Core terms.

        Returns:
            By label, the distinct responses of the test and one code per row: row `n` of the frame
            was told `responses[codes[n]]`.
        """
        return self._respond(Chunk(frame, 0))

    def respond_coded(
        self, columns: Mapping[str, Column], rows: int
    ) -> dict[str, tuple[list[Response], NDArray[np.int64]]]:
        """Run the tests over `rows` records whose prefixed terms are coded already.

        Returns:
            As `respond`.
        """
        return self._respond(Terms(columns, rows))

    def _respond(self, records: Terms) -> dict[str, tuple[list[Response], NDArray[np.int64]]]:
        respond = self._checker.respond
        return {test.declaration.label: respond(records, test) for test in self._tests}


def respond(
    frame: pd.DataFrame,
    tests: Collection[str] | None = None,
    *,
    taxa: str | Path | None = None,
    parameters: Mapping[str, Mapping[str, str]] | None = None,
    today: date | None = None,
) -> dict[str, tuple[list[Response], NDArray[np.int64]]]:
    """Run tests over one frame: `Responder` in one go, which says what is asked and what comes."""
    return Responder(tests, taxa=taxa, parameters=parameters, today=today).respond(frame)


def _uncounted() -> list[registry.Test]:
    return [each for guid, each in registry.registered().items() if guid not in COUNTED]


def _regrouped(chunks: Iterable[pd.DataFrame]) -> Iterator[pd.DataFrame]:
    """Join small pieces and cut large ones, so that each holds about `CHUNK` rows."""
    import pandas as pd

    waiting: list[pd.DataFrame] = []
    rows = 0
    for chunk in chunks:
        for start in range(0, len(chunk), CHUNK):
            piece = chunk.iloc[start : start + CHUNK]
            waiting.append(piece)
            rows += len(piece)
            if rows >= CHUNK:
                yield pd.concat(waiting, ignore_index=True)
                waiting, rows = [], 0
    if waiting:
        yield pd.concat(waiting, ignore_index=True)


def _write_frame(table: Table, frame: pd.DataFrame) -> None:
    """Append a frame; a column it lacks is empty, one the table lacks would be lost."""
    import numpy as np

    unknown = [str(name) for name in frame.columns if str(name) not in table.headings]
    if unknown:
        raise ValueError(
            f"the column {unknown[0]!r} comes up only later in the table: give every piece the "
            "same columns"
        )
    nothing = distinct.Column([""], np.zeros(len(frame), dtype="int64"))
    encoded = {str(name): distinct.encode(frame[name]) for name in frame.columns}
    columns = {name: encoded.get(name, nothing) for name in table.headings}
    table.write({name: (column.values, column.codes) for name, column in columns.items()})


def _write_summary(folder: Path, tallies: Iterable[Tally], after: Iterable[Tally]) -> Path:
    then = {tally.declaration.guid: tally for tally in after}
    headings = [
        "test",
        "guid",
        "type",
        "dimension",
        "criterion",
        *map(str.lower, ANSWERS),
        "complete",
    ]
    headings += ["compliant_after", "not_compliant_after"] if then else []
    rows = []
    for tally in tallies:
        known = tally.declaration
        row: list[object] = [known.label, known.guid, known.kind, known.dimension, known.criterion]
        row += [tally[answer] for answer in ANSWERS]
        row.append(str(tally.complete).lower() if known.kind == "VALIDATION" else "")
        if then:
            amended = then.get(known.guid)
            row += [amended["COMPLIANT"], amended["NOT_COMPLIANT"]] if amended else ["", ""]
        rows.append(row)
    return write_small(folder / "summary.csv", headings, rows)


def _write_measures(folder: Path, tallies: Iterable[Tally]) -> Path:
    headings = ("test", "guid", "records", "total", "mean", "least", "most")
    rows = [
        (
            tally.declaration.label,
            tally.declaration.guid,
            tally.measured,
            tally.total,
            "" if tally.mean is None else f"{tally.mean:.3f}",
            "" if tally.least is None else tally.least,
            "" if tally.most is None else tally.most,
        )
        for tally in tallies
        if tally.declaration.kind == "MEASURE"
    ]
    return write_small(folder / "measures.csv", headings, rows)
